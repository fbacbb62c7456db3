// The room Play: the chord that sounds in the largest type, the next one beside it, the chart, the drawers, the keyboard.
import { Chart } from "./chart.js";
import { make, svg } from "./dom.js";
import { Drawers } from "./drawers.js";
import { asked_keys, keys_in_words } from "./keyboard.js";
import { compare_keys } from "./midi.js";
import { chord_symbol, spoken } from "./notation.js";
import { PlayableKeyboard } from "./playable_keyboard.js";
import { asked_by, chord_at, first_chord, section_of } from "./practice.js";
import { TuneView } from "./tune_view.js";
import { language, say, words_of } from "./words.js";

/** @typedef {import("./practice.js").Practice} Practice */

const longest_chord_s = 4; // an onset before that belongs to another chord
const sharp_names = ["C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"];
const touch_shows_ms = 350; // how long a touched key stays ringed

/** The marks of the keyboard, explained. */
function legend() {
  const picture = (/** @type {any[]} */ ...shapes) => svg("svg", { viewBox: "0 0 20 20", "aria-hidden": "true" }, ...shapes);
  const key = () => svg("rect", { class: "sw", width: 20, height: 20, rx: 2 });
  const rows = [
    [picture(key(), svg("rect", { class: "dk", x: 4.5, y: 4.5, width: 11, height: 11, rx: 1 })), say("left_hand")],
    [picture(key(), svg("circle", { class: "dk", cx: 10, cy: 10, r: 6 })), say("right_hand")],
    [picture(svg("circle", { class: "rg", cx: 10, cy: 10, r: 7 })), say("you_play")],
    [picture(svg("circle", { class: "rg", cx: 10, cy: 10, r: 8.4 }), svg("path", { class: "rg", d: "M6 10.5l2.7 3L14 6.8" })), say("found")],
  ];
  return make("div.legend", {}, ...rows.map(([drawn, text]) => make("span.lab", {}, drawn, text)));
}

export class PlayRoom {
  /** @param {Practice} practice */
  constructor(practice) {
    this.practice = practice;
    this.chart = new Chart(practice);
    this.drawers = new Drawers(practice);
    this.heading = make("h1.vh");
    this.now = make("section.nowbox", { "aria-label": say("now") });
    /** @type {number | null} */
    this.wide = null; // the room of the chord; null where that is not known
    new ResizeObserver(([entry]) => {
      const before = this.wide;
      this.wide = entry.contentRect.width;
      if (before !== null && Math.abs(before - this.wide) > 1) this.refit();
    }).observe(this.now);
    this.tune = new TuneView(practice, () => this.refit());
    const keys = make("div.kb", { id: "keyboard" });
    this.said = make("p.vh", { role: "status" });
    this.heard = make("p.heard", { id: "heard", role: "status", hidden: true });
    this.announced = make("p.vh", { role: "status", "aria-live": "polite" });
    /** @type {Map<number, number>} */
    this.touched = new Map();
    this.element = make("div.play", {}, this.heading, make("div.nowcol", {}, this.now, this.heard, this.tune.element), this.chart.element,
      make("div.tools", {}, ...this.drawers.buttons, legend()), make("div.keys", {}, keys, this.said), this.drawers.place, this.announced);
    this.keyboard = new PlayableKeyboard(keys, (midi) => this.touch(midi));
    this.shown = "";
    this.pressed = "";
    this.last_said = "";
    practice.listeners.push(() => this.update());
  }

  /** @param {number} midi */
  touch(midi) {
    this.practice.touch([midi]);
    this.touched.set(midi, performance.now() + touch_shows_ms);
    this.keys();
    setTimeout(() => this.keys(), touch_shows_ms + 20);
  }

  /** What is heard now: the bar, its chord, the one after it. */
  moment() {
    const { timeline } = this.practice;
    const position = timeline.position();
    const song = this.practice.shown_song();
    if (!song) return null;
    const awaited = timeline.held_bar();
    if (awaited) {
      const chord = first_chord(awaited.song, awaited.bar);
      return { song: awaited.song, position: null, bar: awaited.bar, chord, next: this.chord_after(awaited.song, chord, null) };
    }
    if (!position) {
      const chord = first_chord(song, timeline.from) ?? song.chords[0] ?? null;
      return { song, position, bar: timeline.from, chord, next: this.chord_after(song, chord, null) };
    }
    const number = position.bar.bar;
    const chord = position.bar.kind === "count" ? first_chord(song, number) : chord_at(song, number, position.beat);
    return { song, position, bar: number, chord, next: this.chord_after(song, chord, position.next) };
  }

  /**
   * The chord after this one: in the bar, or the first of the bar that follows in the list.
   * @param {import("./types.js").Song} song
   * @param {import("./types.js").Chord | null} chord
   * @param {import("./types.js").TimedBar | null} next
   */
  chord_after(song, chord, next) {
    const place = chord ? song.chords.indexOf(chord) : -1;
    const after = song.chords.slice(place + 1).find((each) => each.root && !(each.held && each.symbol === chord?.symbol)) ?? null;
    if (after && chord && after.bar === chord.bar) return after;
    if (next) return next.kind === "rest" ? null : first_chord(next.song, next.bar) ?? after;
    return after ?? song.chords.find((each) => each.root) ?? null;
  }

