// The room Write: a recording from a file becomes a song, as a draft; what was heard, and what can be corrected at once.
import { make } from "./dom.js";
import { key_name } from "./notation.js";
import { Recording, Refused } from "./recording.js";
import { stored_songs } from "./store.js";
import { say } from "./words.js";

/** @typedef {import("./recording.js").HeardChart} HeardChart */
/** @typedef {import("./recording.js").Wanted} Wanted */
/** @typedef {{wanted: Wanted, heard: HeardChart, text: string}} Reading the text as it was heard, or as it was edited since */

const slowest_tap = 30;
const fastest_tap = 240; // beats a minute that may be tapped, as in the command
const taps_needed = 4;
const tap_rest_ms = 1500; // without a tap before they count
const most_named = 12; // doubtful bars that a sentence names

/** @type {Record<string, string>} */
const reasons = { too_short: "rec_short", silent: "rec_silent", steady: "rec_steady", no_chords: "rec_no_chords" };

/** A title from a file's name. @param {string} name */
export const title_of = (name) => name.replace(/\.[^.]*$/, "").replace(/[\s\u0000-\u001f\u007f]+/g, " ").trim().slice(0, 100);

/** The other tempo, half or twice as fast. @param {Wanted} wanted @param {number} by 0.5 or 2 @returns {Wanted | null} null where there is none */
export function other_tempo(wanted, by) {
  const { tempo, factor } = wanted;
  const next = tempo > 0 ? { ...wanted, tempo: tempo * by, shift: 0 } : { ...wanted, factor: factor * by, shift: 0 };
  const there = tempo > 0 ? next.tempo >= slowest_tap && next.tempo <= fastest_tap : next.factor >= 0.5 && next.factor <= 2;
  return there ? next : null;
}

/** Bar lines some beats later, within a bar. @param {Wanted} wanted @param {number} by @param {number} pulses in a bar */
export const other_lines = (wanted, by, pulses) => ({ ...wanted, shift: (wanted.shift + by) % pulses });

/** The tempo of some taps, or 0. @param {number[]} taps in milliseconds */
export function tapped_tempo(taps) {
  if (taps.length < taps_needed) return 0;
  const tempo = Math.round((60000 * (taps.length - 1)) / (taps[taps.length - 1] - taps[0]));
  return tempo >= slowest_tap && tempo <= fastest_tap ? tempo : 0;
}

/** What was heard, in plain sentences. @param {HeardChart} heard */
export function heard_sentences({ bars, meter, tempo, key, cents, doubtful }) {
  const said = [say("rec_heard", bars, meter, tempo, key_name(key).whole)];
  if (Math.abs(cents) >= 8) said.push(say(cents < 0 ? "room_flat" : "room_sharp", Math.abs(cents)));
  if (doubtful.length === 0) said.push(say("rec_check"));
  else said.push(say(doubtful.length === 1 ? "rec_check_bar" : "rec_check_bars", doubtful.length, doubtful.slice(0, most_named).join(", ") + (doubtful.length > most_named ? " …" : "")));
  return said;
}

