// The tune of a song in the room Play: two bars on a staff with a cursor, and what is sung there in large letters.
import { make } from "./dom.js";
import { section_of } from "./practice.js";
import { say } from "./words.js";

/** @typedef {import("./types.js").TuneLine} TuneLine */

const bars_shown = 2;

export class TuneView {
  /** @param {import("./practice.js").Practice} practice @param {() => void} changed called when its size may be another */
  constructor(practice, changed) {
    this.practice = practice;
    this.changed = changed;
    this.staff = make("div.staff", {});
    this.cursor = make("i.cursor", { hidden: true });
    this.words = make("p.sung", { "aria-live": "off" });
    this.element = make("div.tune", { hidden: true, role: "group", "aria-label": say("tune") }, make("div.lines", {}, this.staff, this.cursor), this.words);
    this.wanted = "";
    /** @type {TuneLine | null} */
    this.line = null;
    /** @type {TuneLine | null} */
    this.after = null;
    this.place = "";
  }

  /**
   * Shows the bars around the one that sounds.
   * @param {import("./types.js").Song} song
   * @param {import("./types.js").PlaySettings} settings
   * @param {number} bar from 0
   * @param {number} round from 0: each time round another verse is sung
   */
  async show(song, settings, bar, round) {
    if (this.element.hidden === song.has_tune) {
      this.element.hidden = !song.has_tune;
      this.changed();
    }
    if (!song.has_tune) return;
    const section = section_of(song, bar);
    const from = section ? section.bar - 1 : 0;
    const first = bar - ((bar - from) % bars_shown) + 1; // pairs are counted from the section's first bar
    const verse = (round % (this.line?.verses ?? 1)) + 1;
    const wanted = JSON.stringify([settings.text, song.placed_key, first, verse]);
    if (wanted === this.wanted) return;
    this.wanted = wanted;
    const ask = (/** @type {number} */ place) => (place <= song.bars ? this.practice.cache.tune(settings, place, Math.min(bars_shown, song.bars - place + 1), verse) : null);
    const [line, after] = await Promise.all([ask(first), ask(first + bars_shown)]);
    if (wanted !== this.wanted || !line?.svg) return;
    this.line = line;
    this.after = after;
    this.staff.innerHTML = line.svg;
    this.words.replaceChildren(...words_of_line(line, "here"), ...(after ? words_of_line(after, "then") : []));
    this.place = "";
    this.follow(null, -1);
    this.changed();
  }

  /** Where notes and syllables begin that are shown of a bar. @param {number} bar from 0 */
  starts(bar) {
    const { notes = [], words = [] } = this.line ?? {};
    return [...notes, ...words].filter((each) => each.bar === bar + 1).map((each) => each.beat);
  }

  /** Moves the cursor. @param {number | null} bar from 0, null for none @param {number} beat from 0 */
  follow(bar, beat) {
    const { line } = this;
    if (!line || this.element.hidden) return;
    const sounding = bar === null ? -1 : last_of(line.notes, (note) => note.bar === bar + 1 && note.beat <= beat + 0.02);
    const note = line.notes[sounding];
    const word = bar === null ? -1 : last_of(line.words, (each) => each.bar < bar + 1 || (each.bar === bar + 1 && each.beat <= beat + 0.02));
    const place = `${sounding} ${word}`;
    if (place === this.place) return;
    this.place = place;
    this.cursor.hidden = !note;
    if (note) {
      this.cursor.style.left = `${(100 * (note.x + 4 + note.wide / 2)) / (line.width + 8)}%`;
    }
    [...this.words.querySelectorAll(".here")].forEach((each, i) => {
      each.classList.toggle("on", i === word);
      each.classList.toggle("past", i < word);
    });
  }
}

/** The place of the last one that fits, or -1. @template T @param {T[]} list @param {(each: T) => boolean} fits */
const last_of = (list, fits) => list.reduce((found, each, place) => (fits(each) ? place : found), -1);

/** @param {TuneLine} line @param {string} kind @returns {(Node | string)[]} */
function words_of_line(line, kind) {
  return line.words.flatMap((word) => [make(`span.${kind}`, {}, word.text), word.joined ? "" : " "]);
}
