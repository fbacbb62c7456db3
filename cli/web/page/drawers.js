// The drawers of the room Play: ways to practise, the parts of the band, each voicing once.
import { icon, make } from "./dom.js";
import { asked_keys, draw_keyboard } from "./keyboard.js";
import { can_listen, microphone_way } from "./microphone_way.js";
import { chord_symbol } from "./notation.js";
import { remember } from "./store.js";
import { part_name, say } from "./words.js";

/** @typedef {import("./practice.js").Practice} Practice */

const faster_each_round = 4;
const call_bars = 2;

/** @param {string} label @param {string} says @param {boolean} on @param {(on: boolean) => void} change @param {string} id */
function way(label, says, on, change, id) {
  const box = make("input.chk", { type: "checkbox", id, checked: on, onchange: () => change(box.checked) });
  return make("label.way", {}, make("span", {}, label, says ? make("span.lab", {}, says) : null), make("span.hit", {}, box));
}

/**
 * A choice of a few words.
 * @param {string} name
 * @param {string} label
 * @param {{value: string, text: string}[]} choices
 * @param {string} chosen
 * @param {(value: string) => void} change
 */
export function segments(name, label, choices, chosen, change) {
  return make("div.seg", { role: "radiogroup", "aria-label": label },
    ...choices.map(({ value, text }) => make("label", {},
      make("input", { type: "radio", name, value, checked: value === chosen, onchange: () => change(value) }), text)));
}

/** @param {Practice} practice @param {() => void} redraw */
function practise(practice, redraw) {
  const { settings } = practice;
  const hands = ["left", "both", "right"].map((value) => ({ value, text: say(value) }));
  const change = (/** @type {Partial<import("./types.js").PlaySettings>} */ changes) => practice.change(changes);
  const styles = practice.song?.styles ?? [];
  const choose = make("select", { id: "style", onchange: () => change({ style: choose.value }) },
    ...styles.map((style) => make("option", { value: style.id }, `${style.id.replaceAll("-", " ")}: ${style.feel}`)));
  choose.value = settings.style || practice.song?.style || "";
  return [
    make("div.way", {}, make("span", {}, say("hands")), segments("hand", say("hands"), hands, settings.hand, (hand) => change({ hand: /** @type {any} */ (hand) }))),
    make("label.way", {}, make("span", {}, say("style")), choose),
    way(say("listen_first"), say("listen_first_says"), settings.listen, (listen) => change({ listen }), "listen"),
    way(say("call_and_answer"), say("call_and_answer_says"), settings.trade > 0, (on) => change({ trade: on ? call_bars : 0 }), "trade"),
    way(say("a_little_faster"), say("a_little_faster_says"), settings.rise > 0, (on) => change({ rise: on ? faster_each_round : 0 }), "rise"),
    way(say("once"), "", settings.once, (once) => change({ once }), "once"),
    way(say("count_before"), say("count_before_says"), practice.count_in, (on) => {
      practice.count_in = on;
      remember("count_in", on);
    }, "count-in"),
    way(say("click"), "", settings.click, (click) => change({ click }), "click"),
    "requestMIDIAccess" in navigator ? midi_way(practice) : null,
    can_listen() ? microphone_way(practice, redraw) : null,
    way(say("wait_for_me"), say("wait_for_me_says"), settings.wait, (wait) => change({ wait }), "wait"),
    way(say("say_chords"), say("say_chords_says"), practice.say_chords, (on) => {
      practice.say_chords = on;
      remember("say_chords", on);
    }, "say-chords"),
    settings.rise > 0 ? make("button.link", { onclick: () => practice.go_to(settings.loop?.from ?? 0) }, say("start_tempo")) : null,
  ];
}

/** A MIDI keyboard: asked for once, then what it is for. @param {Practice} practice */
function midi_way(practice) {
  const said = make("span.lab", { role: "status" }, practice.midi.connected > 0 ? say("midi_heard") : say("midi_says"));
  const ask = async () => {
    try {
      await practice.midi.connect();
      said.textContent = say(practice.midi.connected > 0 ? "midi_heard" : "midi_none");
    } catch {
      said.textContent = say("midi_refused");
    }
  };
  const take = make("button.btn", { id: "take", hidden: practice.midi.take.length === 0, onclick: () => practice.hear("take", practice.midi.take_as_heard()) }, say("hear_take"));
  return make("div", {},
    make("div.way", {}, said, make("button.btn", { id: "midi", onclick: ask }, say("midi"))), take);
}

/** @param {Practice} practice */
function parts(practice) {
  const bar = practice.timeline.sounding();
  const listed = bar?.form.parts ?? practice.form?.parts ?? [];
  const rows = listed.filter((part) => part.name !== "click").map((part) => {
    const own = practice.settings.parts[part.name] ?? {};
    const set = (/** @type {import("./types.js").PartSetting} */ changes) => {
      const now = practice.settings.parts[part.name] ?? {};
      practice.change({ parts: { ...practice.settings.parts, [part.name]: { ...now, ...changes } } });
    };
    const name = part_name(part.name);
    const on = make("input.chk", { type: "checkbox", checked: !(own.out ?? part.out), "aria-label": say("sounds", name), onchange: () => set({ out: !on.checked }) });
    const level = Math.round(100 * 10 ** ((own.gain ?? 0) / 40));
    return volume_row(on, name, say("volume_of", name), Math.min(100, level * 0.8), (value) => set({ gain: value === 0 ? -60 : Math.round(400 * Math.log10(value / 80)) / 10 }), "change");
  });
  rows.push(volume_row(null, say("volume"), say("volume"), Math.round(practice.output.volume * 100), (value) => {
    practice.output.set_volume(value / 100);
    remember("volume", value / 100);
  }, "input"));
  return [...rows, make("p.lab.after", {}, say("parts_say"))];
}

