// The page in real browsers, from a file, as a student or teacher opens it.
import assert from "node:assert";
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { chromium_browser, firefox_browser, wait } from "./browsers.mjs";

const folder = mkdtempSync(join(tmpdir(), "romanesca-page-"));
const program = `${process.env.ROMANESCA_BUILD}/romanesca`;
const hostile = `<script>alert(1)</script> & "Co"`;
const packet = join(folder, "packet.html");
const lesson = join(folder, "lesson.html");
execFileSync(program, ["handout", "| Eb | Cm7 | Ab | Bb7 |", "--tempo", "160", "--student", hostile, "--greeting", hostile, "--exercise", "few-notes", "--out", packet]);
execFileSync(program, ["handout", "--lesson", "--out", lesson]);

test("files keep within their size", () => {
  assert.ok(statSync(packet).size < 500_000, `${statSync(packet).size}`);
  assert.ok(statSync(lesson).size < 1_000_000, `${statSync(lesson).size}`);
});

// A new packet without an exercise of its own, to be sure of its chords.
const chords = join(folder, "chords.html");
execFileSync(program, ["handout", "| Eb | Cm7 | Ab | Bb7 |", "--tempo", "160", "--out", chords]);

for (const launch of [chromium_browser, firefox_browser]) {
  describe(launch.name, () => {
    let browser;
    before(async () => (browser = await launch()));
    after(() => browser.close());

    test("plays, and lights each chord in time with the sound", async () => {
      const page = await browser.open(chords);
      await page.evaluate(() => {
        window.seen = [];
        new MutationObserver(() => {
          const heard = player.heard();
          const symbol = document.getElementById("now").textContent;
          const chord = heard && heard.made.chords.find((each) => each.symbol === symbol);
          if (chord) window.seen.push({ symbol, late: heard.place - chord.at });
        }).observe(document.getElementById("now"), { childList: true });
        document.getElementById("count-in").checked = false;
      });
      await page.click("#play");
      await wait(7500);
      const seen = await page.evaluate(() => window.seen);
      assert.ok(seen.length >= 4, JSON.stringify(seen));
      assert.deepEqual(seen.slice(0, 4).map((each) => each.symbol), ["Eb", "Cm7", "Ab", "Bb7"]);
      const late = seen.map((each) => each.late).sort((a, b) => a - b);
      assert.ok(late[0] >= 0 && late[Math.floor(late.length * 0.75)] < 0.06, JSON.stringify(late));
      assert.deepEqual(page.seen.errors, []);
      await page.done();
    });

    test("the loop has no seam", async () => {
      const page = await browser.open(chords);
      await page.click("#play");
      await page.waitForFunction(() => player.playing, { timeout: 20000 });
      const steps = await page.evaluate(async () => {
        const { buffer } = player.playing.source;
        const length = buffer.length;
        const offline = new OfflineAudioContext(2, length + 4000, buffer.sampleRate);
        const source = offline.createBufferSource();
        source.buffer = buffer;
        source.loop = true;
        source.connect(offline.destination);
        source.start();
        const heard = (await offline.startRendering()).getChannelData(0);
        const own = buffer.getChannelData(0);
        let different = 0;
        for (let i = 0; i < 4000; ++i) different = Math.max(different, Math.abs(heard[length + i] - own[i]));
        let steepest = 0;
        for (let i = 1; i < length; ++i) steepest = Math.max(steepest, Math.abs(own[i] - own[i - 1]));
        return { different, seam: Math.abs(own[0] - own[length - 1]), steepest };
      });
      assert.ok(steps.different < 1e-6, JSON.stringify(steps));
      assert.ok(steps.seam <= steps.steepest, JSON.stringify(steps));
      await page.done();
    });

    test("another key and tempo come in on the next bar", async () => {
      const page = await browser.open(chords);
      await page.evaluate(() => (document.getElementById("count-in").checked = false));
      await page.click("#play");
      await page.waitForFunction(() => player.playing && player.context.currentTime > player.playing.at + 0.3, { timeout: 20000 });
      const change = await page.evaluate(async () => {
        const before = player.playing;
        const asked = player.context.currentTime;
        const list = document.getElementById("key");
        list.value = "G major";
        list.dispatchEvent(new Event("change"));
        while (player.playing === before) await new Promise((done) => setTimeout(done, 5));
        const bars = before.made.bars;
        const place = (player.playing.at - before.begin) % before.made.seconds;
        return {
          key: player.playing.made.key,
          wait: player.playing.at - asked,
          bar: bars[1],
          off: Math.min(...[...bars, before.made.seconds].map((bar) => Math.abs(bar - place))),
        };
      });
      assert.equal(change.key, "G major");
      assert.ok(change.off < 1e-3, JSON.stringify(change));
      assert.ok(change.wait < change.bar + 0.3, JSON.stringify(change));
      const tempo = await page.evaluate(async () => {
        const before = player.playing;
        const slider = document.getElementById("tempo");
        slider.value = 120;
        slider.dispatchEvent(new Event("change"));
        while (player.playing === before) await new Promise((done) => setTimeout(done, 5));
        return player.playing.made.tempo;
      });
      assert.equal(tempo, 120);
      await page.waitForFunction(() => document.getElementById("key-name").textContent === "G major", { timeout: 5000 });
      await page.done();
    });

    test("a hostile name is only a text", async () => {
      const page = await browser.open(packet);
      const shown = await page.evaluate(() => [document.title, document.querySelector("h1").textContent, document.querySelectorAll("script").length]);
      assert.deepEqual(shown, [`For ${hostile}`, `For ${hostile}`, 6]);
      assert.deepEqual(page.seen.errors, []);
      for (const url of page.seen.requests) assert.match(url, /^(file|blob|data):/);
      await page.done();
    });

    test("typing shows what it is, and where it is wrong", async () => {
      const page = await browser.open(lesson);
      const typed = (text) => page.evaluate(async (text) => {
        document.getElementById("text").value = text;
        await typed();
        return [document.getElementById("fault").textContent, document.querySelector("#fault mark")?.textContent, document.getElementById("key-name").textContent];
      }, text);
      const wrong = await typed("| C | Hm7 |");
      assert.match(wrong[0], /"Hm7" is no chord I know.*did you mean Bm7\?/);
      assert.equal(wrong[1], "Hm7");
      assert.deepEqual((await typed("| G | D/F# | Em | C |")).slice(0, 1), [""]);
      assert.equal((await typed("| F | Dm | Bb | C7 |"))[2], "F major");
      await page.done();
    });

    test("an exercise is set, and a packet saved that plays by itself", async () => {
      const page = await browser.open(lesson);
      const saved = await page.evaluate(async (name) => {
        await set_exercise();
        document.getElementById("for").value = name;
        document.getElementById("greeting").value = name;
        return packet();
      }, hostile);
      assert.ok(saved.length < 1_000_000);
      const file = join(folder, `saved-${browser.name}.html`);
      writeFileSync(file, saved);
      await page.done();
      const own = await browser.open(file);
      assert.equal(await own.evaluate(() => document.title), `For ${hostile}`);
      assert.ok(await own.evaluate(() => document.querySelectorAll("#words li").length) > 0);
      await own.click("#play");
      await own.waitForFunction(() => player.playing, { timeout: 20000 });
      assert.deepEqual(own.seen.errors, []);
      await own.done();
    });
  });
}

