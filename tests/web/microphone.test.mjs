// The page's microphone: the module that listens, and the page in browsers with a sound file, or a tone, for a microphone.
import assert from "node:assert";
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { after, describe, test } from "node:test";
import { browsers, chromium_browser, firefox_browser, wait } from "./browsers.mjs";
import { folder, make_page } from "./pages.mjs";

const build = process.env.ROMANESCA_BUILD;

// A piano, by the program itself: one chord each second, without the band.
function piano_file(name, chord) {
  const file = join(folder, `${name}.wav`);
  execFileSync(`${build}/romanesca`, ["render", `| ${chord} |`, "--tempo", "60", "--style", "pop", "--with", "keys", "--only", "keys", "--human", "0", "--repeat", "8", "--bits", "16", "--out", file]);
  return file;
}

// The left channel of a WAV file with 16 bits, and its rate.
function samples_of(file) {
  const bytes = readFileSync(file);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const [channels, rate] = [view.getUint16(22, true), view.getUint32(24, true)];
  const data = bytes.indexOf("data") + 8;
  const count = Math.floor((bytes.length - data) / (2 * channels));
  return { rate, samples: Float32Array.from({ length: count }, (_, i) => view.getInt16(data + 2 * channels * i, true) / 32768) };
}

const files = { C: piano_file("piano-c", "C"), F: piano_file("piano-f", "F") };

async function hearing() {
  const made = await WebAssembly.compile(readFileSync(`${process.env.ROMANESCA_MODULES ?? `${build}/web`}/hearing.wasm`));
  const system = Object.fromEntries(WebAssembly.Module.imports(made).map(({ name }) => [name, () => 0]));
  const { exports } = await WebAssembly.instantiate(made, { wasi_snapshot_preview1: system });
  exports._initialize();
  return exports;
}

// Gives the samples as a browser would, a twentieth of a second at a time; calls use with each look.
function listen(module, { rate, samples }, use) {
  module.begin(rate);
  const step = Math.round(rate / 20);
  let looks = 0;
  for (let from = 0; from + step <= samples.length; from += step) {
    const address = module.reserve(step);
    new Float32Array(module.memory.buffer, address, step).set(samples.subarray(from, from + step));
    const now = module.listen();
    if (now > looks) use([...new Float32Array(module.memory.buffer, module.tones(), 12)]);
    looks = now;
  }
  return looks;
}

test("the module hears the tones of the program's own piano, and compares them", async () => {
  const module = await hearing();
  const sound = samples_of(files.C);
  const answers = { c: [], f: [], cm: [] };
  const began = performance.now();
  const looks = listen(module, sound, (tones) => {
    if (module.moment() - module.onset() < 250) return;
    answers.c.push(module.answer(0b10010001, 0) & 3);
    answers.f.push(module.answer(0b1000100001, 5) & 3);
    answers.cm.push(module.answer(0b10001001, 0) & 3);
    assert.equal(tones.length, 12);
  });
  const share = (performance.now() - began) / 1000 / (sound.samples.length / sound.rate);
  console.log(`      the module takes ${(100 * share).toFixed(2)} % of one core`);
  assert.ok(looks > 20, `${looks} looks`);
  const right = (list) => list.filter((answer) => answer === 0).length / list.length;
  assert.ok(right(answers.c) > 0.7, `C heard in ${right(answers.c)}`);
  assert.equal(right(answers.f), 0);
  assert.equal(right(answers.cm), 0);
  assert.ok(Math.abs(module.tuning()) < 4, `${module.tuning()} cents`);
});

const song = make_page("heard", "title: Four\ntempo: 120\n\n| C | F | C | F |\n", "--key", "C", "--microphone");

// Opens the ways to practise and asks for the microphone.
async function connect(page) {
  await page.evaluate(() => {
    practice.count_in = false;
    document.getElementById("open-practise").click();
    document.getElementById("microphone").click();
  });
  for (let i = 0; i < 100 && !(await page.evaluate(() => practice.microphone.on)); ++i) await wait(50);
  assert.ok(await page.evaluate(() => practice.microphone.on), "the microphone is on");
}