export class RecordingPanel {
  /** @param {import("./write_room.js").WriteRoom} room */
  constructor(room) {
    this.room = room;
    /** @type {Recording | null} */
    this.recording = null;
    /** @type {Wanted} */
    this.wanted = { title: "", tempo: 0, meter: "", factor: 1, shift: 0 }; // last
    /** @type {Reading | null} */
    this.shown = null;
    /** @type {Reading[]} */
    this.before = []; // corrections to take back
    this.song = ""; // the song of the recording
    this.former = ""; // the song that was open before
    this.asked = 0;
    /** @type {number[]} */
    this.taps = [];
    this.link = "";
    this.file = make("input", { type: "file", id: "recording-file", accept: "audio/*,.m4a,.flac,.opus", hidden: true, onchange: () => this.take(this.file.files[0]) });
    this.open = make("button.link", { id: "recording", "aria-expanded": "false", "aria-controls": "recording-panel", onclick: () => this.toggle() }, say("rec"));
    this.choose = make("button.btn", { id: "recording-open", onclick: () => this.file.click() }, say("rec_open"));
    this.stop = make("button.link", { id: "recording-stop", hidden: true, onclick: () => this.stopped() }, say("rec_stop"));
    this.status = make("p.outcome", { id: "recording-said", role: "status" });
    this.undo = make("button.link", { id: "recording-undo", hidden: true, onclick: () => this.take_back() }, say("undo"));
    this.player = make("audio", { controls: "", preload: "metadata", "aria-label": say("rec_listen") });
    this.result = make("div.result", { hidden: true });
    this.panel = make("div.panel", { id: "recording-panel", hidden: true },
      make("p", {}, say("rec_says")), make("p.lab", {}, say("rec_private"), " ", say("rec_rights")),
      make("div.acts", {}, this.choose, this.stop, this.file), this.status, this.undo, this.result);
    this.element = make("section.recording", { "aria-labelledby": "recording" }, this.open, this.panel);
    this.furnish();
  }

  /** What can be corrected. */
  furnish() {
    const row = (/** @type {string} */ text, /** @type {any[]} */ ...buttons) => make("li", {}, make("span", {}, text), make("span.acts", {}, ...buttons));
    const button = (/** @type {string} */ id, /** @type {string} */ words, /** @type {() => void} */ act) => make("button.btn", { id: `recording-${id}`, onclick: act }, say(words));
    this.half = button("half", "rec_half", () => this.correct(other_tempo(this.wanted, 0.5)));
    this.twice = button("double", "rec_double", () => this.correct(other_tempo(this.wanted, 2)));
    this.tap = button("tap", "rec_tap", () => this.tapped());
    const lines = (/** @type {number} */ by) => this.correct(other_lines(this.wanted, by, this.shown?.heard.pulses ?? 4));
    this.meter = make("select", { id: "recording-meter", "aria-label": say("rec_meter"), onchange: () => this.correct({ ...this.wanted, meter: this.meter.value, shift: 0 }) },
      make("option", { value: "" }, say("rec_found")), ...["4/4", "3/4", "2/4", "6/8", "5/4", "9/8", "12/8"].map((meter) => make("option", {}, meter)));
    this.result.append(this.player, make("ul.corrections", {},
      row(say("tempo"), this.half, this.twice, this.tap),
      row(say("rec_lines"), button("earlier", "rec_earlier", () => lines(-1)), button("later", "rec_later", () => lines(1))),
      row(say("rec_meter"), this.meter)));
  }

  toggle() {
    const open = this.panel.hidden;
    this.panel.hidden = !open;
    this.open.setAttribute("aria-expanded", String(open));
    if (!open) this.close();
  }

  /** What is going on, or how it ended. @param {string} text @param {boolean} [busy] */
  tell(text, busy = false) {
    this.status.textContent = text;
    this.status.dataset.busy = String(busy);
  }

  /** The recording goes; the song stays. */
  close() {
    this.recording?.end();
    this.recording = null;
    ++this.asked;
    this.shown = null;
    this.before = [];
    this.song = "";
    this.stop.hidden = this.result.hidden = this.undo.hidden = true;
    this.player.pause();
    this.player.removeAttribute("src");
    if (this.link) URL.revokeObjectURL(this.link);
    this.link = "";
    this.tell("");
  }

  stopped() {
    this.close();
    this.tell(say("rec_stopped"));
    this.choose.focus();
  }

  /** A file that was chosen. @param {File | undefined} file */
  async take(file) {
    if (!file) return;
    this.close();
    this.file.value = ""; // so that it can be chosen again
    this.wanted = { title: title_of(file.name), tempo: 0, meter: "", factor: 1, shift: 0 };
    const recording = new Recording(this.room.practice.engine);
    this.recording = recording;
    this.tell(say("rec_reads"), true);
    this.stop.hidden = false;
    this.link = URL.createObjectURL(file);
    this.player.src = this.link;
    try {
      await recording.read(file, this.player);
      if (recording === this.recording) await this.hear(this.wanted);
    } catch (fault) {
      if (recording === this.recording) this.refuse(fault instanceof Refused ? fault.id : "rec_failed");
    }
  }

