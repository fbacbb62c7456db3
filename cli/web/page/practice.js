// What the rooms share: the song, the time line, the keys that are played, and what happens between them.
import { region_of } from "./bar_order.js";
import { Engine } from "./engine.js";
import { asked_keys, range_of } from "./keyboard.js";
import { has_chord, MidiKeyboard } from "./midi.js";
import { asked_tones, Microphone } from "./microphone.js";
import { pitch_class } from "./notation.js";
import { Output, WakeLock } from "./output.js";
import { band_request, SongCache } from "./song_cache.js";
import { recall, remember } from "./store.js";
import { Timeline } from "./timeline.js";

/** @typedef {import("./types.js").PlaySettings} PlaySettings */
/** @typedef {import("./types.js").Song} Song */

/** @type {PlaySettings} */
const first_settings = {
  text: "", mode: "", key: "", style: "", tempo: 0, click: false, trade: 0, hands: {}, parts: {}, hand: "both", listen: false, rise: 0,
  once: false, wait: false, no_chords: false, loop: null,
};

const warm_after_ms = 400;
const usual_rate = 48000; // before the browser has told its own
const early_s = 0.15; // how much before its time a chord may come, as in the program

export class Practice {
  /** @param {import("./types.js").PageData} data */
  constructor(data) {
    this.data = data;
    this.engine = new Engine();
    this.output = new Output();
    this.cache = new SongCache(this.engine, this.data);
    this.midi = new MidiKeyboard();
    this.microphone = new Microphone(this.output);
    /** @type {import("./types.js").TimedBar | null} */
    this.awaited = null; // the bar that waits for the player
    this.headphones = recall("headphones", false);
    this.awaited_since = 0; // in seconds of the audio clock
    this.awake = new WakeLock();
    const { text, key = "", mode = "", style = "", tempo = 0, hands = {} } = data;
    this.timeline = new Timeline(this.engine, this.output, this.cache, { ...first_settings, text, key, mode, style, tempo, hands, ...(data.tune ? { tune: data.tune } : {}) });
    this.count_in = recall("count_in", true);
    this.say_chords = recall("say_chords", false);
    this.output.volume = recall("volume", 0.7);
    /** @type {import("./print_sheet.js").PrintSheet | null} */
    this.sheet = null; // what is printed
    /** @type {Song | null} */
    this.song = null; // of the settings, where it can be read
    /** @type {import("./types.js").Fault | null} */
    this.fault = null;
    this.asleep = false; // the browser lets no sound out
    this.message = "";
    this.warming = 0; // the timer that will render a bar that nobody hears
    this.answer_shown = false; // of a task with hidden chords
    /** @type {import("./types.js").Form | null} */
    this.form = null; // of the settings, as last known
    this.played_s = recall("played_s", /** @type {Record<string, number>} */ ({}));
    /** @type {number | undefined} */
    this.since = undefined; // when Play was pressed, in milliseconds
    /** @type {(() => void)[]} */
    this.listeners = [];
    /** @type {{source: AudioBufferSourceNode, id: string} | null} */
    this.heard_alone = null;
    this.connect();
  }

  connect() {
    const { timeline, midi } = this;
    timeline.on_change = () => {
      this.awake.want(timeline.playing);
      this.note_practice();
      this.changed();
    };
    timeline.on_fault = (fault) => {
      this.message = fault.message;
      this.changed();
    };
    timeline.found = (bar) => this.has_found(bar);
    this.microphone.on_look = () => {
      if (timeline.waiting) timeline.render_ahead();
      this.changed();
    };
    midi.clock = () => (this.output.context ? this.output.now : performance.now() / 1000);
    midi.on_keys = () => {
      if (timeline.waiting) timeline.render_ahead();
      this.changed();
    };
    midi.on_connection = () => this.changed();
    // A browser that was slow to let sound out, or that the user has allowed it meanwhile.
    this.output.on_state = (running) => {
      if (running && this.asleep && !timeline.playing) this.play();
    };
  }

