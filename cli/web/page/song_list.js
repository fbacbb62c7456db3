// The songs of this browser: kept with every change, saved as one file, and read from one.
import { make } from "./dom.js";
import { key_name } from "./notation.js";
import { forget_song, keeps, new_id, recall, remember, songs_as_file, songs_from_file, store_song, stored_songs } from "./store.js";
import { say } from "./words.js";

/** @typedef {import("./types.js").StoredSong} StoredSong */

export class SongList {
  /** @param {import("./write_room.js").WriteRoom} room */
  constructor(room) {
    this.room = room;
    this.id = recall("open_song", "") || new_id();
    this.list = make("ul", { id: "song-list" });
    this.message = make("p.lab", { role: "status" });
    const file = make("input", { type: "file", id: "song-file", accept: ".json,application/json", hidden: true, onchange: () => this.read_file(file.files[0]) });
    this.all = make("button.link.all", { "aria-expanded": "false", onclick: () => this.show_all() }, say("all_songs"));
    this.library = make("select", { "aria-label": say("from_library"), onchange: () => this.take_pattern() }, make("option", { value: "" }, say("from_library")));
    this.element = make("section.songs", { "aria-labelledby": "songs-title" }, make("h2", { id: "songs-title" }, say("songs")), this.list,
      make("div.acts", {},
        make("button.link.wide", { id: "new-song", onclick: () => this.begin("| C | Am | F | G |") }, say("new_song")), this.library,
        make("button.link.wide", { id: "keep-file", onclick: () => room.save_all() }, say("keep_as_file")),
        make("button.link.wide", { id: "leave-out", onclick: () => this.forget() }, say("remove_song")),
        make("button.link.wide", { id: "open-file", onclick: () => file.click() }, say("open_file")), file, this.all),
      this.message);
    this.shown = "";
    this.key_shown = "";
    this.show();
  }

  file() {
    return songs_as_file();
  }

  show_all() {
    const open = this.element.classList.toggle("open");
    this.all.setAttribute("aria-expanded", String(open));
  }

  /** Keeps the song that is open. @param {string} text */
  keep(text) {
    if (!text.trim()) return;
    const { settings, song, data } = this.room.practice;
    const known = stored_songs().find((each) => each.id === this.id);
    const { key, style, tempo, mode } = settings;
    const title = this.room.practice.fault ? (known?.title ?? "") : (/^title:\s*(.*)$/im.exec(text)?.[1] ?? "");
    const kept = { id: this.id, title, text, key, style, tempo, mode, level: data.level ?? 3, changed: Date.now() };
    const same = known && ["text", "key", "style", "tempo", "mode", "title"].every((name) => JSON.stringify(/** @type {any} */ (known)[name]) === JSON.stringify(/** @type {any} */ (kept)[name]));
    if (!same) {
      // The order of the list stays while a song is edited.
      const all = stored_songs();
      const place = all.findIndex((each) => each.id === this.id);
      if (place < 0) store_song(kept);
      else remember("songs", all.map((each, i) => (i === place ? kept : each)));
    }
    remember("open_song", this.id);
    this.key_shown = song?.placed_key ?? "";
    this.show();
  }

  show() {
    const songs = stored_songs();
    const state = JSON.stringify([songs.map((song) => [song.id, song.title]), this.id, this.key_shown]);
    if (state === this.shown) return;
    this.shown = state;
    this.list.replaceChildren(...songs.map((song) => {
      const here = song.id === this.id;
      const name = song.title || song.text.replace(/\s+/g, " ").slice(0, 24);
      const open = make("a", { href: "#write", onclick: (/** @type {Event} */ event) => { event.preventDefault(); this.open(song.id); } },
        make("span", {}, name), here && this.key_shown ? make("span.lab", {}, key_name(this.key_shown).whole) : null);
      if (here) open.setAttribute("aria-current", "true");
      return make("li", {}, open);
    }));
    if (!keeps()) this.message.textContent = say("not_kept");
  }

  /** @param {string} id */
  open(id) {
    const song = stored_songs().find((each) => each.id === id);
    if (!song) return;
    this.id = id;
    remember("open_song", id);
    return this.room.open(song);
  }

  /** A new song. @param {string} text @param {string} [mode] */
  begin(text, mode = "") {
    this.id = new_id();
    const song = { id: this.id, title: "", text, key: "", style: "", tempo: 0, mode, level: this.room.practice.data.level ?? 3, changed: Date.now() };
    store_song(song);
    remember("open_song", this.id);
    return this.room.open(song);
  }

  /** The song that is open is left out of the list; it can be taken back. */
  forget() {
    const song = stored_songs().find((each) => each.id === this.id);
    if (!song) return;
    const undo = () => {
      store_song(song);
      this.message.replaceChildren();
      this.open(song.id);
    };
    forget_song(song.id);
    const next = stored_songs()[0];
    const opened = next ? this.open(next.id) : this.begin("| C | Am | F | G |");
    this.message.replaceChildren(say("removed", song.title || say("untitled")), " ", make("button.link", { onclick: undo }, say("undo")));
    return opened;
  }

  /** Fills the choice from the library. @param {{id: string, chords: string, mode: string, level: number}[]} patterns */
  offer(patterns) {
    this.patterns = patterns;
    this.library.append(...patterns.map((each) => make("option", { value: each.id }, `${each.id.replaceAll("-", " ")}: ${each.chords}`)));
  }

  take_pattern() {
    const pattern = this.patterns?.find((each) => each.id === this.library.value);
    this.library.value = "";
    if (pattern) this.begin(`title: ${pattern.id.replaceAll("-", " ")}\n${pattern.chords}`, pattern.mode);
  }

  /** @param {File | undefined} file */
  async read_file(file) {
    if (!file) return;
    const count = songs_from_file(await file.text());
    this.message.textContent = count > 0 ? "" : say("file_bad");
    this.shown = "";
    this.show();
  }
}
