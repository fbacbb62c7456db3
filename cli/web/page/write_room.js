// The room Write: the songs of this browser; the song as text or bars, with faults and proposals; what was understood; what
// the song is; what could come next.
import { icon, make, save_file } from "./dom.js";
import { Editor } from "./editor.js";
import { chord_symbol, key_name, numeral_symbol, printed, signed, spoken, with_chords } from "./notation.js";
import { chords_of } from "./practice.js";
import { RecordingPanel } from "./recording_panel.js";
import { SongList } from "./song_list.js";
import { bar_at, bar_text, doubt_marks, part_of, proposals, replaced, with_bar, with_header, with_next } from "./song_text.js";
import { segments } from "./drawers.js";
import { say } from "./words.js";

const typing_pause_ms = 350; // without a key pressed before the text is read
const most_undo = 100;

export class WriteRoom {
  /** @param {import("./practice.js").Practice} practice */
  constructor(practice) {
    this.practice = practice;
    this.text = practice.settings.text;
    /** @type {string[]} */
    this.before = []; // texts to go back to
    this.editor = new Editor((text) => this.typed(text));
    this.songs = new SongList(this);
    this.recording = new RecordingPanel(this);
    this.as = "text";
    this.title = make("h1", { id: "song-title" });
    this.bars = make("div.barfields", { hidden: true });
    this.fault = make("div.fault", { id: "fault", role: "status" });
    this.understood = make("ul.und");
    this.regions = make("div.regions");
    this.caption = make("p.cap");
    this.next = make("ul.next");
    this.done = make("p.lab.done", { role: "status" });
    this.said = "";
    const choose = segments("as", say("write_as"), [{ value: "text", text: say("text") }, { value: "bars", text: say("bars") }], "text", (as) => this.write_as(as));
    this.element = make("div.write", {}, this.songs.element,
      make("section.writing", { "aria-labelledby": "song-title" }, this.title, choose, this.editor.element, this.bars, this.fault, this.recording.element,
        make("h2", {}, say("understood")), this.understood),
      make("section.know", { "aria-label": say("what_it_is") },
        make("section", {}, make("h2", {}, say("what_it_is")), this.regions, this.caption),
        make("section", {}, make("h2", {}, say("next_chords")), make("p.lab", {}, say("next_chords_say")), this.next, this.done)));
    practice.listeners.push(() => this.update());
    this.editor.text = this.text;
  }

  /** @param {string} text */
  typed(text) {
    this.text = text;
    clearTimeout(this.pause);
    this.pause = setTimeout(() => this.read(), typing_pause_ms);
  }

  /** Another text from elsewhere: a proposal, a bar, a chord put in. It can be taken back. @param {string} text */
  set_text(text) {
    this.before = [...this.before, this.text].slice(-most_undo);
    this.text = text;
    this.editor.text = text;
    return this.read();
  }

  undo() {
    const text = this.before.pop();
    if (text === undefined) return;
    this.text = text;
    this.editor.text = text;
    this.done.textContent = "";
    this.read();
  }

  /** Reads the text. What cannot be read yet changes nothing: key, tempo and style stay, the last good text plays on. */
  async read() {
    clearTimeout(this.pause);
    const { text, practice } = this;
    const answer = await practice.cache.song({ ...practice.settings, text });
    if (text !== this.text) return;
    this.songs.keep(text);
    if (answer.error) {
      practice.fault = answer.error;
      this.update();
      return;
    }
    practice.fault = null;
    if (practice.settings.text !== text) await practice.change({ text });
    else this.update();
  }

  /** @param {string} as */
  write_as(as) {
    this.as = as;
    this.editor.element.hidden = as !== "text";
    this.bars.hidden = as !== "bars";
    this.update();
  }

  enter() {
    this.editor.paint();
    this.update();
  }

  update() {
    if (!this.element.isConnected) return; // it is drawn when it is entered
    const { practice } = this;
    const { song, fault } = practice;
    this.title.textContent = song?.title || say("untitled");
    const state = JSON.stringify([this.text, fault, song?.placed_key, song?.chords.length, this.as, practice.settings.text, this.before.length]);
    if (state === this.said) return;
    this.said = state;
    this.show_fault(fault);
    this.show_marks(song, fault);
    if (!song) return;
    this.show_understood(song);
    this.show_regions(song, fault);
    this.show_next(song);
    if (this.as === "bars") this.show_bars(song);
  }

