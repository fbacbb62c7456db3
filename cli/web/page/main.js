// The page as a whole: its rooms, its head and its transport, and what is shown of the moment that sounds.
import { by_id, icon, make } from "./dom.js";
import { chord_symbol } from "./notation.js";
import { chords_of, Practice } from "./practice.js";
import { PlayRoom } from "./play_room.js";
import { pulses_of } from "./timeline.js";
import { Transport } from "./transport.js";
import { language, say } from "./words.js";

/** @typedef {{id: string, name: string, element: HTMLElement, stage?: boolean, transport?: boolean, quiet?: boolean, enter?: () => void}} Room */

// Between two looks at what sounds.
const shortest_ms = 4, soon_ms = 20, late_ms = 250;

/** @returns {import("./types.js").PageData} */
export const page_data = () => JSON.parse(by_id("data").textContent ?? "{}");

export class Page {
  /** @param {Practice} practice */
  constructor(practice) {
    this.practice = practice;
    this.play_room = new PlayRoom(practice);
    /** @type {Room[]} */
    this.rooms = [];
    /** @type {Room | null} */
    this.room = null;
    this.nav = make("nav", { "aria-label": say("rooms") });
    this.title = make("p.song");
    this.main = make("main", { id: "main" });
    this.transport = new Transport(practice, { quiet: () => Boolean(this.room?.quiet) || practice.asleep });
    /** @type {import("./types.js").TimedBar | null} */
    this.last_bar = null;
    practice.listeners.push(() => this.update());
  }

  /** @param {Room[]} rooms */
  begin(rooms) {
    document.documentElement.lang = language;
    document.getElementById("plain")?.remove();
    this.rooms = rooms;
    this.nav.append(...rooms.map((room) => make("a", { href: `#${room.id}`, id: `room-${room.id}` }, room.name)));
    const to_transport = (/** @type {Event} */ event) => {
      event.preventDefault();
      by_id("play").focus();
    };
    const skip = make("a.skip", { href: "#transport", onclick: to_transport }, say("to_transport"));
    const head = make("header.head", {}, make("p.brand", {}, "romanesca"), this.nav, this.title);
    document.body.prepend(skip, head, this.main, this.transport.element);
    addEventListener("hashchange", () => this.enter(location.hash.slice(1)));
    addEventListener("keydown", (event) => event.key === "Escape" && this.play_room.drawers.close());
    addEventListener("resize", () => {
      this.play_room.shown = "";
      this.play_room.beat();
      this.measure();
    });
    this.enter(location.hash.slice(1));
    // Between changes nothing is looked at: that is most of what showing the music would cost.
    let timer = 0;
    let due = 0; // when it looks again, in milliseconds
    const plan = (/** @type {number} */ wait_ms) => {
      clearTimeout(timer);
      due = performance.now() + wait_ms;
      timer = window.setTimeout(look, wait_ms);
    };
    const look = () => {
      this.look();
      plan(this.until_change_ms());
    };
    // What has changed may change what comes next; never later than it would have looked.
    const look_soon = () => {
      const wait_ms = Math.min(soon_ms, this.until_change_ms());
      if (performance.now() + wait_ms < due) plan(wait_ms);
    };
    this.practice.listeners.push(() => (this.practice.timeline.playing ? look_soon() : look()));
    look();
  }

  /** @param {string} id */
  enter(id) {
    const room = this.rooms.find((each) => each.id === id) ?? this.rooms[0];
    this.play_room.drawers.close();
    this.room = room;
    for (const link of this.nav.children) {
      if (link.id === `room-${room.id}`) link.setAttribute("aria-current", "page");
      else link.removeAttribute("aria-current");
    }
    this.main.replaceChildren(room.element);
    document.body.classList.toggle("stage", Boolean(room.stage));
    this.transport.element.hidden = room.transport === false;
    room.enter?.();
    this.play_room.shown = "";
    this.play_room.pressed = "";
    this.practice.changed();
    this.measure();
    scrollTo(0, 0);
  }

