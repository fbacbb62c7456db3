// The bar at the lower edge: play and stop, beats, the place in the song, what waits, tempo and key; and the keys and pedals
// that do the same.
import { differences } from "./bar_order.js";
import { icon, make } from "./dom.js";
import { chord_symbol, key_name } from "./notation.js";
import { section_of } from "./practice.js";
import { pulses_of } from "./timeline.js";
import { part_name, say } from "./words.js";

const tap_pause_s = 2; // a longer pause between taps begins anew

/** What other settings change, in a few words. @param {import("./types.js").PlaySettings} from @param {import("./practice.js").Practice} practice */
function change_in_words(from, practice) {
  const { settings, timeline } = practice;
  const changed = differences(from, settings);
  if (changed.includes("key") && practice.song) return say("from_next_bar", key_name(practice.song.placed_key).tonic);
  if (changed.includes("tempo")) return say("from_next_bar", settings.tempo);
  if (changed.includes("style")) return say("from_next_bar", settings.style);
  if (timeline.jump !== null) return say("from_next_bar", say("bar_n", timeline.jump + 1));
  if (changed.includes("loop")) {
    const section = settings.loop && practice.song ? section_of(practice.song, settings.loop.from) : null;
    return say("from_next_bar", section?.name || say("song"));
  }
  if (changed.includes("parts")) {
    const name = Object.keys(settings.parts).find((each) => JSON.stringify(settings.parts[each]) !== JSON.stringify(from.parts[each]));
    if (name) return say("from_next_bar", part_name(name));
  }
  return say("change_from_next_bar");
}

export class Transport {
  /** @param {import("./practice.js").Practice} practice @param {{quiet: () => boolean}} room whether Play is drawn in outline */
  constructor(practice, room) {
    this.practice = practice;
    this.room = room;
    /** @type {number[]} */
    this.taps = [];
    this.go = make("button.go", { id: "play", onclick: () => practice.toggle() });
    this.beats = make("span.beats", { role: "img" });
    this.place = make("span.place");
    this.pending = make("div.pending", { role: "status" });
    this.undo = make("button.link", { onclick: () => this.take_back() }, say("undo"));
    this.tempo = make("button.val", { id: "tap", onclick: () => this.tap() });
    this.key = make("button.val", { id: "key", onclick: () => practice.change({ key: "" }) });
    this.element = make("section.transport", { id: "transport", "aria-label": say("transport"), tabindex: "-1" },
      this.go,
      make("div.line", {}, make("div.pulse", {}, this.beats, this.place), this.pending),
      make("div.step.tempo", { role: "group", "aria-label": say("tempo") },
        make("button", { id: "slower", "aria-label": say("slower"), onclick: () => practice.change_tempo(-2) }, "−"), this.tempo,
        make("button", { id: "faster", "aria-label": say("faster"), onclick: () => practice.change_tempo(2) }, "+")),
      make("div.step.key", { role: "group", "aria-label": say("key") },
        make("button", { id: "lower", "aria-label": say("lower"), onclick: () => practice.change_key(-1) }, "−"), this.key,
        make("button", { id: "higher", "aria-label": say("higher"), onclick: () => practice.change_key(1) }, "+")));
    this.state = "";
    this.pending_text = "";
    this.shown_beat = "";
    this.shown_place = "";
    this.shown_tempo = 0;
    /** @type {string | null} */
    this.shown_key = null;
    practice.listeners.push(() => this.update());
    addEventListener("keydown", (event) => this.press(event));
    this.update();
  }

  take_back() {
    this.practice.timeline.undo();
    this.practice.read_song();
  }

  tap() {
    const now = performance.now() / 1000;
    if (now - (this.taps.at(-1) ?? 0) > tap_pause_s) this.taps = [];
    this.taps = [...this.taps, now].slice(-5);
    const count = this.taps.length - 1;
    if (count < 1) return;
    const tempo = Math.round((60 * count) / (now - this.taps[0]));
    if (tempo >= 20 && tempo <= 400) this.practice.change({ tempo });
  }

  update() {
    const { practice, go } = this;
    const { timeline, song } = practice;
    const playing = timeline.playing || practice.heard_alone !== null;
    const state = `${playing} ${this.room.quiet()}`;
    if (state !== this.state) {
      this.state = state;
      go.replaceChildren(icon(playing ? "stop" : "play"), say(playing ? "stop" : "play"));
      go.classList.toggle("quiet", !playing && this.room.quiet());
    }
    go.disabled = !playing && !song;
    this.show_tempo(Math.round(timeline.sounding() && !timeline.pending() ? this.sounding_tempo() : practice.tempo()));
    this.show_key(practice.shown_song()?.placed_key ?? ""); // what sounds, not what waits
    const waits = timeline.pending();
    this.element.classList.toggle("waits", waits !== null);
    const text = waits ? change_in_words(waits.settings, practice) : "";
    if (text !== this.pending_text) {
      this.pending_text = text;
      this.pending.replaceChildren(...(text ? [make("em", {}, text), this.undo] : []));
    }
    this.beat();
  }