  /** Whether the player has a bar's first chord. @param {import("./types.js").TimedBar} bar */
  has_found(bar) {
    const chord = first_chord(bar.song, bar.bar);
    if (this.midi.connected > 0) return has_chord(this.midi.held, asked_keys(chord, bar.settings.hand));
    if (!this.microphone.on || !chord) return true;
    if (this.awaited !== bar) [this.awaited, this.awaited_since] = [bar, this.output.now - early_s];
    return this.microphone.answer(asked_by(chord), this.awaited_since)?.kind === "right";
  }

  /** Asks for the microphone, and takes the band's chords out unless the player has headphones. @param {boolean} headphones */
  async listen_to_piano(headphones) {
    remember("headphones", headphones);
    await this.microphone.connect();
    await this.change({ no_chords: !headphones });
  }

  async stop_listening() {
    this.microphone.end();
    await this.change({ no_chords: false, ...(this.midi.connected === 0 ? { wait: false } : {}) });
  }

  changed() {
    for (const listener of this.listeners) listener();
  }

  get settings() {
    return this.timeline.settings;
  }

  /** The song of the bar that sounds, else that of the settings. */
  shown_song() {
    return this.timeline.sounding()?.song ?? this.song;
  }

  /** Asks for what the first look at the song needs, so that it is known soon. */
  foresee() {
    this.cache.song(this.settings).catch(() => {});
    this.cache.form(this.settings).catch(() => {});
  }

  /** Asks the program about the song of the settings. @returns {Promise<import("./types.js").Fault | null>} */
  async read_song() {
    const { settings } = this;
    const answer = await this.cache.song(settings);
    await this.timeline.settled(); // what is heard comes before what is drawn
    const now = this.settings;
    if (settings.text !== now.text || settings.key !== now.key || settings.mode !== now.mode || settings.hands !== now.hands) return this.fault;
    this.fault = answer.error ?? null;
    if (!answer.error) this.song = answer;
    this.changed();
    if (!answer.error) this.prepare();
    return this.fault;
  }

  /** Arranges the song before it is played. */
  async prepare() {
    const { settings } = this;
    const form = await this.cache.form(settings);
    if (settings !== this.settings || form.error) return;
    this.form = form;
    this.changed();
    if (!this.timeline.playing) await this.cache.level(settings);
    clearTimeout(this.warming);
    this.warming = window.setTimeout(() => this.timeline.playing || this.engine.warm(band_request(settings), this.output.context?.sampleRate ?? usual_rate), warm_after_ms);
  }

  /** Other settings. @param {Partial<PlaySettings>} changes */
  async change(changes) {
    this.message = "";
    this.timeline.change(changes);
    if ("text" in changes || "key" in changes || "hands" in changes || "mode" in changes) await this.read_song();
  }

  async toggle() {
    if (this.timeline.playing) return this.stop();
    await this.play();
  }

  /** @param {number} [bar] from 0 @returns {Promise<void>} */
  async play(bar) {
    if (!this.song) return;
    this.stop_heard();
    const region = region_of(this.settings.loop, this.song.bars);
    const wanted = bar ?? this.timeline.from;
    const from = wanted >= region.from && wanted < region.to ? wanted : region.from;
    if (this.midi.connected > 0) this.midi.begin_take();
    const awake = await this.timeline.start(from, this.count_in && bar === undefined);
    this.asleep = !awake;
    if (!awake && this.output.context?.state === "running") return this.play(bar); // it woke up a little late
    this.changed();
  }

  stop() {
    if (this.timeline.playing) this.midi.end_take();
    this.timeline.stop();
  }

  /** Begins at a bar, now or, while music plays, at the next bar line. @param {number} bar from 0 */
  go_to(bar) {
    const { loop } = this.settings;
    if (loop && (bar < loop.from || bar >= loop.to)) this.timeline.settings = { ...this.settings, loop: null };
    this.timeline.go_to(bar);
    if (!this.timeline.playing) this.changed();
  }

  /** A section goes round, or no longer does. @param {import("./types.js").Section} section */
  loop_section(section) {
    const region = { from: section.bar - 1, to: section.bar - 1 + section.bars };
    const { loop } = this.settings;
    const same = loop && loop.from === region.from && loop.to === region.to;
    if (!this.timeline.playing && !same) this.timeline.from = region.from;
    this.change({ loop: same ? null : region });
  }

