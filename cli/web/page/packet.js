// A packet: it opens on Today, and its band is in Play.
import { Page, page_data, start_page } from "./main.js";
import { Practice } from "./practice.js";
import { PrintSheet } from "./print_sheet.js";
import { packet_rooms } from "./today_room.js";

const practice = new Practice(page_data());
const page = new Page(practice);

practice.sheet = new PrintSheet(practice, () => practice.data);
start_page(practice, () => {
  page.begin(packet_rooms(practice, page));
});
