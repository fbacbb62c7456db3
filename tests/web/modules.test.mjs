// The page's WebAssembly modules against the native build: the same answers and the same samples, bit for bit.
import assert from "node:assert";
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { test } from "node:test";

const build = process.env.ROMANESCA_BUILD;

async function start(name) {
  const made = await WebAssembly.compile(readFileSync(`${process.env.ROMANESCA_MODULES ?? `${build}/web`}/${name}.wasm`));
  const system = {};
  for (const need of WebAssembly.Module.imports(made)) system[need.name] = () => 0;
  const { exports } = await WebAssembly.instantiate(made, { wasi_snapshot_preview1: system });
  exports._initialize();
  return exports;
}

function put(module, bytes) {
  const address = module.reserve(bytes.length);
  new Uint8Array(module.memory.buffer).set(bytes, address);
}

function hash(bytes, value = 0xcbf29ce484222325n) {
  // FNV-1a in two halves of 32 bits, since 64-bit integers are slow.
  let high = Number(value >> 32n);
  let low = Number(value & 0xffffffffn);
  for (const byte of bytes) {
    low = (low ^ byte) >>> 0;
    const product = low * 0x1b3;
    high = (Math.imul(high, 0x1b3) + Math.floor(product / 4294967296) + (low << 8)) >>> 0;
    low = product >>> 0;
  }
  return (BigInt(high) << 32n) | BigInt(low);
}

const requests = [
  { do: "heard", notes: [[0, 1920, 48, 88], [0, 1920, 67, 68], [1920, 1920, 55, 88]], length: 7680, tempo: 72 },
  { do: "song", text: "I vi IV V", key: "Eb", hands: { left: "octave", span: 9, inversions: 1, loop: true } },
  { do: "song", text: "I vi IV V", key: "Eb", level: 3 },
  { do: "song", text: "| C | Jm7 |" },
  { do: "song", text: "title: A \"quoted\" name\nmeter: 6/8\n[Verse]\n| Am | F | C/E N.C. |", level: 8 },
  { do: "form", text: "I vi IV V", key: "Eb" },
  { do: "form", text: "meter: 3/4\n| C | G7 | Am | F |", trade: 1, seed: 7 },
  { do: "bar", text: "| C |", bar: 99, tempo: 1e9, parts: 7 },
  { do: "clicks", meter: "6/8", tempo: 60 },
  { do: "notes", midi: [48, 60, 64, 67] },
  { do: "name", midi: [61, 64, 68], key: "A major" },
  { do: "library" },
  { do: "nothing" },
];
// A stream of bars: the same song in other keys, tempos, styles and parts, over and over.
const stream = [{ begin: 44100, do: "clicks", meter: "4/4", tempo: 120, gain: -2 }];
const settings = [
  { text: "I vi IV V", key: "Eb", tempo: 92 },
  { text: "| Am7 | D7 | Gmaj7 | % |", tempo: 140, style: "jazz-swing", click: true },
  { text: "| Am7 | D7 | Gmaj7 | % |", key: "F", tempo: 140.5, style: "jazz-swing", parts: { bass: { out: true }, drums: { gain: -9 } } },
  { text: "| Am7 | D7 | Gmaj7 | % |", key: "F", tempo: 400, style: "bossa-nova", parts: { "right hand": { out: false } }, trade: 2 },
];
settings.forEach((settings, place) => [0, 1, 3].forEach((bar) => stream.push({ do: "bar", ...settings, bar, gain: place - 2 })));
stream.push({ do: "bar", ...settings[3], bar: 0, rest: true, gain: 1 });
for (let seed = 1; seed <= 12; ++seed) requests.push({ do: "exercises", choices: 2, key: ["G", "D minor", "Bb"][seed % 3], level: 1 + (seed % 8), seed, text: seed % 2 ? "" : "| F | Dm | Bb | C7 |" });

test("answers, plans and samples equal those of the native build", async () => {
  const all = [...requests, ...stream];
  const input = all.map((request) => JSON.stringify(request)).join("\n") + "\n";
  const lines = execFileSync(`${build}/tests/page_native`, { input, encoding: "utf8", maxBuffer: 1 << 28 }).split("\n");
  const music = await start("lesson_music");
  const sound = await start("sound");
  all.forEach((request, number) => {
    put(music, new TextEncoder().encode(JSON.stringify(request)));
    const length = music.answer();
    const answer = new TextDecoder().decode(new Uint8Array(music.memory.buffer, music.reply(), length));
    assert.equal(answer, lines[2 * number], JSON.stringify(request));
    const plan = new Uint8Array(music.memory.buffer, music.plan(), music.plan_size()).slice();
    if (!["heard", "clicks", "notes", "bar"].includes(request.do)) return;
    if (request.begin) sound.begin(request.begin);
    put(sound, plan);
    const frames = request.gain === undefined ? sound.render(44100) : sound.bar(request.gain);
    const side = (address) => new Uint8Array(sound.memory.buffer, address, frames * 4);
    const both = hash(side(sound.right()), hash(side(sound.left())));
    assert.equal(`${plan.length} ${frames} ${both.toString(16).padStart(16, "0")}`, lines[2 * number + 1], JSON.stringify(request));
  });
});

