// An exercise as its student sees it, and a task whose chords are to be found: by ear, or on paper.
import { icon, make } from "./dom.js";
import { draw_rhythm } from "./drawing.js";
import { draw_keyboard, range_of } from "./keyboard.js";
import { chord_symbol, signed } from "./notation.js";
import { say } from "./words.js";

/** @typedef {import("./practice.js").Practice} Practice */

const most_shapes = 8; // that are heard

/**
 * The keys of an exercise: its first shape, else the notes to use.
 * @param {import("./types.js").Exercise} exercise
 * @returns {import("./keyboard.js").AskedKey[]}
 */
function keys_of(exercise) {
  const shape = exercise.shapes?.[0];
  if (shape) return [...shape.left.map((note) => ({ ...note, hand: /** @type {"left"} */ ("left") })), ...shape.right.map((note) => ({ ...note, hand: /** @type {"right"} */ ("right") }))];
  const letters = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };
  let last = 59;
  return (exercise.notes ?? []).map((note) => {
    const alteration = note.slice(1).startsWith("b") ? -note.slice(1).length : note.slice(1).length;
    let midi = /** @type {Record<string, number>} */ (letters)[note[0]] + alteration + 48;
    while (midi <= last) midi += 12;
    last = midi;
    return { midi, note: `${note}4`, hand: /** @type {"right"} */ ("right") };
  });
}

/** What an exercise sounds like: its chords in its rhythm. @param {import("./types.js").Exercise} exercise */
function heard_of(exercise) {
  if (exercise.task?.heard) return exercise.task.heard;
  const shapes = exercise.shapes ?? [];
  const [upper, lower] = (exercise.meter ?? "4/4").split("/").map(Number);
  const bar = (960 * 4 * upper) / lower;
  const rhythm = exercise.rhythm?.length ? exercise.rhythm : [{ quarter: 0, quarters: (4 * upper) / lower }];
  /** @type {number[][]} */
  const notes = [];
  const voices = shapes.length > 0 ? shapes.map((shape) => [...shape.left, ...shape.right].map((note) => note.midi)) : [];
  if (voices.length > 0) {
    voices.forEach((chord, place) => rhythm.forEach((stroke) => chord.forEach((midi) => notes.push([place * bar + stroke.quarter * 960, stroke.quarters * 900, midi, 84]))));
    return { notes, length: bar * (voices.length + 1), tempo: exercise.tempo ?? 80 };
  }
  const keys = keys_of(exercise).map((key) => key.midi);
  keys.forEach((midi, place) => notes.push([place * 480, 460, midi, 84]));
  return keys.length > 0 ? { notes, length: keys.length * 480 + 960, tempo: exercise.tempo ?? 80 } : null;
}

/**
 * The exercise with shapes for its chords where it names none and no notes.
 * @param {Practice} practice
 * @param {import("./types.js").Exercise} exercise
 */
async function with_shapes(practice, exercise) {
  if (exercise.shapes?.length || exercise.notes?.length || exercise.task || !exercise.text) return exercise;
  const song = await practice.cache.song({ text: exercise.text, key: "", mode: "", hands: practice.settings.hands });
  if (song.error) return exercise;
  const chords = song.chords.filter((chord) => chord.root).slice(0, most_shapes);
  return { ...exercise, meter: exercise.meter ?? song.meter, shapes: chords.map((chord) => ({ name: chord.symbol, right: chord.right, left: chord.left })) };
}

/**
 * Rhythm, keys and sound of an exercise; keys and sound come when the program has answered.
 * @param {Practice} practice
 * @param {import("./types.js").Exercise} given
 */
export function exercise_pictures(practice, given) {
  const parts = [];
  if (given.rhythm?.length) parts.push(make("div.rhy", {}, draw_rhythm(given.rhythm, given.meter ?? "4/4", 40)));
  const place = make("div.kb");
  const sound = make("button.btn", {}, icon("ear"), say("hear"));
  with_shapes(practice, given).then((exercise) => {
    const keys = keys_of(exercise);
    if (keys.length > 0) {
      const [low, high] = range_of(keys.map((key) => key.midi));
      const label = say("notes_to_use", keys.map((key) => key.note.replace(/\d$/, "")).join(" "));
      new ResizeObserver(() => place.clientWidth > 0 && draw_keyboard(place, { low, high, asked: keys, least: 64, most: 84, label })).observe(place);
    } else place.remove();
    const heard = heard_of(exercise);
    if (heard) sound.addEventListener("click", () => practice.hear(`exercise ${exercise.id}`, heard));
    else sound.remove();
  });
  return [...parts, place, sound];
}

/**
 * @param {Practice} practice
 * @param {import("./types.js").Exercise} exercise
 * @param {boolean} whole with its heading and what to do
 */
export function exercise_parts(practice, exercise, whole) {
  const line = (/** @type {string} */ id, /** @type {string | undefined} */ text) => (text ? make("p.lab", {}, say(id, signed(text))) : null);
  return [
    whole ? make("h2", {}, signed(exercise.title)) : null,
    make("p", {}, signed(exercise.goal)),
    make("ol.steps", {}, ...exercise.steps.map((step) => make("li", {}, signed(step)))),
    ...exercise_pictures(practice, exercise),
    line("easier", exercise.easier), line("harder", exercise.harder), line("listen", exercise.listen),
    ...(exercise.words ?? []).map((word) => make("p.lab", {}, `${word.word}: ${word.means}`)),
    exercise.caution ? make("p.lab", {}, exercise.caution) : null,
  ];
}

/** Hidden chords as empty boxes, with what is heard and the answer. */
export class TaskView {
  /** @param {Practice} practice @param {import("./types.js").Task} task */
  constructor(practice, task) {
    this.practice = practice;
    this.task = task;
    this.boxes = make("ol.boxes");
    this.solution = make("p", { id: "solution", role: "status" });
    this.answer = make("button.btn.plain", { id: "answer", "aria-expanded": "false", onclick: () => this.toggle() }, say("show_answer"));
    const hear = task.heard ? make("button.btn", { id: "hear-task", onclick: () => practice.hear("task", /** @type {object} */ (task.heard)) }, icon("ear"), say("hear")) : null;
    this.element = make("section.eartask", { "aria-labelledby": "ears" }, make("h2", { id: "ears" }, task.heard ? say("ears") : say("to_find")),
      make("p", { id: "asks" }, task.asks || say("to_find")), this.boxes, make("div.acts", {}, hear, this.answer), this.solution);
    this.draw([]);
  }

  async toggle() {
    const { practice } = this;
    practice.answer_shown = !practice.answer_shown;
    this.answer.textContent = say(practice.answer_shown ? "hide_answer" : "show_answer");
    this.answer.setAttribute("aria-expanded", String(practice.answer_shown));
    const text = practice.answer_shown ? this.task.text : practice.data.text;
    await practice.change({ text });
    const words = (this.task.solution ?? []).join(", ");
    this.solution.textContent = practice.answer_shown ? words : "";
    this.draw(practice.answer_shown ? (practice.song?.chords ?? []).map((chord) => chord.symbol) : []);
  }

  /** @param {string[]} symbols of all chords, once they are shown */
  draw(symbols) {
    this.boxes.setAttribute("aria-label", say("hidden_chords", this.task.hidden.length));
    this.boxes.replaceChildren(...this.task.hidden.map((index, place) => (symbols[index] ? make("li.open", {}, chord_symbol(symbols[index])) : make("li", {}, String(place + 1)))));
  }
}
