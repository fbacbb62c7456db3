// Plays loops without a seam, and changes to another one on a bar line.
"use strict";

class Player {
  constructor(engine) {
    this.engine = engine;
    this.playing = null;
    this.volume = 0.7;
    this.rounds = 0;
    this.on_round = () => {};
  }

  open() {
    if (this.context) return;
    this.context = new AudioContext();
    this.out = this.context.createGain();
    this.out.gain.value = this.volume;
    this.out.connect(this.context.destination);
  }

  set_volume(volume) {
    this.volume = volume;
    if (this.out) this.out.gain.setTargetAtTime(volume, this.context.currentTime, 0.02);
  }

  buffer_of(made) {
    const buffer = this.context.createBuffer(2, made.sides[0].length, this.context.sampleRate);
    made.sides.forEach((side, channel) => buffer.copyToChannel(side, channel));
    return buffer;
  }

  // Starts a loop so that its place `from` sounds at the time `at`.
  voice(made, at, from) {
    const source = this.context.createBufferSource();
    source.buffer = this.buffer_of(made);
    source.loop = true;
    const gain = this.context.createGain();
    source.connect(gain).connect(this.out);
    source.start(at, from);
    return { source, gain, made, begin: at - from, at };
  }

  // Sounds something once; the time it begins.
  once(made, at) {
    const source = this.context.createBufferSource();
    source.buffer = this.buffer_of(made);
    source.connect(this.out);
    source.start(at);
    return source;
  }

  async start(request, count_in) {
    this.open();
    this.stop();
    await this.context.resume();
    const turn = (this.turn = {});
    const rate = this.context.sampleRate;
    const made = await this.engine.sound({ do: "loop", ...request }, rate);
    if (made.error) return made;
    let clicks = null;
    if (count_in) clicks = await this.engine.sound({ do: "clicks", meter: made.meter, tempo: made.tempo }, rate);
    if (this.turn !== turn) return made; // stopped, or begun anew
    let at = this.context.currentTime + 0.12;
    if (clicks) {
      this.counting = this.once(clicks, at);
      at += clicks.seconds;
    }
    this.rounds = 0;
    this.playing = this.voice(made, at, 0);
    return made;
  }

  // The next bar line that can still be reached: its time, and its number in the loop.
  next_bar() {
    const { made, begin } = this.playing;
    const soonest = this.context.currentTime + 0.08;
    const round = Math.max(0, Math.floor((soonest - begin) / made.seconds));
    for (let turn = round; ; ++turn) {
      for (let bar = 0; bar < made.bars.length; ++bar) {
        const at = begin + turn * made.seconds + made.bars[bar];
        if (at >= soonest && at >= this.playing.at) return { at, bar };
      }
    }
  }

  async change(request) {
    if (!this.playing) return null;
    const wish = (this.wish = {});
    const made = await this.engine.sound({ do: "loop", ...request }, this.context.sampleRate);
    // A later wish, or silence, has overtaken this one.
    if (made.error || this.wish !== wish || !this.playing) return made;
    const { at, bar } = this.next_bar();
    const before = this.playing;
    before.gain.gain.setValueAtTime(1, at);
    before.gain.gain.linearRampToValueAtTime(0, at + 0.02);
    before.source.stop(at + 0.03);
    this.leaving = before;
    this.playing = this.voice(made, at, made.bars[bar % made.bars.length]);
    return made;
  }

  stop() {
    this.turn = null;
    if (this.counting) this.counting.stop();
    this.counting = null;
    for (const voice of [this.playing, this.leaving]) {
      if (!voice) continue;
      const now = this.context.currentTime;
      voice.gain.gain.cancelScheduledValues(now);
      voice.gain.gain.setTargetAtTime(0, now, 0.015);
      voice.source.stop(Math.max(now + 0.1, voice.at));
    }
    this.playing = this.leaving = null;
  }

  async notes(midi) {
    this.open();
    await this.context.resume();
    const made = await this.engine.sound({ do: "notes", midi }, this.context.sampleRate);
    this.once(made, this.context.currentTime + 0.01);
  }

  // What is heard now: the loop, the place in it in seconds, and the round; nothing before it begins.
  heard() {
    const delay = this.context ? this.context.outputLatency || this.context.baseLatency || 0 : 0;
    if (!this.playing) return null;
    const now = this.context.currentTime - delay;
    const voice = this.leaving && now < this.playing.at ? this.leaving : this.playing;
    const since = now - voice.begin;
    if (now < voice.at) return null;
    const round = Math.floor(since / voice.made.seconds);
    if (voice === this.playing && round > this.rounds) {
      this.rounds = round;
      this.on_round(round);
    } else if (voice === this.playing && round < this.rounds) {
      this.rounds = round;
    }
    return { made: voice.made, place: since - round * voice.made.seconds, round };
  }
}