  /** What lies under a drawer. */
  measure() {
    const style = document.documentElement.style;
    const edge = this.transport.element.offsetHeight;
    const tools = /** @type {HTMLElement | null} */ (document.querySelector(".tools"))?.offsetHeight ?? 0;
    const keys = /** @type {HTMLElement | null} */ (document.querySelector(".keys"))?.offsetHeight ?? 0;
    style.setProperty("--tr", `${edge}px`);
    style.setProperty("--up", `${edge + tools + keys}px`);
  }

  update() {
    const title = this.practice.song?.title || this.practice.data.song || "";
    this.title.textContent = this.room?.stage ? title : "";
    document.title = document.title || "romanesca";
  }

  /** How long nothing will change, as far as is known: to the next pulse, chord or note. */
  until_change_ms() {
    const { timeline } = this.practice;
    const position = timeline.position();
    if (!position) return timeline.playing ? soon_ms : late_ms;
    const { bar, beat, beats } = position;
    const pulses = pulses_of(bar);
    const next = [
      beats, ...Array.from({ length: pulses }, (_, i) => (i * beats) / pulses), ...chords_of(bar.song, bar.bar).map((chord) => chord.beat - 1),
      ...this.play_room.tune.starts(bar.bar),
    ].filter((each) => each > beat);
    const seconds = ((Math.min(...next) - beat) / beats) * (bar.until - bar.at);
    return Math.max(shortest_ms, Math.min(late_ms, 1000 * seconds + 1));
  }

  /** Shows what sounds now. */
  look() {
    const { timeline } = this.practice;
    const position = timeline.position();
    const bar = position?.bar ?? null;
    if (bar !== this.last_bar) {
      const settings = bar?.settings !== this.last_bar?.settings || bar?.song !== this.last_bar?.song;
      this.last_bar = bar;
      if (settings || !bar) this.practice.changed();
      else this.transport.update();
    }
    if (!timeline.playing) return;
    this.transport.beat();
    if (this.room?.stage) this.play_room.beat();
  }
}

/** Starts the program; the page is ready when the song has been read. @param {Practice} practice @param {() => void} begin */
export async function start_page(practice, begin) {
  try {
    const { text } = practice.settings;
    if (text) practice.foresee(); // while the rooms are built
    begin();
    await practice.engine.band.ready;
    if (text) await practice.read_song();
    document.body.dataset.ready = String(Math.round(performance.now()));
  } catch (fault) {
    document.body.prepend(make("p", { role: "alert" }, say("refused", fault instanceof Error ? fault.message : String(fault))));
  }
}

/** Three rows of four chords, and a line for one's own. @param {(text: string) => void} choose */
export function first_run(choose) {
  const rows = [["C", "Am", "F", "G"], ["Em", "C", "G", "D"], ["F", "C", "Dm", "Bb"]];
  const own = make("input.field", { id: "own", autocomplete: "off", spellcheck: "false", placeholder: "D A Bm G" });
  const begin = (/** @type {Event} */ event) => {
    event.preventDefault();
    if (own.value.trim()) choose(own.value);
  };
  return make("div.emptyroom", {}, make("section.begin", {}, make("h1", {}, say("first_run")), make("p.lead", {}, say("first_run_says")),
    make("ul.fours", {}, ...rows.map((row) => make("li", {}, make("button.four", { onclick: () => choose(`| ${row.join(" | ")} |`) }, icon("play"),
      make("span.row4", {}, ...row.map((symbol) => make("span", {}, chord_symbol(symbol)))))))),
    make("form.own", { onsubmit: begin }, make("label", { for: "own" }, say("own_chords")), make("div", {}, own, make("button.btn", { type: "submit" }, say("begin")))),
    make("p.lab", {}, say("care"))));
}
