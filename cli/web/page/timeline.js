// The time line: the list of bars that have sounded, sound and will sound. What is heard and what is shown both come from
// it. Two to four bars are rendered ahead; a changed settings renders those again that are far enough ahead.
import { place_after, region_of, tempo_of_round } from "./bar_order.js";
import { band_request } from "./song_cache.js";

/** @typedef {import("./types.js").PlaySettings} PlaySettings */
/** @typedef {import("./types.js").TimedBar} TimedBar */

const lead_s = 0.05; // a bar line nearer than this is too late for a change
const start_s = 0.06; // from a rendered first bar to its sound
const ahead_s = 2.2; // rendered ahead at least: background tabs run timers once a second
const fewest_ahead = 2;
const most_ahead = 4;
const bars_kept = 8; // that have sounded
const look_ms = 200; // between two looks at what is rendered
const wait_look_ms = 90; // the same while the band waits for a chord
const ring_fade_s = 0.06; // of what rings while the band waits
const longest_settling_ms = 500, settling_look_ms = 20;

export class Timeline {
  /**
   * @param {import("./engine.js").Engine} engine
   * @param {import("./output.js").Output} output
   * @param {import("./song_cache.js").SongCache} cache
   * @param {PlaySettings} settings
   */
  constructor(engine, output, cache, settings) {
    this.engine = engine;
    this.output = output;
    this.cache = cache;
    this.settings = settings;
    /** @type {TimedBar[]} */
    this.bars = [];
    this.session = 0; // counts starts and stops; nothing of an earlier one may sound
    this.playing = false;
    this.starting = false;
    this.changed = false; // the settings differs from that of the bars rendered ahead
    /** @type {number | null} */
    this.jump = null; // the bar, from 0, that the next change goes to
    this.from = 0; // where Play begins
    this.waiting = false; // for the player's chord
    /** @type {{bar: TimedBar, sides: Float32Array[]} | null} */
    this.awaited = null; // the bar that begins when the player has its chord
    this.took_s = 0.03; // to render a bar, lately
    this.restarts = 0;
    this.rendered = 0; // bars of the stream, with those that were rendered in vain
    this.delay = 0; // frames from a bar's beginning to its sound
    this.zero = 0; // the audio clock's time of the stream's first frame
    this.on_change = () => {};
    this.on_end = () => {};
    /** @type {(fault: import("./types.js").Fault) => void} */
    this.on_fault = () => {};
    /** @type {(bar: TimedBar) => boolean} */
    this.found = () => true; // whether the player has a bar's first chord
  }

  /**
   * Starts at a bar.
   * @param {number} bar from 0
   * @param {boolean} count_in
   */
  async start(bar, count_in) {
    this.stop();
    const session = this.session;
    this.playing = this.starting = true;
    this.from = bar;
    this.on_change();
    const awake = await this.output.wake();
    if (session !== this.session) return true;
    if (!awake) {
      this.stop();
      return false;
    }
    await this.begin_stream();
    if (session !== this.session) return true;
    this.count = count_in;
    this.keep_ahead(session);
    return true;
  }

  /** Looks now and then whether bars are needed, until the session ends. @param {number} session */
  keep_ahead(session) {
    if (session !== this.session) return;
    this.render_ahead();
    this.timer = setTimeout(() => this.keep_ahead(session), this.waiting ? wait_look_ms : look_ms);
  }

  async begin_stream() {
    const { delay, restarts } = await this.engine.begin_stream(this.output.rate);
    Object.assign(this, { delay, restarts });
    this.rendered = 0;
  }

  stop() {
    ++this.session;
    clearTimeout(this.timer);
    const heard = this.sounding();
    if (heard && heard.kind === "bar") this.from = heard.bar;
    this.playing = this.starting = this.changed = this.waiting = false;
    this.jump = this.awaited = null;
    this.bars = [];
    this.output.stop();
    this.on_change();
  }

  /** Other settings: from the next bar line on, or for the next start. @param {Partial<PlaySettings>} changes */
  change(changes) {
    this.settings = { ...this.settings, ...changes };
    this.ask_again();
  }