  /** Underlines the fault, else the lines that could be read otherwise. @param {import("./types.js").Song | null} song @param {import("./types.js").Fault | null} fault */
  show_marks(song, fault) {
    if (fault?.line) return this.editor.mark([{ line: fault.line, column: fault.column ?? 1, width: fault.width ?? 1, kind: "bad" }]);
    const doubtful = this.text === this.practice.settings.text ? (song?.decisions ?? []).filter((each) => each.doubtful && each.line > 0) : [];
    const width_of = (/** @type {number} */ line) => [...(this.text.split("\n")[line - 1] ?? "")].length;
    const marks = doubtful.map((each) => ({ line: each.line, column: 1, width: width_of(each.line), kind: /** @type {"dec"} */ ("dec") }));
    this.editor.mark([...marks, ...doubt_marks(this.text)]);
  }

  /** @param {import("./types.js").Fault | null} fault */
  show_fault(fault) {
    if (!fault) return this.fault.replaceChildren();
    const { line = 0, column = 1, width = 1 } = fault;
    const wrong = line > 0 ? part_of(this.text, line, column, width) : "";
    const bar = line > 0 ? bar_at(this.text, line, column) : 0;
    const unknown = /^unknown chord/.test(fault.message) && bar > 0;
    const sentence = unknown ? say("fault_bar", bar, wrong) : `${fault.message}${fault.message.endsWith(".") ? "" : "."}`;
    const offered = line > 0 ? proposals(fault.hint) : [];
    const buttons = offered.map((each, place) => make(place === 0 ? "button.btn.first" : "button.btn", {
      "data-proposal": each, onclick: () => { this.set_text(replaced(this.text, line, column, width, each)); this.editor.field.focus(); },
    }, make("span", {}, ...with_chords(say("make_it", `{${each}}`)))));
    this.fault.replaceChildren(make("p", {}, sentence, offered.length === 0 && fault.hint ? ` ${fault.hint}.` : ""), make("div.acts", {}, ...buttons));
  }

  /** @param {import("./types.js").Song} song */
  show_understood(song) {
    const where = (/** @type {number} */ line) => (line > 0 ? make("span.lab", {}, say("line", line)) : null);
    const go = (/** @type {number} */ line) => (line > 0 ? make("button.link", { onclick: () => this.show_line(line) }, say("change")) : null);
    const other = (/** @type {import("./types.js").SongNote} */ note) => {
      const { otherwise } = note;
      return otherwise === undefined ? go(note.line) : make("button.link", { "data-otherwise": note.text, onclick: () => this.read_otherwise(otherwise) }, say("read_otherwise"));
    };
    const rows = song.decisions.map((each) => make("li", {}, make("span", {}, where(each.line), " ", upper(signed(each.text)), each.doubtful ? make("span.lab", {}, ` (${say("doubtful")})`) : null), other(each)));
    rows.push(...song.left_out.map((each) => make("li", {}, make("span", {}, where(each.line), " ", say("left_out", each.text)), go(each.line))));
    const keys = make("select", { "aria-label": say("key"), onchange: () => this.set_key(keys.value) }, ...song.keys.map((key) => make("option", { value: key }, key_name(key).whole)));
    if (![...keys.options].some((option) => option.value === song.placed_key)) keys.prepend(make("option", { value: song.placed_key }, key_name(song.placed_key).whole));
    keys.value = song.placed_key;
    const meters = make("select", { "aria-label": say("meter_is", song.meter), onchange: () => this.set_text(with_header(this.text, "meter", meters.value)) },
      ...["4/4", "3/4", "6/8", "2/4", "5/4", "9/8", "12/8"].map((meter) => make("option", {}, meter)));
    meters.value = song.meter;
    this.understood.replaceChildren(...rows,
      make("li", {}, make("span", {}, say("key_is", key_name(song.placed_key).whole)), keys),
      make("li", {}, make("span", {}, say("meter_is", song.meter)), meters));
  }

  /** Says in which key the text is; nothing moves. @param {string} key */
  async set_key(key) {
    await this.practice.change({ key: "" });
    this.set_text(with_header(this.text, "key", key));
  }

  /** @param {number} line */
  show_line(line) {
    const start = this.text.split("\n").slice(0, line - 1).join("\n").length + (line > 1 ? 1 : 0);
    this.editor.field.focus();
    this.editor.field.setSelectionRange(start, start + (this.text.split("\n")[line - 1]?.length ?? 0));
  }

