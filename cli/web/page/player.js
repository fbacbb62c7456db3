// Plays loops without a gap and changes to another one on a bar line. At most one loop sounds and at most one waits; all
// sound goes through one gain and a limiter.
"use strict";

const lead_s = 0.08; // a bar line nearer than this is too late for a change
const fade_out_s = 0.025; // of the old loop, before the bar line at which the new one begins
const fade_in_s = 0.003; // of the new loop, before the same bar line
const silence_s = 0.02; // from Stop to silence
const most_taps = 8; // single notes and chords that may sound at once

const limit_db = -1; // threshold of the compressor; a track peaks at -1 dBTP at most
const limit_ratio = 20;
const knee = 0.9; // where the soft clipper begins, as a fraction of full scale
const ceiling = 0.99; // the most that the soft clipper lets through
const look_ahead_s = 0.006; // of the compressor node in today's browsers

// Keeps the sum within full scale: a fast compressor, then a soft clipper from `knee` to `ceiling`. Below -1 dB nothing
// is changed.
function limiter(context) {
  const compressor = context.createDynamicsCompressor();
  const set = { threshold: limit_db, knee: 0, ratio: limit_ratio, attack: 0, release: 0.1 };
  for (const [name, value] of Object.entries(set)) compressor[name].value = value;
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

class Player {
  constructor(engine) {
    this.engine = engine;
    this.volume = 0.7;
    this.session = null; // from Play to Stop: { request, rendering, made }; nothing of an earlier session may sound
    this.current = null; // the loop that sounds
    this.next = null; // the loop that waits for a bar line
    this.previous = null; // the loop before, while the output latency lasts
    this.taps = []; // single notes and chords that sound
    this.rounds = 0;
    this.on_round = () => {};
    this.on_end = () => {};
  }

  open() {
    if (this.context) return;
    this.context = new AudioContext();
    this.out = this.context.createGain();
    this.out.gain.value = this.volume;
    const { input, output } = limiter(this.context);
    this.out.connect(input);
    output.connect(this.context.destination);
    this.new_bus();
  }

  // One node for everything that sounds until the next Stop.
  new_bus() {
    this.bus = this.context.createGain();
    this.bus.connect(this.out);
    this.sources = new Set();
  }

  set_volume(volume) {
    this.volume = volume;
    if (this.out) this.out.gain.setTargetAtTime(volume, this.context.currentTime, 0.02);
  }

  // A source on the bus with its own gain; not started.
  voice(made) {
    const buffer = this.context.createBuffer(2, made.sides[0].length, this.context.sampleRate);
    made.sides.forEach((side, channel) => buffer.copyToChannel(side, channel));
    const source = this.context.createBufferSource();
    source.buffer = buffer;
    const gain = this.context.createGain();
    source.connect(gain).connect(this.bus);
    const sources = this.sources;
    sources.add(source);
    source.onended = () => sources.delete(source);
    return { source, gain: gain.gain, made };
  }

  // A loop whose position `from` sounds at the time `at`, both in seconds.
  loop(made, at, from) {
    const voice = Object.assign(this.voice(made), { at, begin: at - from });
    voice.source.loop = !made.once;
    if (made.once) voice.source.addEventListener("ended", () => this.ended(voice));
    if (!this.current) {
      voice.source.start(at, from);
      return voice;
    }
    voice.gain.setValueAtTime(0, at - fade_in_s);
    voice.gain.linearRampToValueAtTime(1, at);
    voice.source.start(at - fade_in_s, (from - fade_in_s + made.seconds) % made.seconds);
    return voice;
  }

  // A sound that is played once has ended.
  ended(voice) {
    if (voice !== this.current && voice !== this.next) return;
    this.stop();
    this.on_end();
  }

  async start(request, count_in) {
    this.open();
    this.stop();
    const session = (this.session = { request, rendering: null, made: null });
    await this.context.resume();
    const made = await this.render_newest(session);
    if (!session.made || this.session !== session) return made;
    const { meter, tempo } = session.made;
    const clicks = count_in ? await this.engine.sound({ do: "clicks", meter, tempo }, this.context.sampleRate) : null;
    if (this.session !== session) return made; // stopped, or started again
    const now = this.context.currentTime + 0.12;
    if (clicks) this.voice(clicks).source.start(now);
    this.rounds = 0;
    this.next = this.loop(session.made, now + (clicks ? clicks.seconds : 0), 0);
    return session.made;
  }

  // Another loop from the next bar line on; does nothing while nothing plays.
  async change(request) {
    if (!this.session) return null;
    this.session.request = request;
    return this.render_newest(this.session);
  }

  // Renders the newest request of a session. While one is rendered the next one waits, and a later one replaces it.
  render_newest(session) {
    session.rendering ??= this.render(session).finally(() => (session.rendering = null));
    return session.rendering;
  }

  async render(session) {
    let made = null;
    while (session.request && this.session === session) {
      const request = session.request;
      session.request = null;
      made = await this.engine.sound(request, this.context.sampleRate);
    }
    if (made && !made.error && this.session === session) this.schedule(session, made);
    return made;
  }

  // Schedules a loop in place of the one that waits.
  schedule(session, made) {
    session.made = made;
    this.promote_next();
    const playing = this.next || this.current;
    if (!playing || playing.made.once) return; // starts later, or plays to its end unchanged
    const { at, bar } = this.current ? this.next_bar() : { at: playing.at, bar: 0 };
    if (this.next) {
      this.next.source.stop();
      this.next.source.disconnect();
    }
    if (this.current) {
      const { gain, source } = this.current;
      gain.cancelScheduledValues(Math.max(this.context.currentTime, this.current.at + fade_in_s));
      gain.setValueAtTime(1, at - fade_in_s - fade_out_s);
      gain.linearRampToValueAtTime(0, at - fade_in_s);
      source.stop(at);
    }
    this.next = this.loop(made, at, made.bars[bar % made.bars.length]);
  }

  // The loop that waits becomes the current one when its bar line is too near for a change.
  promote_next() {
    if (!this.next || this.context.currentTime < this.next.at - lead_s) return;
    this.previous = this.current;
    this.current = this.next;
    this.next = null;
  }

  // The next bar line that is not too near: its time, and its number in the loop.
  next_bar() {
    const { made, begin, at: began } = this.current;
    const soonest = Math.max(this.context.currentTime + lead_s, began + lead_s);
    for (let round = Math.max(0, Math.floor((soonest - begin) / made.seconds)); ; ++round) {
      for (let bar = 0; bar < made.bars.length; ++bar) {
        const at = begin + round * made.seconds + made.bars[bar];
        if (at >= soonest) return { at, bar };
      }
    }
  }

  // Stops whatever sounds, waits or is being rendered.
  stop() {
    this.session = this.current = this.next = this.previous = null;
    this.taps = [];
    if (!this.context) return;
    const { bus, sources } = this;
    const now = this.context.currentTime;
    bus.gain.setValueAtTime(1, now);
    bus.gain.linearRampToValueAtTime(0, now + silence_s);
    for (const source of sources) source.stop(now + silence_s);
    setTimeout(() => bus.disconnect(), 200);
    this.new_bus();
  }

  async notes(midi) {
    this.open();
    const bus = this.bus;
    await this.context.resume();
    const made = await this.engine.sound({ do: "notes", midi }, this.context.sampleRate);
    if (this.bus !== bus) return; // stopped meanwhile
    const now = this.context.currentTime;
    if (this.taps.length === most_taps) {
      const { gain, source } = this.taps.shift();
      gain.setTargetAtTime(0, now, 0.01);
      source.stop(now + 0.06);
    }
    const tap = this.voice(made);
    tap.source.addEventListener("ended", () => (this.taps = this.taps.filter((each) => each !== tap)));
    tap.source.start(now + 0.01);
    this.taps.push(tap);
  }

  // What the listener hears now: the loop, the position in it in seconds, and the round; null before it begins.
  position() {
    if (!this.session) return null;
    this.promote_next();
    const latency = this.context.outputLatency || this.context.baseLatency || 0;
    const now = this.context.currentTime - latency - look_ahead_s;
    const voice = [this.next, this.current, this.previous].find((each) => each && each.at <= now);
    if (!voice) return null;
    const since = now - voice.begin;
    const round = voice.made.once ? 0 : Math.floor(since / voice.made.seconds);
    if (voice === this.current && round !== this.rounds) {
      const rose = round > this.rounds;
      this.rounds = round;
      if (rose) this.on_round(round);
    }
    return { made: voice.made, place: since - round * voice.made.seconds, round };
  }
}
