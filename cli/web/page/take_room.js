// The room Take home: the packet as the student will see it, edited in place; beside it three exercises to choose from; then
// save, print, share.
import { exercise_pictures } from "./day_task.js";
import { icon, make, save_file } from "./dom.js";
import { draw_ground } from "./drawing.js";
import { segments } from "./drawers.js";
import { file_name, packet_html } from "./packet_file.js";
import { signed } from "./notation.js";
import { chords_of } from "./practice.js";
import { new_id, recall, remember } from "./store.js";
import { say, words_of } from "./words.js";

/** @typedef {import("./types.js").Exercise} Exercise */
/** @typedef {{student: string, words: string, days: {day: string, work: string}[], level: number, exercise: string, seed: number}} Draft */

/** @type {Draft} */
const first_draft = { student: "", words: "", days: [], level: 3, exercise: "", seed: 1 };

export class TakeRoom {
  /** @param {import("./practice.js").Practice} practice @param {string} source the page's own HTML */
  constructor(practice, source) {
    this.practice = practice;
    this.source = source;
    this.draft = { ...first_draft, ...recall("draft", first_draft) };
    /** @type {Exercise[]} */
    this.exercises = [];
    this.asked = ""; // what the exercises were set for
    this.drawn = "";
    this.label = "";
    this.title = make("h1", { id: "packet-title" });
    this.ground = make("div.ground");
    this.student = make("input.field", { id: "for", value: this.draft.student, maxlength: 100, autocomplete: "off", oninput: () => this.set({ student: this.student.value }) });
    this.words = make("textarea.words", { id: "greeting", rows: 2, maxlength: 2000, value: this.draft.words, oninput: () => this.set({ words: this.words.value }) });
    this.days = make("ol.dayset");
    const levels = Array.from({ length: 8 }, (_, i) => ({ value: String(i + 1), text: String(i + 1) }));
    const choose_level = segments("level", say("level_of_hands"), levels, String(this.draft.level), (level) => this.set_level(Number(level)));
    this.cards = make("div.cards", { role: "radiogroup", "aria-labelledby": "choose" });
    this.save_button = make("button.btn.first", { id: "save", onclick: () => this.save() });
    this.file = make("p.lab");
    this.element = make("div.take", {},
      make("section.leaf", { "aria-labelledby": "packet-title" },
        make("div.who2", {}, make("label", { for: "for" }, say("for")), this.student), this.title, this.ground,
        make("label.vh", { for: "greeting" }, say("few_words")), this.words,
        make("h2", {}, say("days")), this.days,
        make("button.link.another", { id: "another-day", onclick: () => this.add_day() }, say("another_day")),
        make("div.lev", {}, make("h2", {}, say("hands")), choose_level)),
      make("section.choose", { "aria-labelledby": "choose" }, make("h2", { id: "choose" }, say("one_exercise")), this.cards,
        make("div.acts", {}, make("button.btn", { id: "others", onclick: () => this.others() }, say("three_others")),
          make("button.link", { id: "none", onclick: () => this.choose("") }, say("no_exercise")))),
      make("section.send", { "aria-label": say("give_away") },
        make("div.acts", {}, this.save_button, make("button.btn", { id: "print", onclick: () => this.practice.sheet?.print() }, say("print")),
          typeof navigator.canShare === "function" ? make("button.btn", { id: "share", onclick: () => this.share() }, say("share")) : null), this.file,
        make("p.lab.private", {}, say("private"))));
    practice.listeners.push(() => this.update());
    this.show_days();
  }

  /** @param {Partial<Draft>} changes */
  set(changes) {
    this.draft = { ...this.draft, ...changes };
    remember("draft", this.draft);
    this.update();
  }

  /** @param {number} level */
  async set_level(level) {
    this.set({ level });
    const { data } = this.practice;
    data.level = level;
    await this.practice.change({ hands: data.levels?.[level - 1] ?? {} });
    await this.read_exercises();
  }

  /** Three exercises for the level, the student's song first. */
  async read_exercises() {
    const { practice, draft } = this;
    const asked = JSON.stringify([practice.settings.text, practice.settings.key, draft.level, draft.seed]);
    if (asked === this.asked || !practice.song) return;
    this.asked = asked;
    const answer = await practice.engine.ask({ do: "exercises", text: practice.settings.text, key: practice.settings.key, mode: practice.settings.mode, level: draft.level, seed: draft.seed, choices: 3 });
    if (this.asked !== asked) return;
    this.exercises = answer.exercises ?? [];
    if (this.draft.exercise && !this.exercises.some((each) => each.id === this.draft.exercise)) this.draft.exercise = this.exercises[0]?.id ?? "";
    this.show_cards();
    this.update();
  }