describe("in Chromium alone", () => {
  let browser;
  before(async () => (browser = await chromium_browser()));
  after(() => browser.close());

  for (const [width, height] of [[360, 740], [820, 1180], [1280, 900]]) {
    for (const dark of [false, true]) {
      for (const file of [chords, packet, lesson]) {
        test(`nothing bars the way at ${width}${dark ? " in the dark" : ""}: ${file.split("/").at(-1)}`, async () => {
          const page = await browser.open(file, { width, height, dark });
          const wide = await page.evaluate(() => document.documentElement.scrollWidth);
          assert.ok(wide <= width, `${wide} columns of pixels`);
          await page.evaluate(readFileSync("node_modules/axe-core/axe.min.js", "utf8"));
          const found = await page.evaluate(() => axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"] }));
          assert.deepEqual(found.violations.map((each) => `${each.id}: ${each.nodes.map((node) => node.target).join(" ")}`), []);
          await page.done();
        });
      }
    }
  }

  test("a browser without SIMD plays too", async () => {
    const page = await browser.open(chords, { prepare: () => { WebAssembly.validate = () => false; } });
    await page.click("#play");
    await page.waitForFunction(() => player.playing, null, { timeout: 20000 });
    await page.done();
  });

  test("the keyboard alone is enough", async () => {
    const page = await browser.open(chords);
    for (let i = 0; i < 3 && (await page.evaluate(() => document.activeElement.id)) !== "play"; ++i) await page.keyboard.press("Tab");
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => player.playing, null, { timeout: 20000 });
    await page.evaluate(() => document.querySelector(".playable rect[tabindex='0']").focus());
    await page.keyboard.press("ArrowRight");
    assert.equal(await page.evaluate(() => document.activeElement.dataset.midi), "37");
    await page.done();
  });

  test("it prints on both papers, without the controls", async () => {
    const page = await browser.open(packet);
    for (const format of ["A4", "Letter"]) {
      const file = join(folder, `${format}.pdf`);
      await page.pdf({ path: file, format });
      const text = execFileSync("pdftotext", [file, "-"], { encoding: "utf8" });
      assert.match(text, /bar 4/);
      assert.doesNotMatch(text, /volume/);
    }
    await page.done();
  });

  test("the practice tempo rises by itself, and the band rests for an answer", async () => {
    const page = await browser.open(chords);
    await page.evaluate(() => {
      document.getElementById("rise").value = "1";
      document.getElementById("trade").value = "2";
      document.getElementById("count-in").checked = false;
    });
    await page.click("#play");
    await page.waitForFunction(() => player.playing && player.playing.made.tempo > 160, null, { timeout: 20000 });
    assert.equal(await page.evaluate(() => player.playing.made.chords.length), 2);
    await page.done();
  });
});
