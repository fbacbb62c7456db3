// The song as its form: rows of four bars under the names of its sections, with a cursor on the bar that sounds.
import { icon, make } from "./dom.js";
import { breadth, chord_symbol, numeral_symbol, spoken } from "./notation.js";
import { chords_of, section_of } from "./practice.js";
import { pulses_of } from "./timeline.js";
import { say } from "./words.js";

const many_bars = 64; // of more, those out of sight are not laid out

export class Chart {
  /** @param {import("./practice.js").Practice} practice */
  constructor(practice) {
    this.practice = practice;
    this.element = make("section.form", { "aria-label": say("chart"), onkeydown: (/** @type {KeyboardEvent} */ event) => this.press(event) });
    /** @type {HTMLElement[]} */
    this.bars = [];
    this.focused = 0;
    this.drawn = "";
    this.cursor = "";
    /** @type {boolean | null} */
    this.scrolls = null; // whether it is longer than its room; null where that is not known
    new ResizeObserver(() => (this.scrolls = null)).observe(this.element);
  }

  /** Draws the chart of what sounds, with what loops. */
  update() {
    const { practice } = this;
    const song = practice.shown_song();
    if (!song) return;
    const bar = practice.timeline.sounding();
    const settings = bar?.settings ?? practice.settings;
    const form = bar?.form;
    const hidden = practice.answer_shown ? [] : (practice.data.task?.hidden ?? []);
    const state = JSON.stringify([song.placed_key, song.chords.map((chord) => [chord.symbol, chord.bar, chord.numeral, chord.words]), song.sections, song.doubtful, settings.loop, form?.bars.map((each) => each.you), hidden]);
    if (state === this.drawn) return this.follow();
    this.drawn = state;
    this.cursor = "";
    this.bars = [];
    this.scrolls = null;
    this.element.classList.toggle("long", song.bars > many_bars);
    this.element.replaceChildren(...song.sections.map((section, place) => this.section(song, section, place, settings.loop, form, hidden)));
    this.rove(Math.min(this.focused, this.bars.length - 1));
    this.follow();
  }

  /**
   * @param {import("./types.js").Song} song
   * @param {import("./types.js").Section} section
   * @param {number} place
   * @param {import("./types.js").Region | null} loop
   * @param {import("./types.js").Form | undefined} form
   * @param {number[]} hidden
   */
  section(song, section, place, loop, form, hidden) {
    const looped = loop !== null && loop.from === section.bar - 1 && loop.to === section.bar - 1 + section.bars;
    const id = `section-${place}`;
    const name = section.name || say("song");
    const sign = looped ? [icon("repeat"), make("span.lab", {}, say("looped"))] : [icon("repeat"), make("span.vh", {}, `, ${say("go_round")}`)];
    const heading = make("h2", {}, make("button.sname", { id, "aria-pressed": String(looped), onclick: () => this.practice.loop_section(section) }, name, ...sign));
    const sung = song.chords.some((chord) => chord.words);
    const bars = make("div.bars", { role: "group", "aria-labelledby": id });
    for (let i = 0; i < section.bars; ++i) {
      const number = section.bar - 1 + i;
      const chords = chords_of(song, number);
      const marks = [i === 0 ? "first" : "", i === section.bars - 1 ? "last" : "", i % 4 === 3 ? "endrow" : "", form?.bars[number]?.you ? "you" : ""];
      const shown = chords.map((chord) => (hidden.includes(song.chords.indexOf(chord)) ? make("span.ch", {}, "?") : chord_symbol(chord.symbol)));
      const button = make("button.bar", { "data-bar": number, tabindex: "-1", onclick: () => this.choose(number) },
        make("span.vh", {}, `${say("bar_n", i + 1)}: `),
        make(chords.length > 1 ? "span.cs.two" : "span.cs", {}, ...shown),
        make("span.num", { "aria-hidden": "true" }, ...chords.map((chord) => (chord.numeral && !hidden.length ? numeral_symbol(chord.numeral) : make("span", {}, "\u00a0")))),
        sung ? make("span.sung", {}, ...chords.map((chord) => make("span", {}, chord.words || "\u00a0"))) : null,
        form?.bars[number]?.you ? make("span.who", {}, say("you")) : null,
        song.doubtful?.includes(number + 1) ? make("span.doubt", {}, "?", make("span.vh", {}, ` ${say("bar_doubtful")}`)) : null);
      button.className = `bar ${marks.filter(Boolean).join(" ")}`;
      button.style.setProperty("--count", String(Math.max(1, chords.length)));
      button.style.setProperty("--broad", Math.max(1, ...chords.map((chord) => breadth(chord.symbol))).toFixed(1));
      this.bars[number] = button;
      bars.append(button);
    }
    return make(looped ? "section.sect.loop" : "section.sect", { "aria-labelledby": id }, heading, bars);
  }

