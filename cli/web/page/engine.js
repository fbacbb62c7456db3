// Sends the page's requests to the program in the worker.
"use strict";

const data_of = (id) => document.getElementById(id).textContent;

async function unpacked(id) {
  const packed = Uint8Array.from(atob(data_of(id)), (character) => character.charCodeAt(0));
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

// A module that holds nothing but one fixed-width SIMD instruction (WebAssembly core specification 2.0): i32x4.splat of a
// constant, in a function without a name.
const simd_probe = new Uint8Array([
  0, 97, 115, 109, 1, 0, 0, 0, 1, 5, 1, 96, 0, 1, 123, 3, 2, 1, 0, 10, 8, 1, 6, 0, 65, 0, 253, 17, 11,
]);

class Engine {
  constructor() {
    this.waiting = new Map();
    this.next = 1;
  }

  async start() {
    const simd = WebAssembly.validate(simd_probe);
    const modules = await Promise.all([unpacked("music"), unpacked(simd ? "sound" : "sound-plain")]);
    this.modules = modules;
    await this.begin();
  }

  begin() {
    const link = URL.createObjectURL(new Blob([data_of("worker")], { type: "text/javascript" }));
    this.worker = new Worker(link);
    this.worker.onmessage = (event) => this.receive(event.data);
    return this.send({ modules: this.modules });
  }

  send(message) {
    const id = this.next++;
    return new Promise((done, failed) => {
      this.waiting.set(id, { done, failed });
      this.worker.postMessage({ id, ...message });
    });
  }

  async receive(message) {
    const waiting = this.waiting.get(message.id);
    this.waiting.delete(message.id);
    if (!message.broken) return waiting.done(message);
    // The program has failed: start a new worker; this request is lost.
    this.worker.terminate();
    this.waiting.clear();
    await this.begin();
    waiting.failed(new Error("The page had to begin again. Please try once more."));
  }

  async ask(request) {
    return (await this.send({ request })).answer;
  }

  // @param rate samples per second
  async sound(request, rate) {
    const message = await this.send({ request, rate });
    return { ...message.answer, sides: message.sides };
  }
}