  /** @param {number} tempo pulses a minute */
  show_tempo(tempo) {
    if (tempo === this.shown_tempo) return;
    this.shown_tempo = tempo;
    this.tempo.replaceChildren(make("span", {}, icon("note"), make("span.eq", { "aria-hidden": "true" }, " = "), String(tempo)), make("small", {}, say("tap")));
    this.tempo.setAttribute("aria-description", say("tap_tempo"));
  }

  /** @param {string} key "Eb major", or none */
  show_key(key) {
    if (key === this.shown_key) return;
    this.shown_key = key;
    if (!key) return void (this.key.textContent = "–");
    const name = key_name(key);
    this.key.replaceChildren(make("span", {}, name.tonic.length > 2 || /[a-z]/.test(name.tonic) ? name.tonic : chord_symbol(key.split(" ")[0])), make("small", {}, name.mode));
    this.key.setAttribute("aria-description", say("own_key"));
  }

  sounding_tempo() {
    return this.practice.timeline.sounding()?.tempo ?? this.practice.tempo();
  }

  /** Shows where the music is. */
  beat() {
    const { timeline } = this.practice;
    const song = this.practice.shown_song();
    const position = timeline.position();
    const pulses = position ? pulses_of(position.bar) : song?.pulses ?? 4;
    const pulse = position && position.bar.kind !== "rest" ? position.pulse : -1;
    if (`${pulse} ${pulses}` !== this.shown_beat) {
      this.shown_beat = `${pulse} ${pulses}`;
      if (this.beats.childElementCount !== pulses) this.beats.replaceChildren(...Array.from({ length: pulses }, () => make("i")));
      [...this.beats.children].forEach((dot, i) => (dot.className = i === pulse ? "on" : i < pulse ? "past" : ""));
      this.beats.setAttribute("aria-label", pulse < 0 ? say("beats", pulses) : say("beat_of", pulse + 1, pulses));
    }
    const place = this.place_in_words(position, song);
    if (place !== this.shown_place) {
      this.shown_place = place;
      const pieces = place.split(/(\d+)/);
      this.place.replaceChildren(...pieces.map((piece, i) => (i === 1 ? make("b", {}, piece) : piece)));
    }
  }

  /** @param {ReturnType<import("./timeline.js").Timeline["position"]>} position @param {import("./types.js").Song | null} song */
  place_in_words(position, song) {
    if (!song) return "";
    if (position?.bar.kind === "count") return say("count_in");
    const bar = position?.bar.bar ?? this.practice.timeline.from;
    const section = section_of(song, bar);
    return section ? say("bar_of", bar + 2 - section.bar, section.bars) : say("bar_of", bar + 1, song.bars);
  }

  /** Space, arrows and page keys, which pedals send too. @param {KeyboardEvent} event */
  press(event) {
    const target = event.target instanceof HTMLElement ? event.target : document.body;
    const typing = target.closest("input:not([type=checkbox]):not([type=radio]), textarea, select, [role=application]");
    const choosing = target.closest("[role=radiogroup], .form, summary, input");
    if (typing || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === " " && target.closest("button, summary, label, a, input") && target !== this.go) return;
    const { practice } = this;
    const { song, timeline } = practice;
    if (!song) return;
    const bar = timeline.jump ?? timeline.sounding()?.bar ?? timeline.from;
    const last = song.bars - 1;
    const section = section_of(song, bar);
    const next_section = song.sections.find((each) => each.bar > bar + 1);
    const before = song.sections.filter((each) => section && each.bar < section.bar).at(-1);
    /** @type {Record<string, () => void>} */
    const actions = {
      " ": () => practice.toggle(),
      ArrowLeft: () => practice.go_to(Math.max(0, bar - 1)),
      ArrowRight: () => practice.go_to(Math.min(last, bar + 1)),
      ArrowUp: () => practice.change_tempo(event.shiftKey ? 5 : 1),
      ArrowDown: () => practice.change_tempo(event.shiftKey ? -5 : -1),
      PageUp: () => practice.go_to((before ?? section)?.bar ? ((before ?? section)?.bar ?? 1) - 1 : 0),
      PageDown: () => practice.go_to(next_section ? next_section.bar - 1 : bar),
    };
    const action = actions[event.key];
    if (!action || (choosing && event.key.startsWith("Arrow"))) return;
    event.preventDefault();
    action();
  }
}