  update() {
    this.heading.textContent = this.practice.song?.title || say("play_room");
    this.chart.update();
    this.drawers.update();
    this.beat();
    this.keys();
  }

  /** Shows what sounds now. */
  beat() {
    this.chart.follow();
    const moment = this.moment();
    if (!moment) return;
    const { position, chord, next, bar, song } = moment;
    const sounding = position?.bar.kind === "bar" ? position.bar : null;
    this.tune.show(song, sounding?.settings ?? this.practice.settings, bar, position?.bar.round ?? 0);
    this.tune.follow(sounding && position ? bar : null, position?.beat ?? 0);
    const hidden = !this.practice.answer_shown && this.practice.data.task?.hidden?.includes(song.chords.indexOf(/** @type {any} */ (chord)));
    const counting = position?.bar.kind === "count";
    const turn = position?.bar.kind === "bar" && position.bar.form.bars[position.bar.bar]?.you;
    const kind = this.practice.asleep ? "asleep" : counting ? "count" : turn ? "turn" : "chord";
    const round = position?.bar.round ?? 0;
    const state = JSON.stringify([kind, chord?.symbol, next?.symbol, bar, counting ? position?.pulse : -1, round, song.placed_key, hidden, position !== null, this.practice.message]);
    if (state === this.shown) return;
    this.shown = state;
    this.now.className = `nowbox ${kind === "chord" ? "" : kind}`;
    const section = section_of(song, bar);
    if (kind === "asleep") this.now.replaceChildren(...this.asleep());
    else if (kind === "count") this.now.replaceChildren(...count_in(position?.pulse ?? 0, position?.bar.form.pulses ?? 4, section?.name || say("the_song"), chord));
    else if (kind === "turn") this.now.replaceChildren(...your_turn(section?.name || say("song"), chord, next));
    else {
      const words = this.practice.message || (round > 0 ? (words_of("numbers")[round] ? say("round", words_of("numbers")[round]) : say("again")) : "");
      const symbols = [hidden || !chord ? "?" : chord.symbol, ...(next && !hidden ? [next.symbol] : [])];
      measure(this.now, [...symbols, ...song.chords.map((each) => each.symbol)]);
      const pair = make("p.pair", {}, make("span.nowc", {}, hidden || !chord ? "?" : chord_symbol(chord.symbol)),
        next && !hidden ? make("span.nextc", {}, make("span.lab", {}, say("next")), chord_symbol(next.symbol)) : null);
      this.now.replaceChildren(make("p.where", {}, make("b", {}, section?.name || song.title || say("song")), make("span.soft", {}, words)), pair);
      this.wide ??= this.now.clientWidth - 2 * Number.parseFloat(getComputedStyle(this.now).paddingLeft);
      fit(this.wide, pair, symbols, !this.tune.element.hidden);
    }
    this.keys();
    this.announce(chord);
  }

  /** The chord again, as its place has become larger or smaller. */
  refit() {
    this.shown = "";
    this.beat();
  }

  /** @param {import("./types.js").Chord | null} chord */
  announce(chord) {
    const words = this.practice.say_chords && chord && this.practice.timeline.playing ? spoken(chord.symbol) : "";
    if (words === this.last_said) return;
    this.last_said = words;
    this.announced.textContent = words;
  }

  asleep() {
    return [make("div.say", { role: "alert" }, make("h2", {}, say("asleep")), make("p", {}, say("asleep_says")),
      make("div.acts", {}, make("button.btn.first", { id: "wake", onclick: () => this.practice.play() }, say("wake"))),
      make("details", {}, make("summary", {}, say("helper")), make("p.lab", {}, say("asleep_why"))))];
  }

  /**
   * The asked keys whose tones the microphone hears, and in words what it makes of the chord.
   * @param {import("./types.js").Chord | null} chord
   * @param {import("./keyboard.js").AskedKey[]} asked
   * @returns {number[]}
   */
  listen(chord, asked) {
    const { microphone, output } = this.practice;
    this.heard.hidden = !microphone.on;
    if (!microphone.on) return [];
    const tones = microphone.heard();
    const answer = chord && asked.length > 0 ? microphone.answer(asked_by(chord), output.now - longest_chord_s) : null;
    const words = answer === null ? say("mic_listens") : answer.kind === "wrong" ? wrong_in_words(answer, asked) : say(answer.kind === "right" ? "mic_right" : "mic_unclear");
    if (this.heard.textContent !== words) this.heard.textContent = words;
    return asked.filter((key) => tones.includes(key.midi % 12)).map((key) => key.midi);
  }