  /** @param {import("./types.js").Song} song @param {import("./types.js").Fault | null} fault */
  show_regions(song, fault) {
    const regions = song.analysis?.regions ?? [{ bar: 1, key: song.placed_key }];
    const wrong = fault?.line ? bar_at(this.text, fault.line, fault.column ?? 1) : 0;
    this.regions.replaceChildren(...regions.map((region, place) => {
      const last = (regions[place + 1]?.bar ?? song.bars + 1) - 1;
      const name = key_name(region.key).whole;
      const cells = [];
      for (let bar = region.bar; bar <= last; ++bar) {
        const chords = chords_of(song, bar - 1);
        const doubt = song.doubtful?.includes(bar) ? make("span.doubt", {}, "?", make("span.vh", {}, ` ${say("bar_doubtful")}`)) : null;
        cells.push(bar === wrong ? make("span.hole", {}, make("b", {}, "?"), make("i", {}, "\u00a0"))
          : make("span", {}, make("b", {}, ...chords.flatMap((chord) => [chord_symbol(chord.symbol), " "])), make("i", {}, ...chords.flatMap((chord) => [chord.numeral ? numeral_symbol(chord.numeral) : "", " "])), doubt));
      }
      return make("div.region", {}, make("p.brk", {}, regions.length > 1 ? say("region", name, region.bar) : say("all_the_way", name)), make("div.ana", {}, ...cells));
    }));
    const remarks = (song.analysis?.remarks ?? []).slice(0, 4);
    const patterns = (song.analysis?.patterns ?? []).slice(0, 3);
    this.caption.replaceChildren(make("ul.remarks", {}, ...remarks.map((each) => make("li", {}, each.bar ? `${say("bar_n", each.bar)}: ` : "", signed(each.text))),
      ...patterns.map((each) => make("li", {}, `${say("bar_n", each.bar)}: ${each.id.replaceAll("-", " ")}`))));
  }

  /** @param {import("./types.js").Song} song */
  show_next(song) {
    const rows = (song.analysis?.next ?? []).slice(0, 5).map((each) => make("li", {},
      make("button.hear", { onclick: () => this.hear(each.symbol) }, icon("ear"), make("span.vh", {}, `${say("hear")} `), chord_symbol(each.symbol)),
      make("span.why", {}, signed(each.reason)),
      make("button.put", { "aria-label": say("put_in", spoken(each.symbol)), onclick: () => this.put_in(each.symbol) }, icon("plus"))));
    this.next.replaceChildren(...rows);
  }

  /** @param {string} symbol */
  async hear(symbol) {
    const answer = await this.practice.cache.song({ ...this.practice.settings, text: `| ${symbol} |`, key: "", mode: "" });
    const chord = answer.chords?.[0];
    if (chord) this.practice.touch([...chord.left, ...chord.right].map((note) => note.midi));
  }

  /** @param {string} symbol */
  async put_in(symbol) {
    this.hear(symbol);
    await this.set_text(with_next(this.text, symbol));
    this.tell(say("put_in_done", printed(symbol)));
  }

  /** Reads the text the other way. @param {string} text */
  async read_otherwise(text) {
    await this.set_text(text);
    this.tell(say("otherwise_done"));
  }

  /** Says what was done to the text, and takes it back on demand. @param {string} done */
  tell(done) {
    this.done.replaceChildren(done, " ", make("button.link", { id: "undo-text", onclick: () => this.undo() }, say("undo")));
  }

  /** The bars as fields to tap in. @param {import("./types.js").Song} song */
  show_bars(song) {
    if (this.bars.contains(document.activeElement)) return;
    const fields = [];
    for (let bar = 0; bar < song.bars; ++bar) {
      const chords = chords_of(song, bar);
      const field = make("input.field", { value: bar_text(this.text, chords), "aria-label": say("chords_of_bar", bar + 1), spellcheck: "false", autocomplete: "off", onchange: () => {
        const text = with_bar(this.text, chords, field.value.trim() || "N.C.");
        field.blur();
        if (text !== null) this.set_text(text);
      } });
      if (field.value.length > 5) field.classList.add("long");
      fields.push(make("div.barfield", {}, field));
    }
    fields.push(make("div.barfield", {}, make("button.btn", { onclick: () => this.set_text(with_next(this.text, "%")) }, say("add_bar"))));
    this.bars.replaceChildren(...fields);
  }

  /** Opens another song. @param {import("./types.js").StoredSong} song */
  async open(song) {
    this.before = [];
    this.text = song.text;
    this.editor.text = song.text;
    this.practice.stop();
    this.practice.timeline.from = 0;
    await this.practice.change({ text: song.text, key: song.key, style: song.style, tempo: song.tempo, mode: song.mode, loop: null, parts: {} });
    await this.read();
  }

  /** All songs as one file. */
  save_all() {
    save_file("songs.romanesca.json", new Blob([this.songs.file()], { type: "application/json" }));
  }
}

/** @param {string} text */
const upper = (text) => text.charAt(0).toUpperCase() + text.slice(1);