  /** Goes on at another bar from the next bar line on. @param {number} bar from 0 */
  go_to(bar) {
    this.jump = bar;
    this.from = bar;
    this.ask_again();
  }

  /** Takes the waiting change back. */
  undo() {
    const bar = this.sounding() ?? this.bars[0];
    if (!bar) return;
    this.settings = bar.settings;
    this.jump = null;
    this.ask_again();
  }

  ask_again() {
    if (this.playing) {
      this.changed = true;
      this.render_ahead();
    }
    this.on_change();
  }

  /** What waits for a bar line: the bar that sounds, to compare with the settings; null if nothing waits. */
  pending() {
    const bar = this.sounding();
    return bar && bar.kind !== "count" && (bar.settings !== this.settings || this.jump !== null) ? bar : null;
  }

  /** Until a change has reached the bars, or half a second where it waits for something else. */
  async settled() {
    for (const began = performance.now(); this.playing && this.changed && performance.now() - began < longest_settling_ms;)
      await new Promise((done) => setTimeout(done, settling_look_ms));
  }

  /** The bar that the listener hears now. @returns {TimedBar | null} */
  sounding() {
    const heard = this.output.heard - this.delay_s;
    return this.bars.find((bar) => bar.at <= heard && heard < bar.until) ?? null;
  }

  /** The bar that the band waits with, once the one before has ended; else null. */
  held_bar() {
    if (!this.waiting || !this.awaited) return null;
    const bar = this.sounding();
    return !bar || bar.kind === "rest" ? this.awaited.bar : null;
  }

  get delay_s() {
    return this.output.context ? this.delay / this.output.context.sampleRate : 0;
  }

  /**
   * Where the listener is.
   * @returns {{bar: TimedBar, pulse: number, beat: number, beats: number, next: TimedBar | null} | null} beat from the bar's start, and
   *   how many it has, in units of the meter's lower number
   */
  position() {
    const bar = this.sounding();
    if (!bar) return null;
    const part = (this.output.heard - this.delay_s - bar.at) / (bar.until - bar.at);
    const pulses = pulses_of(bar);
    const upper = bar.form.bars[bar.bar]?.beats ?? Number(bar.form.meter.split("/")[0]);
    const next = this.bars.find((each) => each.n === bar.n + 1) ?? null;
    return { bar, pulse: Math.min(pulses - 1, Math.floor(part * pulses)), beat: part * upper, beats: upper, next };
  }

  /** Renders what is needed; one bar at a time. */
  async render_ahead() {
    if (this.bars.length > 0) this.output.measure_latency();
    if (this.rendering || !this.playing) return;
    this.rendering = true;
    const session = this.session;
    try {
      while (this.playing && session === this.session && (await this.render_next(session)));
    } catch (fault) {
      if (session === this.session) this.recover(fault);
    } finally {
      this.rendering = false;
      if (this.playing && session !== this.session) this.render_ahead();
    }
  }

  /** The worker has begun again: so does the band, at the same bar. @param {unknown} fault */
  async recover(fault) {
    const bar = this.bars.at(-1)?.bar ?? this.from;
    this.on_fault({ message: fault instanceof Error ? fault.message : String(fault) });
    this.stop();
    this.from = bar;
  }

  /** The first bar that a change can still reach. */
  first_open() {
    const soonest = this.output.now + lead_s + 1.5 * this.took_s;
    const open = this.bars.find((bar) => bar.n > 0 && bar.at >= soonest);
    return open ? open.n : (this.bars.at(-1)?.n ?? -1) + 1;
  }

  bars_ahead() {
    const now = this.output.now;
    const ahead = this.bars.filter((bar) => bar.until > now);
    const last = this.bars.at(-1);
    const seconds = last ? last.until - now : 0;
    // Bars that begin after the one that sounds.
    return { count: Math.max(0, ahead.length - 1), seconds };
  }

