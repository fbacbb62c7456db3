// A packet: it opens on Today, and its band is in Play.
import { Page, page_data, start_page } from "./main.js";
import { Practice } from "./practice.js";
import { TodayRoom } from "./today_room.js";
import { say } from "./words.js";

const practice = new Practice(page_data());
const page = new Page(practice);

start_page(practice, () => {
  const today = new TodayRoom(practice, () => (location.hash = "play"));
  page.begin([
    { id: "today", name: say("today"), element: today.element, transport: false },
    { id: "play", name: say("play_room"), element: page.play_room.element, stage: true },
  ]);
});
