// Runs the program's two modules away from the page: requests come in, answers and samples go out.
"use strict";
let music = null;
let sound = null;

async function start(bytes) {
  const made = await WebAssembly.compile(bytes);
  const system = {};
  // What the C library would ask of a system; nothing here opens or writes anything.
  for (const need of WebAssembly.Module.imports(made)) system[need.name] = () => 0;
  const instance = await WebAssembly.instantiate(made, { wasi_snapshot_preview1: system });
  instance.exports._initialize();
  return instance.exports;
}

function put(module, bytes) {
  const place = module.room(bytes.length);
  new Uint8Array(module.memory.buffer).set(bytes, place);
}

function answer(request) {
  put(music, new TextEncoder().encode(JSON.stringify(request)));
  const length = music.answer();
  return JSON.parse(new TextDecoder().decode(new Uint8Array(music.memory.buffer, music.reply(), length)));
}

function samples(rate) {
  put(sound, new Uint8Array(music.memory.buffer, music.plan(), music.plan_size()).slice());
  const frames = sound.render(rate);
  const side = (place) => new Float32Array(sound.memory.buffer, place, frames).slice();
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