  others() {
    this.set({ seed: this.draft.seed + 1 });
    return this.read_exercises();
  }

  /** @param {string} id "" for none */
  choose(id) {
    this.set({ exercise: id });
    for (const box of this.cards.querySelectorAll("input")) box.checked = box.value === id;
  }

  show_cards() {
    this.cards.replaceChildren(...this.exercises.map((exercise, place) => {
      const box = make("input.rad", { type: "radio", name: "exercise", value: exercise.id, id: `exercise-${place}`, checked: exercise.id === this.draft.exercise, onchange: () => this.choose(exercise.id) });
      return make("div.card", {}, make("label", {}, box, make("span.ct", {}, signed(exercise.title))), make("p", {}, signed(exercise.goal)), ...exercise_pictures(this.practice, exercise));
    }));
  }

  show_days() {
    const { days } = this.draft;
    this.days.replaceChildren(...days.map((day, place) => {
      const work = make("input.field", { id: `day-${place}`, value: day.work, maxlength: 200, oninput: () => this.set({ days: days.map((each, i) => (i === place ? { ...each, work: work.value } : each)) }) });
      const leave = () => {
        this.set({ days: this.draft.days.filter((_, i) => i !== place) });
        this.show_days();
      };
      return make("li", {}, make("label", { for: `day-${place}` }, day.day), work, make("button.x", { "aria-label": say("leave_out", day.day), onclick: leave }, icon("close")));
    }));
  }

  add_day() {
    const names = words_of("days");
    const free = names.find((name) => !this.draft.days.some((each) => each.day === name));
    if (!free) return;
    const days = [...this.draft.days, { day: free, work: "" }].sort((a, b) => names.indexOf(a.day) - names.indexOf(b.day));
    this.set({ days });
    this.show_days();
    document.getElementById(`day-${days.findIndex((each) => each.day === free)}`)?.focus();
  }

  song_title() {
    return this.practice.song?.title || say("untitled");
  }

  packet_title() {
    const { student } = this.draft;
    return student.trim() ? say("named_for", this.song_title(), student.trim()) : this.song_title();
  }

  update() {
    const { song } = this.practice;
    if (!song) return;
    const student = this.draft.student.trim();
    this.title.textContent = this.song_title();
    const drawn = JSON.stringify([song.placed_key, song.chords.slice(0, 16).map((chord) => chord.symbol)]);
    if (drawn !== this.drawn) {
      this.drawn = drawn;
      const first = song.sections[0];
      const bars = Array.from({ length: Math.min(first?.bars ?? 0, 8) }, (_, i) => chords_of(song, (first?.bar ?? 1) - 1 + i));
      this.ground.replaceChildren(draw_ground(bars.flat(), song.placed_key));
    }
    const label = student ? say("save_for", student) : say("save");
    if (label !== this.label) {
      this.label = label;
      this.save_button.replaceChildren(icon("save"), label);
    }
    this.file.textContent = say("one_file", this.packet_title());
    if (this.element.isConnected) this.read_exercises();
  }

  /** What the packet holds. @returns {import("./types.js").PageData} */
  packet() {
    const { practice, draft } = this;
    const { settings, song } = practice;
    const exercise = this.exercises.find((each) => each.id === draft.exercise) ?? null;
    return {
      kind: "packet", id: new_id(), title: this.packet_title(), text: settings.text, key: song?.placed_key ?? "", mode: settings.mode, tempo: settings.tempo, style: settings.style,
      hands: practice.data.levels?.[draft.level - 1] ?? {}, student: draft.student.trim(), song: this.song_title(),
      words: draft.words.split("\n").filter((line) => line.trim()), missed: [], days: draft.days, exercise,
    };
  }

  html() {
    return packet_html(this.source, this.packet(), this.packet_title());
  }

  save() {
    save_file(file_name(this.packet_title()), new Blob([this.html()], { type: "text/html" }));
  }

  async share() {
    const file = new File([this.html()], file_name(this.packet_title()), { type: "text/html" });
    if (!navigator.canShare({ files: [file] })) return this.save();
    try {
      await navigator.share({ files: [file], title: this.packet_title() });
    } catch {
      // The user has closed the system's window.
    }
  }
}