  /**
   * @param {number} session
   * @returns {Promise<boolean>} whether there may be more to render
   */
  async render_next(session) {
    if (this.waiting) return this.wait_for_chord(session);
    const { count, seconds } = this.bars_ahead();
    const enough = count >= most_ahead || (count >= fewest_ahead && seconds >= ahead_s);
    if (!this.changed && (enough || this.bars.at(-1)?.kind === "rest")) return this.end_after_rest();
    const { settings } = this;
    // Which bar line can be reached is known when all else is there.
    await this.known(settings);
    if (session !== this.session) return false;
    if (settings !== this.settings && seconds > 0.5) return true; // other settings have come: it has time
    const { jump } = this;
    const n = this.changed ? this.first_open() : (this.bars.at(-1)?.n ?? -1) + 1;
    const before = this.bars.find((bar) => bar.n === n - 1) ?? null;
    const made = await this.make_bar(settings, before, n, jump, session);
    if (!made || session !== this.session) return false;
    if (settings !== this.settings && seconds > 0.5) return true; // other settings have come: it has time
    if (before && this.output.now > before.until - 0.012) {
      if (n <= (this.bars.at(-1)?.n ?? -1)) return true; // too late for this bar line: the change waits for the next one
      this.zero += this.output.now + start_s - before.until; // the computer was too slow: a gap
    }
    this.schedule(made.bar, made.sides, before);
    if (settings === this.settings) {
      this.changed = false;
      if (jump === this.jump) this.jump = null;
    }
    this.on_change();
    return true;
  }

  /** The song, its form and its gain. @param {PlaySettings} settings */
  known(settings) {
    return Promise.all([this.cache.song(settings), this.cache.form(settings), this.cache.level(settings)]);
  }

  /**
   * The next bar, rendered.
   * @param {PlaySettings} settings
   * @param {TimedBar | null} before
   * @param {number} n
   * @param {number | null} jump
   * @param {number} session
   * @param {boolean} [rest]
   */
  async make_bar(settings, before, n, jump, session, rest = false) {
    const [song, form, gain] = await this.known(settings);
    if (session !== this.session) return null;
    const fault = song.error ?? form.error;
    if (fault) {
      this.changed = false;
      this.on_fault(fault);
      return null;
    }
    const place = rest ? null : this.place_of(settings, before, jump, form.bars.length);
    const own = settings.tempo || form.tempo;
    const tempo = tempo_of_round(settings, own, place?.round ?? before?.round ?? 0);
    /** @type {"count" | "bar" | "rest"} */
    const kind = !before && this.count ? "count" : place ? "bar" : "rest";
    const bar_number = place?.bar ?? before?.bar ?? 0;
    const request = kind === "count"
      ? { do: "clicks", meter: form.meter, tempo: tempo * form.bars[bar_number].factor }
      : { do: "bar", ...band_request(settings), bar: bar_number, tempo, parts: parts_of(settings, place?.round ?? 0, form), rest: kind === "rest" };
    const number = ++this.rendered;
    const heard = this.sounding()?.n ?? 0;
    const needed = [before?.number ?? 0, ...this.bars.filter((each) => each.n >= heard).map((each) => each.number)];
    const reply = await this.engine.bar(request, { number, after: before?.number ?? 0, gain, needed });
    this.took_s = 0.7 * this.took_s + 0.3 * (reply.took / 1000);
    /** @type {TimedBar} */
    const bar = {
      n, bar: bar_number, round: place?.round ?? 0, frame: 0, frames: reply.sides[0]?.length ?? 0, at: 0, until: 0, tempo, settings,
      number, song, form, kind, request, gain_db: gain, source: null, gain: null,
    };
    return { bar, sides: reply.sides };
  }

  /** @param {PlaySettings} settings @param {TimedBar | null} before @param {number | null} jump @param {number} bars */
  place_of(settings, before, jump, bars) {
    const region = region_of(settings.loop, bars);
    if (jump !== null) return { bar: Math.min(jump, bars - 1), round: 0 };
    if (!before || before.kind === "count") {
      const inside = this.from >= region.from && this.from < region.to;
      return { bar: inside ? this.from : region.from, round: 0 };
    }
    if (before.kind === "rest") return null;
    return place_after(before, settings, bars);
  }

