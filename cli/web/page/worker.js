// Runs the program's two modules in a worker: requests come in, answers and samples go out. A stream of bars can go back to
// any bar line whose state is kept: the memory of the sound module is copied there.
"use strict";
/**
 * What a module gives out. Numbers are addresses in its memory, or counts.
 * @typedef {{memory: WebAssembly.Memory, _initialize: () => void, reserve: (bytes: number) => number}} Module
 */
/** @typedef {Module & {answer: () => number, reply: () => number, plan: () => number, plan_size: () => number, recording: (count: number) => number}} MusicModule */
/** @typedef {Module & {begin: (rate: number) => void, bar: (gain: number) => number, level: (rate: number) => number, render: (rate: number) => number, left: () => number, right: () => number, delay: () => number}} SoundModule */

/** @type {MusicModule} */
let music;
/** @type {SoundModule} */
let sound;
let state = 0; // of the stream: the number of the bar that was rendered last, 0 before the first
/** @type {Map<number, Uint8Array>} */
const kept = new Map(); // the sound module's memory after each of these bars

/** @param {WebAssembly.Module} module @returns {Promise<any>} what it gives out */
async function start(module) {
  /** @type {Record<string, () => number>} */
  const system = {};
  // Stubs for the system calls of the C library; nothing here opens or writes a file.
  for (const need of WebAssembly.Module.imports(module)) system[need.name] = () => 0;
  const instance = await WebAssembly.instantiate(module, { wasi_snapshot_preview1: system });
  const exports = /** @type {any} */ (instance.exports);
  exports._initialize();
  return exports;
}

/** @param {Module} module @param {Uint8Array} bytes */
function put(module, bytes) {
  const address = module.reserve(bytes.length);
  new Uint8Array(module.memory.buffer).set(bytes, address);
}

/** @param {object} request */
function answer(request) {
  put(music, new TextEncoder().encode(JSON.stringify(request)));
  const length = music.answer();
  return JSON.parse(new TextDecoder().decode(new Uint8Array(music.memory.buffer, music.reply(), length)));
}

const put_plan = () => put(sound, new Uint8Array(music.memory.buffer, music.plan(), music.plan_size()).slice());

/** @param {number} frames */
function rendered(frames) {
  /** @param {number} address */
  const side = (address) => new Float32Array(sound.memory.buffer, address, frames).slice();
  return [side(sound.left()), side(sound.right())];
}

/** @param {number} number of a bar */
const keep = (number) => {
  state = number;
  kept.set(number, new Uint8Array(sound.memory.buffer).slice());
};

/** @param {number} rate in samples per second */
function begin(rate) {
  kept.clear();
  sound.begin(rate);
  keep(0);
}

// Goes back to the end of a bar. Memory that has grown since then is left as it is: the older state does not use it.
/** @param {number} number */
function return_to(number) {
  const memory = kept.get(number);
  if (!memory) throw new Error(`the state after bar ${number} is not kept`);
  new Uint8Array(sound.memory.buffer).set(memory);
}

// Renders a bar after the one numbered `after`; `needed` are the states that may be returned to.
/** @param {{number: number, after: number, gain: number, needed: number[]}} bar */
function render_bar({ number, after, gain, needed }) {
  if (after !== state) return_to(after);
  put_plan();
  const sides = rendered(sound.bar(gain));
  keep(number);
  for (const each of [...kept.keys()]) if (each !== number && !needed.includes(each)) kept.delete(each);
  return sides;
}

// A piece of a recording, whose samples the music module keeps.
let recording = 0; // where they begin
/** @param {{count: number, from: number, values: Float32Array}} piece */
function put_samples({ count, from, values }) {
  if (from === 0) recording = music.recording(count) >>> 0;
  new Float32Array(music.memory.buffer, recording, count).set(values, from);
}

const memory = () => music.memory.buffer.byteLength + sound.memory.buffer.byteLength + [...kept.values()].reduce((sum, each) => sum + each.length, 0);

/** @param {{id: number, modules?: WebAssembly.Module[], request?: object, rate?: number, bar?: any, level?: number, stream?: number, samples?: any, warm?: number}} message */
async function handle({ id, modules, request, rate, bar, level, stream, samples, warm }) {
  try {
    const started = performance.now();
    if (modules) {
      [music, sound] = await Promise.all(modules.map(start));
      return postMessage({ id, answer: {} });
    }
    if (samples) put_samples(samples);
    const reply = request ? answer(request) : {};
    if (reply.error) return postMessage({ id, answer: reply, sides: [] });
    /** @type {Float32Array[]} */
    let sides = [];
    if (stream) begin(stream);
    else if (warm) {
      // A bar that nobody hears: the drums are made and the code is compiled before the first one that counts.
      begin(warm);
      put_plan();
      sound.bar(0);
      begin(warm);
    } else if (level) {
      put_plan();
      reply.gain = sound.level(level);
    } else if (bar) sides = render_bar(bar);
    else if (rate) {
      put_plan();
      sides = rendered(sound.render(rate));
    }
    postMessage({ id, answer: reply, sides, delay: sound.delay(), took: performance.now() - started, memory: memory() }, sides.map((side) => side.buffer));
  } catch (fault) {
    postMessage({ id, broken: String(fault) });
  }
}

// One after another: what is asked while the modules start waits for them.
let last = Promise.resolve();
onmessage = (event) => {
  last = last.then(() => handle(event.data));
};