  /** Why there are no chords; the song is as it was. @param {string} id */
  refuse(id) {
    this.close();
    this.tell(`${say(id)} ${say("rec_unchanged")}`);
  }

  /** Hears the recording so, and writes the song. @param {Wanted} wanted */
  async hear(wanted) {
    const asked = ++this.asked;
    this.wanted = wanted;
    this.tell(say("rec_hears"), true);
    const heard = await this.recording?.chart(wanted);
    if (asked !== this.asked || !heard) return;
    if (heard.outcome) return this.not_heard(reasons[heard.outcome] ?? "rec_no_chords");
    if (this.shown) this.before.push({ ...this.shown, text: this.text() });
    this.stop.hidden = true;
    await this.write({ wanted, heard, text: heard.text });
  }

  /** Without chords; a correction that gives none is taken back. @param {string} id */
  not_heard(id) {
    if (!this.shown) return this.refuse(id);
    this.set(this.shown);
    this.tell(`${say(id)} ${say("rec_unchanged")}`);
  }

  /** What the controls show. @param {Reading} reading */
  set({ wanted }) {
    this.wanted = wanted;
    this.meter.value = wanted.meter;
    for (const [button, by] of [[this.half, 0.5], [this.twice, 2]]) button.setAttribute("aria-disabled", String(other_tempo(wanted, by) === null));
  }

  /** @param {Reading} reading */
  async write(reading) {
    this.shown = reading;
    this.set(reading);
    await this.put(reading.text);
    this.result.hidden = this.undo.hidden = false;
    const sentences = heard_sentences(reading.heard);
    if (this.before.length === 0 && this.former) sentences.push(say("rec_kept"));
    this.tell("");
    this.status.append(...sentences.map((sentence) => make("span", {}, `${sentence} `)));
  }

  /** The recording's song as it is now. */
  text() {
    const { room } = this;
    return room.songs.id === this.song ? room.text : (stored_songs().find((each) => each.id === this.song)?.text ?? this.shown?.text ?? "");
  }

  /** The text becomes a song of its own; corrected, it takes the place of the one before there. @param {string} text */
  async put(text) {
    const { room } = this;
    const { songs } = room;
    const there = (/** @type {string} */ id) => stored_songs().some((each) => each.id === id);
    if (!there(this.song)) {
      songs.keep(room.text);
      this.former = there(songs.id) ? songs.id : "";
      await songs.begin(text);
      this.song = songs.id;
      return;
    }
    if (songs.id !== this.song) await songs.open(this.song);
    await room.set_text(text);
  }

  /** @param {Wanted | null} wanted null where that is not possible */
  async correct(wanted) {
    const { recording } = this;
    if (!wanted || !recording) return;
    try {
      await this.hear(wanted);
    } catch {
      if (recording === this.recording) this.refuse("rec_failed");
    }
  }

  /** The beat, tapped along. */
  tapped() {
    const now = performance.now();
    if (now - (this.taps[this.taps.length - 1] ?? 0) > 2 * tap_rest_ms) this.taps = [];
    this.taps.push(now);
    clearTimeout(this.rest);
    this.rest = setTimeout(() => {
      const tempo = tapped_tempo(this.taps);
      this.taps = [];
      if (tempo > 0) this.correct({ ...this.wanted, tempo, factor: 1, shift: 0 });
      else this.tell(say("rec_tap_more"));
    }, tap_rest_ms);
  }

  /** The last correction, or the song of the recording as a whole, is taken back. */
  async take_back() {
    ++this.asked;
    const last = this.before.pop();
    if (last) return this.write(last);
    const { songs } = this.room;
    const { song, former } = this;
    this.close();
    if (songs.id !== song) await songs.open(song);
    await songs.forget();
    if (former) await songs.open(former);
    this.tell(say("rec_taken_back"));
    this.choose.focus();
  }
}
