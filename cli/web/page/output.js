// Everything that sounds goes through one gain and a limiter to the loudspeaker.

const silence_s = 0.02; // from Stop to silence
const most_taps = 12; // single notes and chords that may sound at once
const longest_wake_ms = 4000; // a browser that lets no sound out answers nothing; wireless loudspeakers take seconds
const between_measures_ms = 3000; // of the latency
const limit_db = -1; // threshold of the compressor; a bar peaks at -1.1 dB at most
const limit_ratio = 20;
const knee = 0.9; // where the soft clipper begins, as a fraction of full scale
const ceiling = 0.99; // the most that the soft clipper lets through
const look_ahead_s = 0.006; // of the compressor node in today's browsers

/**
 * Keeps the sum within full scale: a fast compressor, then a soft clipper from `knee` to `ceiling`. Below -1 dB nothing
 * is changed.
 * @param {AudioContext} context
 */
function limiter(context) {
  const compressor = context.createDynamicsCompressor();
  compressor.threshold.value = limit_db;
  compressor.knee.value = 0;
  compressor.ratio.value = limit_ratio;
  compressor.attack.value = 0;
  compressor.release.value = 0.1;
  // The node adds make-up gain: the reduction at full scale to the power of 0.6 (W3C Web Audio API,
  // DynamicsCompressorNode).
  const made_up_db = 0.6 * -limit_db * (1 - 1 / limit_ratio);
  const widest = 2; // the curve's ends; beyond them it is flat
  const before = context.createGain();
  before.gain.value = 10 ** (-made_up_db / 20) / widest;
  const curve = new Float32Array(4097);
  const range = ceiling - knee;
  curve.forEach((_, place) => {
    const sample = widest * ((2 * place) / (curve.length - 1) - 1);
    const excess = Math.abs(sample) - knee;
    curve[place] = excess <= 0 ? sample : Math.sign(sample) * (knee + range * Math.tanh(excess / range));
  });
  const shaper = context.createWaveShaper();
  shaper.curve = curve;
  compressor.connect(before).connect(shaper);
  return { input: compressor, output: shaper };
}

export class Output {
  constructor() {
    this.volume = 0.7;
    this.latency_s = 0; // from the audio clock to the loudspeaker
    this.next_measure = 0; // of it, in milliseconds
    /** @type {(running: boolean) => void} */
    this.on_state = () => {};
    /** @type {AudioContext | null} */
    this.context = null;
    /** @type {{source: AudioBufferSourceNode, gain: GainNode}[]} */
    this.taps = [];
    /** @type {Set<AudioBufferSourceNode>} */
    this.sources = new Set();
  }

  open() {
    if (this.context) return this.context;
    const context = (this.context = new AudioContext({ latencyHint: "interactive" }));
    context.onstatechange = () => this.on_state(context.state === "running");
    this.master = context.createGain();
    this.master.gain.value = this.volume;
    const { input, output } = limiter(context);
    this.master.connect(input);
    output.connect(context.destination);
    this.new_bus();
    return context;
  }

  /** One node for everything that sounds until the next Stop. */
  new_bus() {
    if (!this.context || !this.master) return;
    this.bus = this.context.createGain();
    this.bus.connect(this.master);
    this.sources = new Set();
  }

  /** @param {number} volume 0 to 1 */
  set_volume(volume) {
    this.volume = volume;
    if (this.context) this.master?.gain.setTargetAtTime(volume, this.context.currentTime, 0.02);
  }

  /** @returns {Promise<boolean>} whether sound comes out */
  async wake() {
    const context = this.open();
    if (context.state === "running") return true;
    await Promise.race([context.resume(), new Promise((done) => setTimeout(done, longest_wake_ms))]);
    return String(context.state) === "running";
  }

  get rate() {
    return this.open().sampleRate;
  }

  get now() {
    return this.context?.currentTime ?? 0;
  }

  /** The moment of the audio clock that the listener hears now. */
  get heard() {
    if (!this.context) return 0;
    return this.context.currentTime - this.latency_s - look_ahead_s;
  }

  /** Asks how late the loudspeaker is, now and then. */
  measure_latency() {
    const now = performance.now();
    if (!this.context || now < this.next_measure) return;
    this.next_measure = now + between_measures_ms;
    // Firefox (seen in 153 with PulseAudio) stands still for seconds when its output latency is asked for.
    const asked = navigator.userAgent.includes("Firefox") ? 0 : this.context.outputLatency;
    this.latency_s = asked || this.context.baseLatency || 0;
  }

  /**
   * Plays samples from a moment on.
   * @param {Float32Array[]} sides
   * @param {number} at
   */
  play(sides, at) {
    const context = this.open();
    const buffer = context.createBuffer(2, Math.max(1, sides[0].length), context.sampleRate);
    sides.forEach((side, channel) => buffer.copyToChannel(/** @type {Float32Array<ArrayBuffer>} */ (side), channel));
    const source = context.createBufferSource();
    source.buffer = buffer;
    const gain = context.createGain();
    source.connect(gain).connect(/** @type {GainNode} */ (this.bus));
    const { sources } = this;
    sources.add(source);
    source.onended = () => {
      sources.delete(source);
      gain.disconnect();
    };
    source.start(at);
    return { source, gain };
  }

  /** A single note or chord, at once. @param {Float32Array[]} sides */
  tap(sides) {
    const now = this.now;
    const oldest = this.taps.length === most_taps ? this.taps.shift() : undefined;
    if (oldest) {
      oldest.gain.gain.setTargetAtTime(0, now, 0.01);
      oldest.source.stop(now + 0.06);
    }
    const tap = this.play(sides, now);
    tap.source.addEventListener("ended", () => (this.taps = this.taps.filter((each) => each !== tap)));
    this.taps.push(tap);
    return tap;
  }

  /** Silences whatever sounds or is scheduled. */
  stop() {
    this.taps = [];
    if (!this.context || !this.bus) return;
    const { bus, sources } = this;
    const now = this.now;
    bus.gain.setValueAtTime(1, now);
    bus.gain.linearRampToValueAtTime(0, now + silence_s);
    for (const source of sources) source.stop(now + silence_s);
    setTimeout(() => bus.disconnect(), 200);
    this.new_bus();
  }
}

/** Keeps the screen awake while music plays, where the browser can. */
export class WakeLock {
  constructor() {
    this.wanted = false;
    /** @type {WakeLockSentinel | undefined} */
    this.lock = undefined;
    document.addEventListener("visibilitychange", () => this.renew());
  }

  /** @param {boolean} wanted */
  want(wanted) {
    this.wanted = wanted;
    this.renew();
  }

  async renew() {
    try {
      if (this.wanted && document.visibilityState === "visible") this.lock ??= await navigator.wakeLock?.request("screen");
      this.lock?.addEventListener("release", () => (this.lock = undefined), { once: true });
      if (!this.wanted) await this.lock?.release();
    } catch {
      this.lock = undefined; // refused: the music goes on
    }
  }
}
