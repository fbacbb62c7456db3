// Runs the program's two modules in a worker: requests come in, answers and samples go out.
"use strict";
let music = null;
let sound = null;

async function start(bytes) {
  const compiled = await WebAssembly.compile(bytes);
  const system = {};
  // Stubs for the system calls of the C library; nothing here opens or writes a file.
  for (const need of WebAssembly.Module.imports(compiled)) system[need.name] = () => 0;
  const instance = await WebAssembly.instantiate(compiled, { wasi_snapshot_preview1: system });
  instance.exports._initialize();
  return instance.exports;
}

function put(module, bytes) {
  const address = module.reserve(bytes.length);
  new Uint8Array(module.memory.buffer).set(bytes, address);
}

function answer(request) {
  put(music, new TextEncoder().encode(JSON.stringify(request)));
  const length = music.answer();
  return JSON.parse(new TextDecoder().decode(new Uint8Array(music.memory.buffer, music.reply(), length)));
}

function samples(rate) {
  put(sound, new Uint8Array(music.memory.buffer, music.plan(), music.plan_size()).slice());
  const frames = sound.render(rate);
  const side = (address) => new Float32Array(sound.memory.buffer, address, frames).slice();
  return [side(sound.left()), side(sound.right())];
}

onmessage = async (event) => {
  const { id, modules, request, rate } = event.data;
  try {
    if (modules) {
      [music, sound] = await Promise.all(modules.map(start));
      postMessage({ id, answer: {} });
      return;
    }
    const reply = answer(request);
    const sides = rate && !reply.error ? samples(rate) : [];
    postMessage({ id, answer: reply, sides }, sides.map((side) => side.buffer));
  } catch (fault) {
    postMessage({ id, broken: String(fault) });
  }
};
