// What is printed, whatever room is open: title, words, days, the chart, each voicing once, and the exercise.
import { Chart } from "./chart.js";
import { make } from "./dom.js";
import { exercise_parts } from "./day_task.js";
import { asked_keys, draw_keyboard } from "./keyboard.js";
import { chord_symbol, key_name } from "./notation.js";
import { say } from "./words.js";

const most_voicings = 24;

/**
 * @param {import("./practice.js").Practice} practice
 * @param {() => import("./types.js").PageData} packet what the sheet is made of
 */
export function print_sheet(practice, packet) {
  /** @type {HTMLElement | null} */
  let sheet = null;
  const chart = new Chart(practice);
  addEventListener("beforeprint", () => {
    sheet?.remove();
    const data = packet();
    const { song } = practice;
    chart.drawn = "";
    chart.update();
    const form = /** @type {HTMLElement} */ (chart.element.cloneNode(true));
    for (const bar of form.querySelectorAll(".now")) bar.classList.remove("now");
    const days = (data.days ?? []).map((day) => make("li", {}, make("span.box", {}, "□ "), make("b", {}, day.day), day.work ? `: ${day.work}` : ""));
    sheet = make("div.paper", {},
      data.student ? make("p.for", {}, say("for_student", data.student)) : data.title && data.title !== data.song ? make("p.for", {}, data.title) : null,
      make("h1", {}, data.song || song?.title || say("song")),
      song ? make("p.lab", {}, `${key_name(song.placed_key).whole}, ${song.meter}, ♩ = ${Math.round(practice.tempo())}`) : null,
      ...(data.words ?? []).map((line) => make("p.word", {}, line)),
      days.length > 0 ? make("ul.days", {}, ...days) : null,
      form, song ? make("div.shapes", {}, ...shapes(practice, song)) : null,
      data.exercise ? make("section.exercise", {}, ...exercise_parts(practice, data.exercise, true)) : null);
    if (sheet) document.body.append(sheet);
  });
  addEventListener("afterprint", () => sheet?.remove());
}

/** @param {import("./practice.js").Practice} practice @param {import("./types.js").Song} song */
function shapes(practice, song) {
  const [low, high] = practice.range();
  /** @type {Map<string, import("./types.js").Chord>} */
  const once = new Map();
  const hidden = practice.answer_shown ? [] : (practice.data.task?.hidden ?? []);
  song.chords.forEach((chord, index) => {
    if (chord.root && !hidden.includes(index)) once.set(JSON.stringify([chord.symbol, chord.left, chord.right.map((note) => note.midi)]), chord);
  });
  return [...once.values()].slice(0, most_voicings).map((chord) => {
    const place = make("div.kb");
    draw_keyboard(place, { low, high, asked: asked_keys(chord, "both"), least: 56, most: 56 });
    return make("div.shape", {}, chord_symbol(chord.symbol), place);
  });
}