/** @param {HTMLElement | null} on @param {string} name @param {string} label @param {number} value @param {(value: number) => void} change @param {string} when */
function volume_row(on, name, label, value, change, when) {
  const shown = make("output", {}, String(Math.round(value)));
  const slider = make("input", { type: "range", min: 0, max: 100, value: Math.round(value), "aria-label": label });
  const paint = () => {
    slider.style.setProperty("--v", `${slider.value}%`);
    shown.textContent = slider.value;
  };
  slider.addEventListener("input", paint);
  slider.addEventListener(when, () => change(Number(slider.value)));
  paint();
  return make("div.part", {}, on ? make("span.hit", {}, on) : make("span"), make("span.nm", {}, name), slider, shown);
}

/** @param {Practice} practice */
function voicings(practice) {
  const song = practice.shown_song();
  /** @type {Map<string, {chord: import("./types.js").Chord, bars: number[]}>} */
  const once = new Map();
  for (const chord of song?.chords ?? []) {
    if (!chord.root) continue;
    const id = JSON.stringify([chord.symbol, chord.left, chord.right.map((note) => [note.midi, note.finger])]);
    const known = once.get(id) ?? { chord, bars: [] };
    known.bars.push(chord.bar);
    once.set(id, known);
  }
  const [low, high] = practice.range();
  const drawn = [...once.values()].map(({ chord, bars }) => {
    const place = make("div.kb");
    const bars_shown = [...new Set(bars)].slice(0, 6).join(", ") + (new Set(bars).size > 6 ? " …" : "");
    const hear = make("button.hear", { onclick: () => practice.touch([...chord.left, ...chord.right].map((note) => note.midi)) },
      icon("ear"), make("span.vh", {}, say("hear")), chord_symbol(chord.symbol));
    const row = make("li", {}, make("div", {}, hear, make("span.lab", {}, say("bar_n", bars_shown))), place);
    return { row, draw: () => draw_keyboard(place, { low, high, asked: asked_keys(chord, practice.settings.hand), least: 58, most: 70 }) };
  });
  requestAnimationFrame(() => drawn.forEach((each) => each.draw()));
  return [make("ul.voic", {}, ...drawn.map((each) => each.row))];
}

/** @type {Record<string, {title: string, fill: (practice: Practice, redraw: () => void) => any[]}>} */
const kinds = {
  practise: { title: "ways", fill: practise },
  parts: { title: "parts", fill: parts },
  voicings: { title: "voicings", fill: voicings },
};

/** The three buttons, and the drawer that one of them has opened. */
export class Drawers {
  /** @param {Practice} practice */
  constructor(practice) {
    this.practice = practice;
    this.open = "";
    this.drawn = "";
    this.buttons = Object.keys(kinds).map((kind) => make("button.tool", { id: `open-${kind}`, "aria-expanded": "false", onclick: () => this.toggle(kind) }, say(kind)));
    this.place = make("div", { onkeydown: (/** @type {KeyboardEvent} */ event) => event.key === "Escape" && this.toggle(this.open) });
  }

  /** Another style has other parts, another key other voicings. */
  update() {
    if (!this.open || this.open === "practise" || this.state() === this.drawn) return;
    this.fill();
  }

  /** What the open drawer was drawn for. */
  state() {
    const form = this.practice.timeline.sounding()?.form ?? this.practice.form;
    return JSON.stringify([this.open, this.open === "parts" ? form?.parts.map((part) => part.name) : this.practice.shown_song()?.placed_key]);
  }

  /** @param {string} kind */
  toggle(kind) {
    const before = this.open;
    this.open = before === kind ? "" : kind;
    Object.keys(kinds).forEach((each, i) => this.buttons[i].setAttribute("aria-expanded", String(each === this.open)));
    if (!this.open) {
      this.place.replaceChildren();
      this.buttons[Object.keys(kinds).indexOf(before)]?.focus();
      return;
    }
    this.fill();
    /** @type {HTMLElement} */ (this.place.firstElementChild).focus();
  }

  fill() {
    this.drawn = this.state();
    const { title, fill } = kinds[this.open];
    const close = make("button.x", { "aria-label": say("close"), onclick: () => this.toggle(this.open) }, icon("close"));
    const drawer = make("section.drawer", { "aria-labelledby": "drawer-title", tabindex: "-1" },
      make("header", {}, make("h2", { id: "drawer-title" }, say(title)), close), ...fill(this.practice, () => this.redraw()));
    this.place.replaceChildren(drawer);
  }

  /** The same drawer again, with the focus where it was. */
  redraw() {
    if (!this.open) return;
    const focused = document.activeElement?.id;
    this.fill();
    if (focused) document.getElementById(focused)?.focus();
  }

  close() {
    if (this.open) this.toggle(this.open);
  }
}