  /** @param {number} by pulses a minute */
  change_tempo(by) {
    this.change({ tempo: Math.min(400, Math.max(20, Math.round(this.tempo()) + by)) });
  }

  tempo() {
    return this.settings.tempo || this.song?.tempo || 92;
  }

  /** @param {number} semitones */
  change_key(semitones) {
    const song = this.song;
    if (!song) return;
    const tonic = pitch_class((this.settings.key || song.placed_key).split(" ")[0]);
    const wanted = (tonic + semitones + 12) % 12;
    const key = song.keys.find((each) => pitch_class(each.split(" ")[0]) === wanted);
    if (key) this.change({ key });
  }

  /** Sounds keys at once. @param {number[]} midi */
  async touch(midi) {
    if (!(await this.output.wake())) {
      this.asleep = true;
      return this.changed();
    }
    const { bus } = this.output;
    const made = await this.engine.sound({ do: "notes", midi }, this.output.rate);
    if (this.output.bus === bus && made.sides.length > 0) this.output.tap(made.sides);
  }

  /** What sounds by itself: an ear task, an exercise, a take. Once more stops it. @param {string} id @param {object} heard */
  async hear(id, heard) {
    const same = this.heard_alone?.id === id;
    this.stop();
    this.stop_heard();
    if (same || !(await this.output.wake())) return;
    const made = await this.engine.sound({ do: "heard", ...heard }, this.output.rate);
    if (made.error || made.sides.length === 0 || this.timeline.playing) return;
    const { source } = this.output.play(made.sides, this.output.now + 0.02);
    this.heard_alone = { source, id };
    source.addEventListener("ended", () => {
      if (this.heard_alone?.source === source) this.heard_alone = null;
      this.changed();
    });
    this.changed();
  }

  stop_heard() {
    if (!this.heard_alone) return;
    this.heard_alone = null;
    this.output.stop();
    this.changed();
  }

  /** Counts the seconds of playing, for "tell your teacher". */
  note_practice() {
    const now = Date.now();
    if (this.timeline.playing) this.since ??= now;
    else if (this.since) {
      const id = this.data.id ?? this.data.text;
      this.played_s[id] = (this.played_s[id] ?? 0) + (now - this.since) / 1000;
      this.since = undefined;
      remember("played_s", this.played_s);
    }
  }

  minutes_played() {
    return Math.round((this.played_s[this.data.id ?? this.data.text] ?? 0) / 60);
  }

  /** One range of keys for the whole song, in any key that it is played in now. @returns {[number, number]} */
  range() {
    const song = this.shown_song();
    const notes = (song?.chords ?? []).flatMap((chord) => [...chord.left, ...chord.right].map((note) => note.midi));
    return notes.length > 0 ? range_of(notes) : [48, 71];
  }
}

/** What a microphone shall hear: all tones of a chord. @param {import("./types.js").Chord} chord */
export const asked_by = (chord) => asked_tones([...chord.left, ...chord.right].map((note) => note.midi), pitch_class(chord.root ?? "C"));

/** The chords of a bar. @param {Song} song @param {number} bar from 0 */
export const chords_of = (song, bar) => song.chords.filter((chord) => chord.bar === bar + 1);

/** @param {Song} song @param {number} bar from 0 @returns {import("./types.js").Chord | null} */
export const first_chord = (song, bar) => chords_of(song, bar).find((chord) => chord.root) ?? null;

/**
 * The chord that sounds at a place of a bar.
 * @param {Song} song
 * @param {number} bar from 0
 * @param {number} beat in the meter's lower number, from the bar's start
 */
export function chord_at(song, bar, beat) {
  const begun = chords_of(song, bar).filter((chord) => chord.beat - 1 <= beat + 1e-6);
  return begun.at(-1) ?? null;
}

/** The section that a bar is in. @param {Song} song @param {number} bar from 0 */
export const section_of = (song, bar) => song.sections.find((section) => bar + 1 >= section.bar && bar + 1 < section.bar + section.bars) ?? null;
