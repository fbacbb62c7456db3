// What is printed, whatever room is open: the chart as the program sets it on paper, words, days, the exercise.
// A browser does not wait while it prints, so the sheet is ready beforehand.
import { make } from "./dom.js";
import { exercise_parts } from "./day_task.js";
import { language, say } from "./words.js";

const drawn_after_ms = 1500; // Play, pressed at once, comes first
const line_points = 22; // of what stands under the chart

// Where paper is 216 by 279 mm (CLDR, paperSize); elsewhere it is A4.
const letter_regions = ["BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"];

/** Whether a language, such as "en-US", says so. @param {string} tag */
export const wants_letter = (tag) => letter_regions.includes(tag.split("-").at(-1) ?? "");

export class PrintSheet {
  /**
   * @param {import("./practice.js").Practice} practice
   * @param {() => import("./types.js").PageData} packet what the sheet is made of
   */
  constructor(practice, packet) {
    this.practice = practice;
    this.packet = packet;
    this.chart = make("div.pages");
    this.element = make("div.paper", {}, this.chart);
    this.asked = ""; // for the chart
    this.drawing = Promise.resolve();
    document.body.append(this.element);
    let timer = 0;
    practice.listeners.push(() => {
      clearTimeout(timer);
      if (!practice.timeline.playing) timer = window.setTimeout(() => this.draw(), drawn_after_ms);
    });
    addEventListener("beforeprint", () => this.fill());
  }

  /** Sets the chart, if it has changed. */
  async draw() {
    const { practice } = this;
    const { settings, data, song } = practice;
    if (!song || practice.fault) return;
    const { song: title = "", student = "", words = [], days = [] } = this.packet();
    const below = line_points * (2 + words.length + Math.ceil(days.length / 2));
    const hidden = practice.answer_shown ? [] : (data.task?.hidden ?? []);
    const request = {
      do: "paper", text: settings.text, key: settings.key, mode: settings.mode, hands: settings.hands, title, student, below, language, hidden,
      letter: wants_letter(navigator.language), ...(data.sung ? { sung: data.sung } : {}), ...(data.form ? { form: data.form } : {}), ...(settings.tune ? { tune: settings.tune } : {}),
    };
    const asked = JSON.stringify(request);
    if (asked !== this.asked) {
      this.asked = asked;
      const draw = (/** @type {{pages?: string[]}} */ { pages = [] }) => {
        if (asked === this.asked) this.chart.innerHTML = pages.join("");
      };
      this.drawing = practice.engine.ask(request).then(draw, () => {
        if (asked === this.asked) this.asked = "";
      });
    }
    await this.drawing;
  }

  /** Puts beside the chart what needs no time. */
  fill() {
    const data = this.packet();
    const days = (data.days ?? []).map((day) => make("li", {}, make("span.box", {}, "□ "), make("b", {}, day.day), day.work ? `: ${day.work}` : ""));
    this.element.replaceChildren(...[
      this.practice.song ? this.chart : make("h1", {}, data.song || say("song")),
      !data.student && data.title && data.title !== data.song ? make("p.for", {}, data.title) : null,
      ...(data.words ?? []).map((line) => make("p.word", {}, line)),
      days.length > 0 ? make("ul.days", {}, ...days) : null,
      data.exercise ? make("section.exercise", {}, ...exercise_parts(this.practice, data.exercise, true)) : null,
      make("p.care", {}, say("health")),
    ].filter((each) => each !== null));
  }

  async print() {
    await this.draw();
    print();
  }
}
