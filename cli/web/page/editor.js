// The song as text: what is typed, with faults and doubtful readings underlined in place.
import { make } from "./dom.js";
import { say } from "./words.js";

/** @typedef {{line: number, column: number, width: number, kind: "bad" | "dec"}} Mark columns from 1, in characters */

export class Editor {
  /** @param {(text: string) => void} typed */
  constructor(typed) {
    this.field = make("textarea", {
      id: "text", spellcheck: "false", autocomplete: "off", autocapitalize: "off", rows: 1, "aria-label": say("song_as_text"),
      "aria-describedby": "fault", oninput: () => { this.paint(); typed(this.field.value); },
    });
    this.under = make("div.under", { "aria-hidden": "true" });
    this.element = make("div.sheet", {}, this.under, this.field);
    /** @type {Mark[]} */
    this.marks = [];
  }

  get text() {
    return this.field.value;
  }

  /** @param {string} text */
  set text(text) {
    if (this.field.value !== text) this.field.value = text;
    this.paint();
  }

  /** @param {Mark[]} marks */
  mark(marks) {
    this.marks = marks;
    this.field.setAttribute("aria-invalid", String(marks.some((mark) => mark.kind === "bad")));
    this.paint();
  }

  /** The same text under the field, with the marks; it also gives the field its height. */
  paint() {
    const lines = this.field.value.split("\n");
    this.under.replaceChildren(...lines.flatMap((/** @type {string} */ line, /** @type {number} */ number) => [...this.line(line, number + 1), "\n"]), "\u200b");
  }

  /** @param {string} line @param {number} number @returns {(string | HTMLElement)[]} */
  line(line, number) {
    const characters = [...line];
    const marks = this.marks.filter((mark) => mark.line === number).sort((a, b) => a.column - b.column);
    const pieces = [];
    let at = 0;
    for (const mark of marks) {
      const from = Math.max(at, mark.column - 1);
      pieces.push(characters.slice(at, from).join(""));
      at = Math.min(characters.length, from + Math.max(1, mark.width));
      pieces.push(make(`mark.${mark.kind}`, {}, characters.slice(from, at).join("") || " "));
    }
    pieces.push(characters.slice(at).join(""));
    return pieces;
  }
}
