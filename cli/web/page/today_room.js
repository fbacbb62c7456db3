// The room Today of a packet: for whom, the song's title and ground, one sentence, Play; the days as ticks that stay, the ear
// task, and a text to tell the teacher.
import { make, icon } from "./dom.js";
import { draw_ground } from "./drawing.js";
import { exercise_parts, TaskView } from "./day_task.js";
import { chords_of } from "./practice.js";
import { recall, remember } from "./store.js";
import { say } from "./words.js";

export class TodayRoom {
  /** @param {import("./practice.js").Practice} practice @param {() => void} to_play */
  constructor(practice, to_play) {
    this.practice = practice;
    const { data } = practice;
    this.ticks = recall(`ticks.${this.id()}`, /** @type {Record<string, boolean>} */ ({}));
    this.ground = make("div.ground");
    this.drawn = "";
    this.letter = make("p.letter", { id: "letter" });
    const words = data.words ?? [];
    const student = data.student ?? "";
    const heading = data.song || data.exercise?.title || data.title || say("song");
    const subtitle = student ? say("for_student", student) : heading === data.title ? "" : data.title;
    const hero = make("section.hero", {}, subtitle ? make("p.for", {}, subtitle) : null,
      make("h1", {}, heading), this.ground, ...words.map((line) => make("p.word", {}, line)),
      data.task?.heard ? null : make("button.btn.first.bigplay", { id: "today-play", onclick: () => { to_play(); practice.play(); } }, icon("play"), say("play")));
    const days = (data.days ?? []).map((day, place) => this.day(day, place));
    const task = data.task ? new TaskView(practice, data.task).element : null;
    this.element = make("div.today", {}, hero,
      make("div.side", {},
        (data.missed ?? []).length > 0 ? make("section.missed", {}, make("h2", {}, say("away")), make("ul", {}, ...(data.missed ?? []).map((line) => make("li", {}, line)))) : null,
        days.length > 0 ? make("section.week", { "aria-labelledby": "week" }, make("h2", { id: "week" }, say("this_week")), make("ul", {}, ...days)) : null,
        task,
        data.exercise ? make("section.exercise", {}, ...exercise_parts(practice, data.exercise, true)) : null),
      make("section.tell", { "aria-labelledby": "tell" }, make("h2", { id: "tell" }, say("tell")), this.letter,
        make("button.btn", { id: "copy", onclick: () => this.copy() }, say("copy")), this.copied = make("span.lab", { role: "status" })),
      make("footer.care", {}, make("p.lab", {}, say("health")), make("p.lab", {}, say("private")),
        make("button.link.screen", { id: "print", onclick: () => practice.sheet?.print() }, say("print"))));
    practice.listeners.push(() => this.update());
  }

  id() {
    const { data } = this.practice;
    return data.id ?? `${data.title ?? ""}|${data.song ?? ""}|${data.text}`;
  }

  /** @param {import("./types.js").Day} day @param {number} place */
  day(day, place) {
    const box = make("input.day", { type: "checkbox", id: `day-${place}`, checked: Boolean(this.ticks[place]), onchange: () => {
      this.ticks[place] = box.checked;
      remember(`ticks.${this.id()}`, this.ticks);
      this.update();
    } });
    return make("li", {}, make("label", {}, box, make("span.tk", { "aria-hidden": "true" }, icon("tick")), make("span.dd", {}, make("b", {}, day.day), make("span", {}, day.work))));
  }

  update() {
    const { song, data } = this.practice;
    if (song && this.drawn !== song.placed_key && !data.task) {
      this.drawn = song.placed_key;
      const first = song.sections[0];
      const bars = Array.from({ length: Math.min(first?.bars ?? 0, 8) }, (_, i) => chords_of(song, (first?.bar ?? 1) - 1 + i));
      this.ground.replaceChildren(draw_ground(bars.flat(), song.placed_key));
    }
    this.letter.textContent = this.tell();
  }

  /** A short text for a mail. */
  tell() {
    const { data } = this.practice;
    const title = data.song || data.exercise?.title || data.title || say("song");
    const done = (data.days ?? []).filter((_, place) => this.ticks[place]).map((day) => day.day);
    const minutes = this.practice.minutes_played();
    const days = done.length > 1 ? done.slice(0, -1).join(", ") + say("and") + done.at(-1) : (done[0] ?? "");
    if (!days) return minutes > 0 ? say("tell_only_minutes", title, minutes) : say("tell_none", title);
    return minutes > 0 ? say("tell_minutes", title, days, minutes) : say("tell_days", title, days);
  }

  async copy() {
    const text = this.tell();
    try {
      await navigator.clipboard.writeText(text);
    } catch {
      const field = make("textarea", { value: text });
      document.body.append(field);
      field.select();
      document.execCommand("copy");
      field.remove();
    }
    this.copied.textContent = say("copied");
  }
}

/**
 * The rooms of a packet. What is only heard has no band.
 * @param {import("./practice.js").Practice} practice
 * @param {{play_room: {element: HTMLElement}}} page
 */
export function packet_rooms(practice, page) {
  const today = new TodayRoom(practice, () => (location.hash = "play"));
  const rooms = [{ id: "today", name: say("today"), element: today.element, transport: false }];
  const play = { id: "play", name: say("play_room"), element: page.play_room.element, stage: true };
  return practice.data.task?.heard ? rooms : [...rooms, play];
}
