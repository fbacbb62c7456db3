// Reads every sample that a page sends to the loudspeaker, in the audio graph on the node before the destination. Pass it
// to open() of browsers.mjs as `prepare`, or run it in the page before its first sound.
export function tap_output() {
  if (window.tap) return;
  const frames = 32768; // of an analyser's buffer, the most that the standard allows: 0.68 s at 48 kHz
  const tap = { highest: 0, over: 0, reads: 0, gap: 0, last: 0, since: 0 };
  window.tap = tap;
  const connect = AudioNode.prototype.connect;
  AudioNode.prototype.connect = function (target, ...rest) {
    if (target instanceof AudioDestinationNode && !(this.context instanceof OfflineAudioContext)) {
      tap.context = this.context;
      const splitter = this.context.createChannelSplitter(2); // an analyser would mix both sides
      connect.call(this, splitter);
      tap.sides = [0, 1].map((side) => {
        const analyser = this.context.createAnalyser();
        analyser.fftSize = frames;
        connect.call(splitter, analyser, side);
        return analyser;
      });
    }
    return connect.call(this, target, ...rest);
  };
  const samples = new Float32Array(frames);
  // The highest sample of the last seconds, both channels.
  tap.loudest = (seconds) => {
    const count = Math.min(frames, Math.round(seconds * tap.context.sampleRate));
    let highest = 0;
    for (const side of tap.sides) {
      side.getFloatTimeDomainData(samples);
      for (let i = frames - count; i < frames; ++i) highest = Math.max(highest, Math.abs(samples[i]));
    }
    return highest;
  };
  // For how many seconds there has been silence, up to the length of the buffer.
  tap.silent = () => {
    let silent = frames;
    for (const side of tap.sides) {
      side.getFloatTimeDomainData(samples);
      silent = Math.min(silent, frames - 1 - samples.findLastIndex((sample) => sample !== 0));
    }
    return silent / tap.context.sampleRate;
  };
  tap.reset = () => Object.assign(tap, { highest: 0, over: 0, gap: 0, last: tap.context ? tap.context.currentTime : 0 });
  setInterval(() => {
    if (!tap.sides) return;
    const now = tap.context.currentTime;
    tap.gap = Math.max(tap.gap, tap.last ? now - tap.last : 0);
    const fresh = Math.min(frames, Math.ceil((now - tap.last) * tap.context.sampleRate));
    tap.last = now;
    for (const side of tap.sides) {
      side.getFloatTimeDomainData(samples);
      for (let i = frames - fresh; i < frames; ++i) {
        const size = Math.abs(samples[i]);
        if (size > tap.highest) tap.highest = size;
        if (size > 1) ++tap.over;
      }
    }
    ++tap.reads;
  }, 100);
}
