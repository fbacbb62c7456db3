// The microphone among the ways to practise: what it is for, the headphones, and a first minute in a new room.
import { make } from "./dom.js";
import { say } from "./words.js";

/** @typedef {import("./practice.js").Practice} Practice */

const quiet_ms = 3000;
const playing_ms = 12000;

/**
 * What the microphone gives, in plain sentences.
 * @param {{heard: boolean, clipped: boolean, soft: boolean, loud_room: boolean, in_tune: boolean, hum: number, cents: number}} room
 */
export function room_sentences({ heard, clipped, soft, loud_room, in_tune, hum, cents }) {
  if (!heard) return [say("room_silent")];
  const said = [say(clipped ? "room_clipped" : soft ? "room_soft" : "room_level"), say(loud_room ? "room_loud" : "room_quiet")];
  if (hum > 0) said.push(say("room_hum", Math.round(hum)));
  said.push(in_tune ? say("room_in_tune") : say(cents < 0 ? "room_flat" : "room_sharp", Math.round(Math.abs(cents))));
  return said;
}

/** Whether the page has what listens, and the browser a microphone. */
export const can_listen = () => document.getElementById("hearing") !== null && "mediaDevices" in navigator;

/** @param {number} ms */
const pass = (ms) => new Promise((done) => setTimeout(done, ms));

/** Three seconds of the room, then the piano. @param {Practice} practice @param {HTMLElement} said */
async function try_room(practice, said) {
  const { microphone } = practice;
  practice.stop();
  microphone.measure("quiet");
  said.textContent = say("room_wait");
  await pass(quiet_ms);
  microphone.measure("listen");
  said.textContent = say("room_play");
  await pass(playing_ms);
  if (microphone.on) said.replaceChildren(...room_sentences(microphone.room()).map((sentence) => make("span.line", {}, `${sentence} `)));
}

/** @param {Practice} practice @param {() => void} redraw */
export function microphone_way(practice, redraw) {
  const { microphone } = practice;
  const said = make("span.lab", { role: "status" }, say(microphone.on ? (practice.settings.no_chords ? "mic_on_alone" : "mic_on") : "mic_says"));
  const ask = async () => {
    try {
      await practice.listen_to_piano(practice.headphones);
      redraw();
    } catch {
      said.textContent = say("mic_refused");
    }
  };
  const stop = async () => {
    await practice.stop_listening();
    redraw();
  };
  const box = make("input.chk", { type: "checkbox", id: "headphones", checked: practice.headphones, onchange: () => {
    practice.headphones = box.checked;
    if (microphone.on) practice.change({ no_chords: !box.checked }).then(redraw);
  } });
  const room = make("p.lab.after", { role: "status" });
  return make("div", {},
    make("div.way", {}, said, microphone.on ? make("button.btn", { id: "microphone", onclick: stop }, say("mic_off")) : make("button.btn", { id: "microphone", onclick: ask }, say("mic"))),
    make("label.way", {}, make("span", {}, say("headphones"), make("span.lab", {}, say("headphones_says"))), make("span.hit", {}, box)),
    microphone.on ? make("div.way", {}, make("span.lab", {}, say("room_says")), make("button.btn", { id: "try-room", onclick: () => try_room(practice, room) }, say("room_try"))) : null,
    room);
}