  /**
   * Puts a bar into the list, in place of those that were to follow the one before.
   * @param {TimedBar} bar
   * @param {Float32Array[]} sides
   * @param {TimedBar | null} before
   */
  schedule(bar, sides, before) {
    for (const each of this.bars.filter((other) => other.n >= bar.n)) {
      each.source?.stop();
      each.gain?.disconnect();
    }
    this.bars = this.bars.filter((other) => other.n < bar.n).slice(-bars_kept);
    const { rate } = this.output;
    if (!before) this.zero = Math.ceil((this.output.now + start_s) * rate) / rate;
    bar.frame = before ? before.frame + before.frames : 0;
    bar.at = this.zero + bar.frame / rate;
    bar.until = this.zero + (bar.frame + bar.frames) / rate;
    Object.assign(bar, this.output.play(sides, bar.at));
    this.bars.push(bar);
    this.starting = false;
    if (bar.settings.wait && bar.kind === "bar") this.waiting = true;
  }

  /** After the last bar has rung out, the music ends. */
  end_after_rest() {
    const last = this.bars.at(-1);
    if (last?.kind === "rest" && this.output.now > last.until) {
      this.from = region_of(this.settings.loop, last.form.bars.length).from;
      const { from } = this;
      this.stop();
      this.from = from;
      this.on_end();
    }
    return false;
  }

  /**
   * While the band waits for the player, what rang at the bar line rings out, and the next bar is ready to begin.
   * @param {number} session
   * @returns {Promise<boolean>}
   */
  async wait_for_chord(session) {
    const last = this.bars.filter((bar) => bar.kind !== "rest").at(-1);
    if (!last || this.output.now < last.until - 0.5) return false;
    if (!this.settings.wait) {
      this.waiting = false;
      this.awaited = null;
      this.changed = true;
      return true;
    }
    let tail = this.bars.at(-1);
    if (tail?.kind !== "rest") {
      const rest = await this.make_bar(this.settings, last, last.n + 1, null, session, true);
      if (!rest || session !== this.session) return false;
      this.schedule(rest.bar, rest.sides, last);
      tail = rest.bar;
    }
    if (this.awaited?.bar.settings !== this.settings) {
      this.awaited = await this.make_bar(this.settings, last, last.n + 1, this.jump, session);
      this.on_change();
    }
    if (!this.awaited || session !== this.session) return false;
    if (this.output.now < last.until - 0.02 || !this.found(this.awaited.bar)) return false;
    const { bar, sides } = this.awaited;
    this.awaited = null;
    this.jump = null;
    this.changed = false;
    if (this.output.now > last.until - 0.01) {
      this.zero += this.output.now + 0.01 - last.until;
      tail.gain?.gain.setTargetAtTime(0, this.output.now, ring_fade_s);
      tail.source?.stop(this.output.now + 8 * ring_fade_s);
      tail.source = tail.gain = null;
    }
    this.schedule(bar, sides, last);
    this.on_change();
    return false;
  }
}

/** The felt beats of a bar. @param {TimedBar} bar */
export const pulses_of = (bar) => (bar.kind === "bar" ? bar.form.bars[bar.bar]?.pulses : undefined) ?? bar.form.pulses;

/**
 * Which parts sound, and how loud.
 * @param {PlaySettings} settings
 * @param {number} round
 * @param {import("./types.js").Form} form
 * @returns {Record<string, import("./types.js").PartSetting>}
 */
export function parts_of(settings, round, form) {
  /** @type {Record<string, import("./types.js").PartSetting>} */
  const parts = {};
  for (const part of form.parts) {
    const own = settings.parts[part.name] ?? {};
    parts[part.name] = { out: own.out ?? part.out, gain: own.gain ?? 0 };
    // A microphone would take the band's chords for the player's, and a bass note has the partials of a chord.
    if (settings.no_chords && !["drums", "click"].includes(part.name)) parts[part.name].out = true;
  }
  // Listen first: the player's part is played in the first round.
  if (settings.listen && round === 0 && !settings.no_chords) {
    for (const hand of ["left", "right"]) {
      const part = parts[`${hand} hand`];
      if (part && (settings.hand === "both" || settings.hand === hand)) part.out = false;
    }
  }
  return parts;
}