  /** @param {number} bar */
  choose(bar) {
    this.rove(bar);
    const { practice } = this;
    practice.go_to(bar);
    if (!practice.timeline.playing) practice.play(bar);
  }

  /** The one bar that the tabulator key reaches. @param {number} bar */
  rove(bar) {
    for (const button of this.bars) button?.setAttribute("tabindex", "-1");
    this.focused = Math.max(0, bar);
    this.bars[this.focused]?.setAttribute("tabindex", "0");
  }

  /** @param {KeyboardEvent} event */
  press(event) {
    const target = event.target instanceof HTMLElement ? event.target.closest("[data-bar]") : null;
    if (!target) return;
    const bar = Number(target.getAttribute("data-bar"));
    const last = this.bars.length - 1;
    /** @type {Record<string, number>} */
    const moves = { ArrowLeft: bar - 1, ArrowRight: bar + 1, ArrowUp: bar - 4, ArrowDown: bar + 4, Home: 0, End: last };
    const to = moves[event.key];
    if (to === undefined) return;
    event.preventDefault();
    event.stopPropagation();
    if (to < 0 || to > last) return;
    this.rove(to);
    this.bars[to].focus();
  }

  /** Moves the cursor to the bar that sounds, and the chart with it. */
  follow() {
    const { timeline } = this.practice;
    const position = timeline.position();
    const counting = position?.bar.kind === "count";
    const bar = counting ? -1 : (timeline.held_bar() ?? position?.bar)?.bar ?? timeline.from;
    const pulse = position && position.bar.kind === "bar" ? position.pulse : -1;
    const state = `${bar} ${pulse}`;
    if (state === this.cursor) return;
    const before = this.element.querySelector(".bar.now");
    const now = this.bars[bar];
    if (before !== now) {
      before?.classList.remove("now");
      before?.removeAttribute("aria-current");
      before?.querySelector(".tick4")?.remove();
      if (now) {
        now.classList.add("now");
        now.setAttribute("aria-current", "true");
        this.scroll_to(now);
      }
    }
    this.cursor = state;
    if (!now) return;
    const pulses = position ? pulses_of(position.bar) : 4;
    let strokes = now.querySelector(".tick4");
    if (pulse < 0) return strokes?.remove();
    if (!strokes) {
      strokes = make("span.tick4", { "aria-hidden": "true" }, ...Array.from({ length: pulses }, () => make("i")));
      /** @type {HTMLElement} */ (strokes).style.gridTemplateColumns = `repeat(${pulses}, 1fr)`;
      now.append(/** @type {Element} */ (strokes));
    }
    [...(strokes?.children ?? [])].forEach((stroke, i) => (stroke.className = i === pulse ? "on" : ""));
  }

  /** Only the chart scrolls, by whole rows. @param {HTMLElement} bar */
  scroll_to(bar) {
    this.scrolls ??= this.element.scrollHeight > this.element.clientHeight + 1;
    if (!this.scrolls) return;
    const box = this.element.getBoundingClientRect();
    const own = bar.getBoundingClientRect();
    if (box.height === 0) return;
    if (own.top >= box.top && own.bottom + own.height <= box.bottom) return;
    this.element.scrollTop += own.top - box.top - own.height;
  }
}

/** "Verse, bar 3: E flat", for a screen reader. @param {import("./types.js").Song} song @param {number} bar */
export function bar_in_words(song, bar) {
  const section = section_of(song, bar);
  const chords = chords_of(song, bar).map((chord) => spoken(chord.symbol));
  return `${section?.name ?? ""} ${say("bar_n", bar + 2 - (section?.bar ?? 1))}: ${chords.join(", ")}`;
}
