// The lesson page: Play, Write and Take home. A packet that was saved from it has the same script, and opens on Today.
import { first_run, Page, page_data, start_page } from "./main.js";
import { Practice } from "./practice.js";
import { make } from "./dom.js";
import { PrintSheet } from "./print_sheet.js";
import { recall, remember, stored_songs } from "./store.js";
import { TakeRoom } from "./take_room.js";
import { packet_rooms } from "./today_room.js";
import { say } from "./words.js";
import { WriteRoom } from "./write_room.js";

const data = page_data();
const source = /** @type {any} */ (globalThis).page_source ?? "";
const lesson = data.kind === "lesson";
data.level = recall("draft", { level: 3 }).level ?? 3;
if (lesson) {
  // The song that was open last, in its key, tempo and style.
  const song = stored_songs().find((each) => each.id === recall("open_song", "")) ?? stored_songs()[0];
  if (!data.text && song) Object.assign(data, { text: song.text, key: song.key, style: song.style, tempo: song.tempo, mode: song.mode });
  data.hands = data.levels?.[data.level - 1] ?? {};
}
const practice = new Practice(data);
const page = new Page(practice);

/** @type {WriteRoom} */
let write_room;
/** @type {TakeRoom} */
let take_room;

function begin_lesson() {
  write_room = new WriteRoom(practice);
  take_room = new TakeRoom(practice, source);
  const empty = make("div", { class: "first-run" });
  if (!data.text) {
    empty.append(first_run(async (text) => {
      open_play();
      await write_room.songs.begin(text);
      page.enter("play");
      if (!practice.fault) practice.play();
      else location.hash = "write";
    }));
  }
  // The first song opens the room, wherever it was written.
  const open_play = () => {
    if (play.element !== empty) return;
    empty.replaceWith(page.play_room.element);
    Object.assign(play, { element: page.play_room.element, stage: true, quiet: false });
  };
  const play = { id: "play", name: say("play_room"), element: data.text ? page.play_room.element : empty, stage: Boolean(data.text), quiet: !data.text };
  page.begin([
    play,
    { id: "write", name: say("write"), element: write_room.element, quiet: true, enter: () => write_room.enter() },
    { id: "take", name: say("take_home"), element: take_room.element, quiet: true },
  ]);
  practice.engine.ask({ do: "library" }).then(({ patterns }) => write_room.songs.offer(patterns));
  // Settings are kept with the song whenever they change.
  let kept = "";
  practice.listeners.push(() => {
    const { key, tempo, style, text } = practice.settings;
    if (text && practice.song) open_play();
    const state = JSON.stringify([key, tempo, style]);
    if (state === kept || !text || write_room.text !== text) return;
    kept = state;
    write_room.songs.keep(text);
  });
  addEventListener("pagehide", () => write_room.songs.keep(write_room.text));
  remember("opened", Date.now());
}

practice.sheet = new PrintSheet(practice, () => (lesson ? take_room.packet() : data));
start_page(practice, lesson ? begin_lesson : () => page.begin(packet_rooms(practice, page)));
