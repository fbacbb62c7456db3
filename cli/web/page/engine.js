// Sends the page's requests to the program in its workers: one for the song and the band, one for single keys, so that a
// key does not wait for the band.
import { say } from "./words.js";

/**
 * What the loader has begun, the modules of the program and a worker for them, and ways to more.
 * @type {{program: Promise<WebAssembly.Module[]>, first_worker: Worker | null, module_of: (id: string) => Promise<WebAssembly.Module>, new_worker: () => Worker}}
 */
const loaded = /** @type {any} */ (globalThis);

/** A module of the page. @param {string} id */
export const module_of = (id) => loaded.module_of(id);

/** @typedef {{answer: any, sides: Float32Array[], delay: number, took: number, memory: number}} Reply */

/** A worker, and the requests that wait for it. */
class Channel {
  /** @param {Promise<WebAssembly.Module[]>} modules */
  constructor(modules) {
    this.modules = modules;
    /** @type {Map<number, {done: (reply: any) => void, failed: (fault: Error) => void}>} */
    this.waiting = new Map();
    this.next = 1;
    this.restarts = 0;
    this.memory = 0;
    this.ready = this.begin();
    this.ready.catch(() => {}); // whoever waits for it tells
  }

  async begin() {
    this.worker = loaded.first_worker ?? loaded.new_worker();
    loaded.first_worker = null;
    this.worker.onmessage = (event) => this.receive(event.data);
    await this.post({ modules: await this.modules });
  }

  /** What is sent before the modules are there waits for them. @param {object} message @returns {Promise<Reply>} */
  async send(message) {
    await this.modules;
    return this.post(message);
  }

  /** @param {object} message @returns {Promise<any>} */
  post(message) {
    const id = this.next++;
    return new Promise((done, failed) => {
      this.waiting.set(id, { done, failed });
      this.worker?.postMessage({ id, ...message });
    });
  }

  /** Stops at once; what waits is lost. */
  end() {
    this.worker?.terminate();
    for (const each of this.waiting.values()) each.failed(new Error("ended"));
    this.waiting.clear();
  }

  /** @param {any} message */
  async receive(message) {
    if (message.id === 0) return; // the loader's
    const request = this.waiting.get(message.id);
    this.waiting.delete(message.id);
    if (message.memory) this.memory = message.memory;
    if (!message.broken) return request?.done(message);
    // The program has failed: start a new worker; what waits is lost.
    this.worker?.terminate();
    const lost = [...this.waiting.values(), request];
    this.waiting.clear();
    ++this.restarts;
    await this.begin();
    for (const each of lost) each?.failed(new Error(say("failed")));
  }
}

export class Engine {
  constructor() {
    /** @type {Channel | undefined} */
    this.keys = undefined;
    /** What is asked is answered when the program has started in it. */
    this.band = new Channel(loaded.program);
  }

  /** @param {object} request @returns {Promise<any>} */
  async ask(request) {
    return (await this.band.send({ request })).answer;
  }

  /** The gain in dB of the request's song. @param {object} request @param {number} rate @returns {Promise<number>} */
  async level(request, rate) {
    return (await this.band.send({ request: { ...request, do: "level" }, level: rate })).answer.gain ?? 0;
  }

  /** Renders a bar that nobody hears, so that the first one of a stream at this rate is quick. @param {object} request @param {number} rate */
  async warm(request, rate) {
    await this.band.send({ request: { do: "bar", bar: 0, ...request }, warm: rate });
  }

  /** Begins a stream of bars. @param {number} rate */
  async begin_stream(rate) {
    const { delay } = await this.band.send({ stream: rate });
    return { delay, restarts: this.band.restarts };
  }

  /** The next bar of the stream, or one that was rendered before. @param {object} request @param {object} bar */
  async bar(request, bar) {
    return this.band.send({ request, bar });
  }

  /** A sound by itself. @param {object} request @param {number} rate samples per second */
  async sound(request, rate) {
    this.keys ??= this.another_channel();
    await this.keys.ready;
    const message = await this.keys.send({ request, rate });
    return { ...message.answer, sides: message.sides };
  }

  /** A worker for something long, beside the band. */
  another_channel() {
    return new Channel(loaded.program);
  }
}