test("the packet's smaller module answers a packet's requests", async () => {
  const [whole, small] = [await start("lesson_music"), await start("packet_music")];
  for (const request of requests.filter((each) => ["heard", "clicks", "notes", "name", "form", "bar"].includes(each.do))) {
    const answers = [whole, small].map((music) => {
      put(music, new TextEncoder().encode(JSON.stringify(request)));
      const length = music.answer();
      return new TextDecoder().decode(new Uint8Array(music.memory.buffer, music.reply(), length));
    });
    assert.equal(answers[1], answers[0]);
    assert.ok(!answers[1].includes("error"));
  }
});

/** The texts of pages, each with its place: [page, x, y, width, words]. */
const texts_of = (answer) => JSON.parse(answer).pages.flatMap((svg, page) =>
  [...svg.matchAll(/<text x="([\d.]+)" y="([\d.]+)".*? textLength="([\d.]+)".*?>(.*?)<\/text>/g)].map(([, x, y, width, words]) => ({ page, x: +x, y: +y, width: +width, words })));

test("the page sets a chart on paper as the program does", async () => {
  const song = "title: Lantern Walk\nmeter: 3/4\ntempo: 92\nkey: Eb\n[Verse]\n|: Ebmaj7 | Cm7 | Abmaj7/C | Bb7(b9) :|x3\n[Chorus]\n| F#dim7 | Gm | Ab Bb7 | Eb |\n";
  const sung = "[Verse]\n| C | Am |\n> Lan-tern, | lan-tern, walk with me\n| F | G |\n";
  const asked = [
    { do: "paper", text: song, hands: { left: "root", span: 9, inversions: 2, loop: true } },
    { do: "paper", text: song, language: "de", letter: true, hidden: [1, 3] },
    { do: "paper", text: sung, title: "Walk" },
    { do: "paper", text: "| C | Am | F | G |", title: "Ein Licht", sung: ["Lan-", "tern,", "", "walk"] },
    { do: "paper", text: `[A]\n${"| C | Am | F | G |\n".repeat(60)}` },
  ];
  const input = asked.map((request) => JSON.stringify(request)).join("\n") + "\n";
  const lines = execFileSync(`${build}/tests/page_native`, { input, encoding: "utf8", maxBuffer: 1 << 28 }).split("\n");
  for (const name of ["lesson_music", "packet_music"]) {
    const music = await start(name);
    asked.forEach((request, number) => {
      if (name === "packet_music" && (request.text === song || request.text === sung)) return; // a packet's text has no signs of its own
      put(music, new TextEncoder().encode(JSON.stringify(request)));
      const length = music.answer();
      // How many numbers a list of bars has room for depends on the kerning.
      const whole = (texts) => texts.filter((each) => !each.words.endsWith("\u2026"));
      const ours = whole(texts_of(new TextDecoder().decode(new Uint8Array(music.memory.buffer, music.reply(), length))));
      const program = whole(texts_of(lines[2 * number]));
      assert.ok(program.length > 10, `${program.length}`);
      assert.deepEqual(ours.map((each) => each.words), program.map((each) => each.words));
      ours.forEach((each, i) => {
        // The program kerns and the page does not.
        for (const place of ["page", "y"]) assert.ok(Math.abs(each[place] - program[i][place]) < 0.02, `${each.words}: ${place} ${each[place]}, ${program[i][place]}`);
        for (const place of ["x", "width"]) assert.ok(Math.abs(each[place] - program[i][place]) <= 1 + 0.04 * program[i].width, `${each.words}: ${place} ${each[place]}, ${program[i][place]}`);
      });
    });
  }
});

test("invalid plans make no sound", async () => {
  const sound = await start("sound");
  for (const bytes of [[], [1, 2, 3], new Array(200).fill(255)]) {
    put(sound, new Uint8Array(bytes));
    assert.equal(sound.render(44100), 0);
    assert.equal(sound.bar(0), 0);
    sound.begin(44100);
    assert.equal(sound.bar(0), 0);
    assert.equal(sound.level(44100), 0);
  }
});

test("a stream goes back to a bar line by its memory, and then sounds the same", async () => {
  const [music, sound] = [await start("lesson_music"), await start("sound")];
  const render = (request) => {
    put(music, new TextEncoder().encode(JSON.stringify(request)));
    music.answer();
    put(sound, new Uint8Array(music.memory.buffer, music.plan(), music.plan_size()).slice());
    const frames = sound.bar(request.gain);
    return hash(new Uint8Array(sound.memory.buffer, sound.left(), frames * 4));
  };
  sound.begin(44100);
  for (const request of stream.slice(0, 3)) render(request);
  const state = new Uint8Array(sound.memory.buffer).slice();
  const once = stream.slice(3, 8).map(render);
  const other = stream.slice(9, 12).map(render);
  new Uint8Array(sound.memory.buffer).set(state);
  assert.deepEqual(stream.slice(3, 8).map(render), once);
  assert.notDeepEqual(other, once.slice(0, 3));
});
