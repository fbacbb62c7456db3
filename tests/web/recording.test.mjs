// A recording becomes a song in the lesson page, in real browsers: the same chords as the page's engine gives as native code
// for the same file, its corrections, and what is said where nothing can be heard.
import assert from "node:assert";
import { execFileSync, spawnSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { basename, join } from "node:path";
import { after, before, describe, test } from "node:test";
import { browsers, chromium_browser, wait } from "./browsers.mjs";
import { close, folder, lantern, make_page, type_song } from "./pages.mjs";

const program = `${process.env.ROMANESCA_BUILD}/romanesca`;
const lesson = make_page("recording-lesson", "", "--lesson");
const axe = readFileSync("node_modules/axe-core/axe.min.js", "utf8");

// Invented for these tests.
const pond = join(folder, "pond.txt");
writeFileSync(pond, "title: Duck Pond\nkey: G major\nmeter: 4/4\ntempo: 84\n\n| G | Em | C | D |\n| G | Em | Am | D7 |\n| C | D | G | Em |\n| Am | D7 | G | G |\n");

// The song on the piano of the band.
function take(ending) {
  const file = join(folder, `Duck take.${ending}`);
  execFileSync(program, ["render", pond, "--only", "keys", "--style", "ballad", "--out", file]);
  return file;
}
const takes = Object.fromEntries(["wav", "flac", "mp3"].map((ending) => [ending, take(ending)]));

// A WAV file with 16 bits and one channel.
function wav(name, count, sample) {
  const rate = 8000;
  const bytes = Buffer.alloc(44 + 2 * count);
  bytes.write("RIFF", 0, "latin1");
  bytes.writeUInt32LE(36 + 2 * count, 4);
  bytes.write("WAVEfmt ", 8, "latin1");
  [[16, 4], [1, 2], [1, 2], [rate, 4], [2 * rate, 4], [2, 2], [16, 2]].reduce((at, [value, size]) => bytes.writeUIntLE(value, at, size), 16);
  bytes.write("data", 36, "latin1");
  bytes.writeUInt32LE(2 * count, 40);
  for (let i = 0; i < count; ++i) bytes.writeInt16LE(Math.round(32767 * sample(i / rate)), 44 + 2 * i);
  const file = join(folder, name);
  writeFileSync(file, bytes);
  return file;
}

const text_file = join(folder, "letter.m4a");
writeFileSync(text_file, "This is a letter and no sound.\n".repeat(40));

// What nothing can be made of, and what is said of it.
const refused = {
  silent: [wav("silent.wav", 80000, () => 0), /recording is silent/],
  short: [wav("short.wav", 12000, (at) => 0.3 * Math.sin(2 * Math.PI * 440 * at)), /recording is too short/],
  steady: [wav("steady.wav", 80000, (at) => 0.3 * Math.sin(2 * Math.PI * 50 * at)), /only a steady sound/],
  text: [text_file, /finds no sound in the file/],
  long: [wav("long.wav", 8000 * 902, () => 0), /longer than 15 minutes/],
};

// The text that the page's engine writes as native code.
const native = `${process.env.ROMANESCA_BUILD}/tests/page_native`;
function transcribed(file, corrections = {}) {
  const request = { do: "recording", recording_file: file, title: basename(file).replace(/\.[^.]*$/, ""), ...corrections };
  return JSON.parse(execFileSync(native, [], { input: `${JSON.stringify(request)}\n`, encoding: "utf8" }).split("\n")[0]).text;
}

// The bars of a song's text, without the comments.
const bars_of = (text) => text.split("\n").filter((line) => line.startsWith("|")).flatMap((line) => line.replace(/#.*/, "").split("|").map((bar) => bar.trim()).filter(Boolean));
const header = (text, name) => new RegExp(`^${name}: (.*)$`, "m").exec(text)?.[1];

const page_text = (page) => page.evaluate(() => write_room.editor.text);
const said = (page) => page.evaluate(() => document.getElementById("recording-said").textContent);

async function choose(page, file) {
  const input = await page.$("#recording-file");
  await page.evaluate(() => (document.getElementById("recording-said").textContent = ""));
  await (page.own_context ? input.setInputFiles(file) : input.uploadFile(file));
}

// Waits until no work is left, and gives what is said.
async function heard(page) {
  for (let i = 0; i < 600; ++i) {
    const now = await page.evaluate(() => {
      const { textContent, dataset } = document.getElementById("recording-said");
      return dataset.busy === "false" ? textContent : "";
    });
    if (now) return now;
    await wait(100);
  }
  assert.fail(`after a minute: ${await said(page)}`);
}

async function open_panel(browser, text, settings = {}) {
  const page = await browser.open(lesson, { room: "write", ...settings });
  if (text) await type_song(page, text);
  await page.evaluate(() => document.getElementById("recording").click());
  return page;
}

// Presses, and waits for the text that comes of it.
async function press(page, id) {
  await page.evaluate((id) => {
    document.getElementById("recording-said").textContent = "";
    document.getElementById(id).click();
  }, id);
  await heard(page);
  return page_text(page);
}

for (const launch of browsers) {
  describe(launch.name, () => {
    let browser;
    before(async () => (browser = await launch()));
    after(() => browser.close());

    test("WAV, FLAC and MP3 have the chords that the native engine hears, and the song before is kept", async () => {
      for (const file of Object.values(takes)) {
        const page = await open_panel(browser, lantern);
        await choose(page, file);
        assert.match(await heard(page), /Heard: \d+ bars of 4\/4, 8[2-6] beats a minute, G.*This is a draft.*The song that was here is in the list/s, file);
        const [mine, own] = [await page_text(page), transcribed(file)];
        assert.deepEqual(bars_of(mine), bars_of(own), file);
        for (const name of ["title", "key", "meter"]) assert.equal(header(mine, name), header(own, name), `${name} of ${file}`);
        assert.equal(header(mine, "title"), "Duck take");
        const kept = await page.evaluate(() => JSON.parse(localStorage.getItem("romanesca.songs")).map((song) => song.text));
        assert.deepEqual(kept, [mine, lantern]);
        assert.equal(await page.evaluate(() => practice.song.title), "Duck take", "it can be played");
        await page.evaluate(() => document.getElementById("recording-undo").click());
        await page.waitForFunction((text) => write_room.editor.text === text, ...(page.own_context ? [lantern] : [{}, lantern]));
        assert.deepEqual(page.seen.errors, []);
        const elsewhere = page.seen.requests?.filter((address) => !/^(file|blob|data):/.test(address)) ?? [];
        assert.deepEqual(elsewhere, [], "nothing is sent");
        await close(page);
      }
    });

    test("half, double, bar lines and meter change the bars as the native engine does, and can be taken back", async () => {
      const page = await open_panel(browser, lantern);
      await choose(page, takes.wav);
      await heard(page);
      const first = await page_text(page);
      const same = async (text, corrections) => {
        const own = transcribed(takes.wav, corrections);
        assert.deepEqual(bars_of(text), bars_of(own), JSON.stringify(corrections));
        assert.equal(header(text, "meter"), header(own, "meter"));
        return text;
      };
      const half = await same(await press(page, "recording-half"), { factor: 0.5 });
      assert.notDeepEqual(bars_of(half), bars_of(first));
      assert.equal(await press(page, "recording-double"), first, "twice half as fast");
      await same(await press(page, "recording-double"), { factor: 2 });
      await press(page, "recording-half");
      const later = await same(await press(page, "recording-later"), { shift: 1 });
      assert.notDeepEqual(bars_of(later), bars_of(first));
      assert.equal(await press(page, "recording-earlier"), first);
      await same(await press(page, "recording-earlier"), { shift: -1 });
      assert.equal(await press(page, "recording-undo"), first, "one correction is taken back");
      // What was written by hand before a correction comes back with it.
      const edited = `${first}| C | C |\n`;
      await type_song(page, edited);
      assert.notEqual(await press(page, "recording-half"), edited);
      assert.equal(await press(page, "recording-undo"), edited);
      await page.evaluate(() => {
        document.getElementById("recording-said").textContent = "";
        const meter = document.getElementById("recording-meter");
        meter.value = "3/4";
        meter.dispatchEvent(new Event("change"));
      });
      await heard(page);
      await same(await page_text(page), { meter: "3/4" });
      assert.deepEqual(page.seen.errors, []);
      await close(page);
    });

    test("a tempo that is tapped along counts", async () => {
      const page = await open_panel(browser, lantern);
      await choose(page, takes.wav);
      await heard(page);
      // The taps of a person, 100 a minute, without waiting for them.
      await page.evaluate(() => {
        write_room.recording.taps = [0, 600, 1200, 1800].map((at) => performance.now() - 2400 + at);
      });
      const text = await press(page, "recording-tap");
      const tempo = await page.evaluate(() => write_room.recording.wanted.tempo);
      assert.ok(tempo >= 96 && tempo <= 104, `${tempo}`);
      assert.deepEqual(bars_of(text), bars_of(transcribed(takes.wav, { tempo })));
      assert.match(await (async () => (await press(page, "recording-tap"), said(page)))(), /Tap four times/);
      await close(page);
    });

    test("what is no recording of a piano is refused in a sentence, and the song stays", async () => {
      const page = await open_panel(browser, lantern);
      for (const [name, [file, sentence]] of Object.entries(refused)) {
        await choose(page, file);
        assert.match(await heard(page), sentence, name);
        assert.match(await said(page), /Your song is as it was/);
        assert.equal(await page_text(page), lantern, name);
        assert.equal(await page.evaluate(() => document.querySelector(".panel .result").hidden), true);
      }
      assert.deepEqual(await page.evaluate(() => JSON.parse(localStorage.getItem("romanesca.songs")).map((song) => song.text)), [lantern]);
      assert.deepEqual(page.seen.errors, []);
      await close(page);
    });

    test("a recording as long as an exercise of ten minutes: the page answers meanwhile, and a stop leaves the song alone", async () => {
      const page = await open_panel(browser, lantern);
      const long = wav("ten.wav", 8000 * 600, (at) => 0.4 * Math.exp(-3 * (at % 0.75)) * [261.63, 329.63, 392].reduce((sum, hz) => sum + Math.sin(2 * Math.PI * hz * at), 0) / 3);
      await page.evaluate(() => {
        window.longest = 0;
        let last = performance.now();
        window.watch = setInterval(() => {
          const now = performance.now();
          window.longest = Math.max(window.longest, now - last);
          last = now;
        }, 5);
      });
      const began = performance.now();
      await choose(page, long);
      const sentence = await heard(page);
      const found = await page.evaluate(() => ({ longest: Math.round(window.longest), worker: write_room.recording.recording?.channel.memory }));
      console.log(`      ten minutes: ${((performance.now() - began) / 1000).toFixed(1)} s; the page waited ${found.longest} ms at most; worker ${(found.worker / 1e6).toFixed(0)} MB`);
      assert.match(sentence, /Heard: \d+ bars/);
      await page.evaluate(() => document.getElementById("recording-undo").click());
      await page.waitForFunction((text) => write_room.editor.text === text, ...(page.own_context ? [lantern] : [{}, lantern]));
      await choose(page, long);
      for (let i = 0; i < 100 && (await page.evaluate(() => document.getElementById("recording-stop").hidden)); ++i) await wait(20);
      await page.evaluate(() => document.getElementById("recording-stop").click());
      await wait(500);
      assert.match(await said(page), /Stopped/);
      assert.equal(await page_text(page), lantern);
      await close(page);
    });
  });
}

describe("for everybody", { skip: !browsers.includes(chromium_browser) && "only in Chromium" }, () => {
  let browser;
  before(async () => (browser = await chromium_browser()));
  after(() => browser.close());

  test("every state is accessible and fits, light and dark", async () => {
    const faults = [];
    for (const [width, height] of [[360, 740], [820, 1180], [1400, 900]]) {
      for (const dark of [false, true]) {
        for (const [state, file] of [["open", null], ["refused", text_file], ["heard", takes.wav]]) {
          const page = await open_panel(browser, lantern, { width, height, dark });
          if (file) {
            await choose(page, file);
            await heard(page);
          }
          if (process.env.ROMANESCA_SHOTS) await page.screenshot({ path: join(process.env.ROMANESCA_SHOTS, `recording-${state}-${width}${dark ? "-dark" : ""}.png`), fullPage: true });
          const name = `${state} ${width}${dark ? " dark" : ""}`;
          const wide = await page.evaluate(() => document.documentElement.scrollWidth);
          if (wide > width) faults.push(`${name}: ${wide} pixels wide`);
          const small = await page.evaluate(() => [...document.querySelectorAll(".recording button, .recording select, .recording audio")].filter((each) => {
            const { width, height } = each.getBoundingClientRect();
            return each.offsetParent !== null && (width < 43.5 || height < 43.5);
          }).map((each) => each.id || each.tagName));
          if (small.length > 0) faults.push(`${name}: small targets ${small}`);
          faults.push(...page.seen.errors.map((each) => `${name}: ${each}`));
          await page.evaluate(axe);
          const found = await page.evaluate(() => axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }));
          for (const each of found.violations) faults.push(`${name}: ${each.id}: ${each.nodes.slice(0, 3).map((node) => node.target).join(" ")}`);
          await close(page);
        }
      }
    }
    assert.deepEqual(faults, []);
  });

  test("by keyboard alone: open, choose in the browser's own window, correct, take back", async () => {
    const page = await browser.open(lesson, { room: "write" });
    await type_song(page, lantern);
    await page.focus("#recording");
    await page.keyboard.press("Enter");
    await page.keyboard.press("Tab");
    assert.equal(await page.evaluate(() => document.activeElement.id), "recording-open");
    const asked = page.waitForEvent("filechooser");
    await page.evaluate(() => 0); // a key may reach the page before that request: after an answer, it cannot
    await page.keyboard.press("Enter");
    const chooser = await asked;
    await chooser.setFiles(takes.flac);
    await heard(page);
    const first = await page_text(page);
    const reached = [];
    for (let i = 0; i < 24 && reached.at(-1) !== "recording-meter"; ++i) {
      await page.keyboard.press("Tab");
      reached.push(await page.evaluate(() => document.activeElement.id));
      if (reached.at(-1) === "recording-later") {
        await page.keyboard.press("Space");
        await page.waitForFunction((text) => write_room.editor.text !== text, first);
        await heard(page);
        assert.equal(await page.evaluate(() => document.activeElement.id), "recording-later", "the focus stays");
      }
    }
    for (const id of ["recording-undo", "recording-half", "recording-double", "recording-tap", "recording-earlier", "recording-meter"]) assert.ok(reached.includes(id), `${id} in ${reached}`);
    await page.focus("#recording-undo");
    await page.keyboard.press("Enter");
    await page.waitForFunction((text) => write_room.editor.text === text, first);
    await close(page);
  });

  test("doubtful bars are marked in the text, in what it is, and in the chart", async () => {
    const page = await browser.open(lesson, { room: "write" });
    await type_song(page, "title: Draft\n\n| C | F | G | C |  # ? bars 2, 3\n");
    assert.equal(await page.evaluate(() => document.querySelector(".under mark.dec").textContent), "# ? bars 2, 3");
    const marked = () => page.evaluate(() => [...document.querySelectorAll(".doubt")].map((each) => each.textContent));
    assert.deepEqual(await marked(), ["? not sure", "? not sure"]);
    await page.evaluate(() => (location.hash = "play"));
    await page.waitForSelector(".bar .doubt");
    assert.deepEqual(await page.evaluate(() => [...document.querySelectorAll(".bar")].filter((bar) => bar.querySelector(".doubt")).map((bar) => bar.dataset.bar)), ["1", "2"]);
    await page.evaluate(axe);
    const found = await page.evaluate(() => axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }));
    assert.deepEqual(found.violations.map((each) => each.id), []);
    await close(page);
  });

  test("in German", async () => {
    const page = await open_panel(browser, "", { locale: "de-DE" });
    await choose(page, refused.silent[0]);
    assert.match(await heard(page), /Die Aufnahme ist still.*Dein Lied ist, wie es war/);
    await close(page);
  });

  test("an m4a, as telephones make it, where the browser can decode it", async (context) => {
    const file = join(folder, "telephone.m4a");
    if (spawnSync("ffmpeg", ["-v", "error", "-y", "-i", takes.wav, "-ac", "1", "-b:a", "64k", file]).status !== 0) return context.skip("no ffmpeg here, or none that writes m4a");
    const page = await open_panel(browser, lantern);
    await choose(page, file);
    const sentence = await heard(page);
    if (/finds no sound/.test(sentence)) {
      await close(page);
      return context.skip("this Chromium decodes no m4a");
    }
    assert.match(sentence, /Heard: \d+ bars of 4\/4/);
    assert.deepEqual(bars_of(await page_text(page)), bars_of(transcribed(file)), basename(file));
    await close(page);
  });
});