describe("a piano in a browser", { skip: !browsers.includes(chromium_browser) && "only in Chromium" }, () => {
  const opened = [];
  after(async () => {
    for (const browser of opened) await browser.close();
  });
  const with_piano = async (chord) => {
    const browser = await chromium_browser("--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream", `--use-file-for-fake-audio-capture=${files[chord]}`);
    opened.push(browser);
    return browser.open(song, { room: "play" });
  };

  test("the band waits for the chord that is due, and goes on when the piano has it", async () => {
    const page = await with_piano("C");
    await connect(page);
    assert.equal(await page.evaluate(() => practice.settings.no_chords), true);
    await page.evaluate(() => practice.change({ wait: true }));
    await page.evaluate(() => practice.play(0));
    // Bar 1 plays at once; bar 2 asks for F, which never comes.
    await page.waitForFunction(() => practice.timeline.held_bar()?.bar === 1, null, { timeout: 20000 });
    await page.waitForFunction(() => /^[A-G]/.test(document.getElementById("heard").textContent), null, { timeout: 10000 });
    assert.match(await page.evaluate(() => document.getElementById("heard").textContent), /instead of|missing|not in it/);
    await wait(1500);
    assert.equal(await page.evaluate(() => practice.timeline.held_bar()?.bar), 1, "still waiting for F");
    await page.evaluate(() => practice.stop());
    // The same song from a bar whose successor asks for C.
    await page.evaluate(() => practice.play(1));
    await page.waitForFunction(() => practice.timeline.sounding()?.bar === 2, null, { timeout: 20000 });
    const parts = await page.evaluate(() => Object.entries(practice.timeline.sounding().request.parts).filter(([, part]) => !part.out).map(([name]) => name));
    assert.deepEqual(parts.filter((name) => !["drums", "click"].includes(name)), [], "no chords in the room");
    assert.deepEqual(page.seen.errors, []);
    assert.deepEqual(page.seen.requests.filter((address) => !address.startsWith("file:") && !address.startsWith("blob:") && !address.startsWith("data:")), [], "nothing is sent");
    await page.evaluate(() => document.getElementById("microphone").click());
    await wait(200);
    assert.equal(await page.evaluate(() => practice.microphone.on || practice.settings.no_chords), false);
    await page.done();
  });

  test("the marks of the keyboard show the tones that are heard", async () => {
    const page = await with_piano("F");
    await connect(page);
    await page.waitForFunction(() => practice.microphone.heard().join() === "0,5,9", null, { timeout: 20000 });
    await page.done();
  });

  test("a room is tried in plain words", async () => {
    const page = await with_piano("C");
    await connect(page);
    await page.evaluate(() => document.getElementById("try-room").click());
    await wait(15800);
    const said = await page.evaluate(() => document.querySelector(".drawer").textContent);
    assert.match(said, /in tune with 440 Hz/);
    await page.done();
  });
});

test("no sample is lost or counted twice between two reads, in both browsers", async () => {
  const launches = {
    chromium_browser: () => chromium_browser("--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream"),
    firefox_browser: () => firefox_browser({ "media.navigator.permission.disabled": true, "media.navigator.streams.fake": true }),
  };
  for (const { name } of browsers) {
    const browser = await launches[name]();
    const page = await browser.open(song, { room: "play" });
    await connect(page);
    await wait(500);
    const state = () => page.evaluate(() => ({ count: practice.microphone.count, now: practice.output.context.currentTime, rate: practice.output.rate }));
    const first = await state();
    await wait(3000);
    const last = await state();
    const seconds = (last.count - first.count) / last.rate;
    assert.ok(Math.abs(seconds - (last.now - first.now)) < 0.25, `${browser.name}: ${seconds} s of sound in ${last.now - first.now} s`);
    assert.deepEqual(page.seen.errors, []);
    await page.done();
    await browser.close();
  }
});