  /** Draws the keyboard: what is asked, and what is played. */
  keys() {
    const moment = this.moment();
    const [low, high] = this.practice.range();
    const settings = moment?.position?.bar.settings ?? this.practice.settings;
    const task = this.practice.data.task;
    const hidden = task && !this.practice.answer_shown && moment?.chord && task.hidden.includes(moment.song.chords.indexOf(moment.chord));
    const asked = moment && !hidden ? asked_keys(moment.chord, settings.hand) : [];
    const now = performance.now();
    for (const [midi, until] of this.touched) if (until < now) this.touched.delete(midi);
    const played = new Set([...this.practice.midi.held, ...this.touched.keys(), ...this.listen(moment?.chord ?? null, asked)]);
    const out_of_range = [...played].filter((midi) => midi < low || midi > high);
    const range = { low: Math.min(low, ...out_of_range), high: Math.max(high, ...out_of_range) };
    while ([1, 3, 6, 8, 10].includes(range.low % 12)) --range.low;
    while ([1, 3, 6, 8, 10].includes(range.high % 12)) ++range.high;
    const state = JSON.stringify([range, asked, [...played]]);
    if (state === this.pressed) return;
    this.pressed = state;
    const { wrong, missing } = compare_keys(played, asked);
    const label = keys_in_words(asked) + (played.size > 0 ? ` ${say("missing")}: ${missing.length}. ${say("you_play")}: ${played.size - wrong.length}/${asked.length}.` : "");
    this.keyboard.show({ ...range, asked, played, names: moment?.song.names, label });
  }
}

/** @param {{missing: number[], foreign: number[]}} answer @param {import("./keyboard.js").AskedKey[]} asked */
function wrong_in_words({ missing, foreign }, asked) {
  const named = (/** @type {number} */ tone) => {
    const key = asked.find((each) => each.midi % 12 === tone);
    return key ? key.note.replace(/-?\d+$/, "") : sharp_names[tone];
  };
  if (missing.length > 0 && foreign.length > 0) return say("mic_instead", foreign.map(named).join(" "), missing.map(named).join(" "));
  return missing.length > 0 ? say("mic_missing", missing.map(named).join(" ")) : say("mic_foreign", foreign.map(named).join(" "));
}

/** How wide each symbol is in ems: measuring costs a layout of the page. @type {Map<string, number>} */
const widths = new Map();

/** Measures the symbols that are not known yet, all at once. @param {HTMLElement} place where they will stand @param {string[]} symbols */
function measure(place, symbols) {
  const unknown = [...new Set(symbols)].filter((symbol) => !widths.has(symbol));
  if (unknown.length === 0) return;
  const drawn = unknown.map((symbol) => make("span.nowc", {}, symbol === "?" ? make("span.ch", {}, "?") : chord_symbol(symbol)));
  const row = make("p.pair.unseen", { "aria-hidden": "true" }, ...drawn);
  place.append(row);
  unknown.forEach((symbol, i) => {
    const width = drawn[i].firstElementChild.getBoundingClientRect().width / 100;
    if (width > 0) widths.set(symbol, Math.max(0.6, width));
  });
  row.remove();
  if (document.fonts.status !== "loaded") document.fonts.ready.then(() => widths.clear());
}

/**
 * The chord as large as its place allows.
 * @param {number} wide its room
 * @param {HTMLElement} pair
 * @param {string[]} symbols of the chord and the next one
 * @param {boolean} with_tune
 */
function fit(wide, pair, symbols, with_tune) {
  const [now, next] = [pair.children[0], pair.children[1]].map((each) => /** @type {HTMLElement | undefined} */ (each));
  if (!now) return;
  const [wide_now = 0.6, wide_next = 0.6] = symbols.map((symbol) => widths.get(symbol));
  const narrow = innerWidth < 600;
  const low = innerHeight < 600;
  const most = with_tune ? (low ? 44 : narrow ? 64 : 96) : low ? 88 : narrow ? 120 : innerHeight < 820 ? 200 : 272;
  const size = Math.min(most, ((narrow ? 0.58 : 0.62) * wide) / wide_now);
  now.style.fontSize = `${size}px`;
  if (next) next.style.fontSize = `${Math.min(low ? 40 : narrow ? 48 : 96, (0.24 * wide) / wide_next, size * 0.6)}px`;
}

/** @param {number} pulse @param {number} pulses @param {string} section @param {import("./types.js").Chord | null} chord */
function count_in(pulse, pulses, section, chord) {
  const counts = Array.from({ length: pulses }, (_, i) => make(i === pulse ? "b" : "span", { "aria-hidden": "true" }, String(i + 1)));
  return [
    make("p.where", {}, make("b", {}, say("ready")), make("span.soft", {}, say("begins_with", section), " ", chord ? chord_symbol(chord.symbol) : "")),
    make("p.counts", {}, make("span.vh", {}, say("beat_of", pulse + 1, pulses)), ...counts),
  ];
}

/** @param {string} section @param {import("./types.js").Chord | null} chord @param {import("./types.js").Chord | null} next */
function your_turn(section, chord, next) {
  const big = make("p.big", {}, say("your_turn"));
  big.style.setProperty("--chars", language === "de" ? "12" : "9");
  return [
    make("p.where", {}, make("b", {}, section), make("span.soft", {}, say("call_and_answer"))), big,
    make("p.over", {}, make("span.lab", {}, say("over")), chord ? chord_symbol(chord.symbol) : "", ...(next ? [make("span.lab", {}, say("then")), chord_symbol(next.symbol)] : [])),
  ];
}
