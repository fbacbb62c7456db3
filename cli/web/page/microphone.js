// A piano without a cable: the microphone's sound goes into the program's module that listens, and nowhere else.
import { module_of } from "./engine.js";

const window_size = 32768; // the most samples that the browser's analyser keeps
const match_size = 48; // by which two reads are joined
const between_reads_ms = 50; // between two reads
const old_ms = 400; // a look that says nothing any more
const settled_ms = 250; // after an onset: from then on an answer counts
const sure = 0.5; // a tone is more likely there than not

/** @typedef {{onset: number, at: number, tones: number[]}} Look times in seconds of the audio clock */

/**
 * Where the samples of a read go on after those of the one before.
 * @param {Float32Array} now
 * @param {Float32Array} tail the last samples of the read before
 * @param {number} expected how many are new, about
 * @returns {number} how many are new; all if the two have nothing in common
 */
export function new_samples(now, tail, expected) {
  if (tail.length === 0) return now.length;
  const fits = (/** @type {number} */ fresh) => {
    const from = now.length - fresh - tail.length;
    if (from < 0 || fresh < 0) return false;
    for (let i = 0; i < tail.length; ++i) if (now[from + i] !== tail[i]) return false;
    return true;
  };
  // Browsers fill the analyser by 128 samples at a time.
  const middle = Math.round(expected / 128) * 128;
  for (let distance = 0; distance <= now.length; distance += 128) {
    if (fits(middle + distance)) return middle + distance;
    if (distance > 0 && fits(middle - distance)) return middle - distance;
  }
  return now.length;
}

/** A chord as the module takes it: the set of its tones, and its root. @param {number[]} midi @param {number} root 0 for C to 11 */
export const asked_tones = (midi, root) => ({ tones: midi.reduce((set, key) => set | (1 << (key % 12)), 0), root });

export class Microphone {
  /** @param {import("./output.js").Output} output whose clock counts */
  constructor(output) {
    this.output = output;
    this.on = false;
    /** @type {Look | null} */
    this.last = null;
    this.on_look = () => {};
    /** @type {any} */
    this.module = null;
    /** @type {MediaStream | null} */
    this.stream = null;
    this.timer = 0;
    this.looks = 0;
    this.offset = 0; // the time of the first sample that was listened to
    this.count = 0; // samples since then
    /** @type {"quiet" | "listen"} */
    this.mode = "listen";
  }

  /** Asks the browser for the microphone; refused with an error. */
  async connect() {
    if (this.on) return;
    if (!(await this.output.wake())) throw new Error("no sound");
    // What phones do for speech spoils music.
    const audio = { echoCancellation: false, noiseSuppression: false, autoGainControl: false, channelCount: 1 };
    const stream = await navigator.mediaDevices.getUserMedia({ audio });
    if (!this.module) {
      const module = await module_of("hearing");
      this.module = (await WebAssembly.instantiate(module, imports_of(module))).exports;
      this.module._initialize();
    }
    const context = this.output.open();
    this.stream = stream;
    this.analyser = context.createAnalyser();
    this.analyser.fftSize = window_size;
    this.source = context.createMediaStreamSource(stream);
    this.source.connect(this.analyser);
    this.module.begin(context.sampleRate);
    this.read = new Float32Array(window_size);
    this.tail = new Float32Array(0);
    this.read_at = context.currentTime;
    this.count = this.looks = 0;
    this.last = null;
    this.on = true;
    stream.getAudioTracks()[0].onended = () => this.end();
    this.timer = window.setInterval(() => this.take(), between_reads_ms);
  }

  end() {
    clearInterval(this.timer);
    this.source?.disconnect();
    for (const track of this.stream?.getTracks() ?? []) track.stop();
    this.stream = null;
    this.on = false;
    this.last = null;
    this.on_look();
  }

  /** The samples that have come since the last time. */
  take() {
    const { context } = this.output;
    if (!context || !this.analyser || !this.read || !this.tail) return;
    this.analyser.getFloatTimeDomainData(this.read);
    const now = context.currentTime;
    const fresh = new_samples(this.read, this.tail, (now - (this.read_at ?? now)) * context.sampleRate);
    this.read_at = now;
    if (fresh === 0) return;
    this.tail = this.read.slice(-match_size);
    const address = this.module.reserve(fresh);
    new Float32Array(this.module.memory.buffer, address, fresh).set(this.read.subarray(window_size - fresh));
    if (this.mode === "quiet") return this.module.quiet();
    this.count += fresh;
    this.offset = now - this.count / context.sampleRate;
    const looks = this.module.listen();
    if (looks === this.looks) return;
    this.looks = looks;
    const tones = [...new Float32Array(this.module.memory.buffer, this.module.tones(), 12)];
    this.last = { onset: this.offset + this.module.onset() / 1000, at: this.offset + this.module.moment() / 1000, tones };
    this.on_look();
  }

  /** The last look, if it is not old. */
  look() {
    return this.last && this.output.now - this.last.at < old_ms / 1000 ? this.last : null;
  }

  /** The pitch classes that sound, as far as that is sure. @returns {number[]} */
  heard() {
    const look = this.look();
    return look ? look.tones.flatMap((tone, place) => (tone > sure ? [place] : [])) : [];
  }

  /**
   * How what sounds compares with a chord: nothing if there is nothing to compare.
   * @param {{tones: number, root: number}} asked
   * @param {number} since an onset before this time does not count, in seconds of the audio clock
   */
  answer(asked, since) {
    const look = this.look();
    if (!look || look.onset < since || (look.at - look.onset) * 1000 < settled_ms) return null;
    const bits = this.module.answer(asked.tones, asked.root) >>> 0;
    const set = (/** @type {number} */ from) => Array.from({ length: 12 }, (_, tone) => tone).filter((tone) => (bits >>> (from + tone)) & 1);
    return { kind: /** @type {const} */ (["right", "wrong", "unclear"])[bits & 3], missing: set(4), foreign: set(16) };
  }

  /** What the room and the piano are like, after some seconds of each. */
  room() {
    const { findings, hum, tuning } = this.module;
    const found = (/** @type {number} */ bit) => (findings() & bit) !== 0;
    return { heard: found(1), clipped: found(2), soft: found(4), loud_room: found(8), in_tune: found(16), hum: hum(), cents: tuning() };
  }

  /** Begins to measure the room. @param {"quiet" | "listen"} mode */
  measure(mode) {
    if (mode === "quiet") {
      this.module.begin(this.output.open().sampleRate);
      this.count = this.looks = 0;
    }
    this.mode = mode;
  }
}

/** Stubs for the system calls of the C library; nothing there opens or writes a file. @param {WebAssembly.Module} module */
function imports_of(module) {
  /** @type {Record<string, () => number>} */
  const system = {};
  for (const need of WebAssembly.Module.imports(module)) system[need.name] = () => 0;
  return { wasi_snapshot_preview1: system };
}
