// The page in real browsers, opened from a file.
import assert from "node:assert";
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { chromium_browser, firefox_browser, wait } from "./browsers.mjs";
import { tap_output } from "./output_tap.mjs";

const folder = mkdtempSync(join(tmpdir(), "romanesca-page-"));
const program = `${process.env.ROMANESCA_BUILD}/romanesca`;
const hostile = `<script>alert(1)</script> & "Co"`;
const packet = join(folder, "packet.html");
const lesson = join(folder, "lesson.html");
execFileSync(program, ["handout", "| Eb | Cm7 | Ab | Bb7 |", "--tempo", "160", "--student", hostile, "--greeting", hostile, "--exercise", "few-notes", "--out", packet]);
execFileSync(program, ["handout", "--lesson", "--out", lesson]);

test("files keep within their size limits", () => {
  assert.ok(statSync(packet).size < 600_000, `${statSync(packet).size}`);
  assert.ok(statSync(lesson).size < 1_000_000, `${statSync(lesson).size}`);
});

// A packet without an exercise, so that its chords are known.
const chords = join(folder, "chords.html");
execFileSync(program, ["handout", "| Eb | Cm7 | Ab | Bb7 |", "--tempo", "160", "--out", chords]);

// An ear exercise, and a song with a title and a tempo.
const ear = join(folder, "ear.html");
execFileSync(program, ["handout", "--exercise", "major-or-minor", "--key", "Eb", "--level", "3", "--out", ear]);
const song = join(folder, "song.txt");
writeFileSync(song, "title: Rain on the Skylight\ntempo: 84\nkey: Eb major\n| Ab | Abm | Eb | Cb |\n");
const titled = join(folder, "titled.html");
execFileSync(program, ["handout", song, "--tempo", "36", "--level", "1", "--student", "Mira", "--out", titled]);

for (const launch of [chromium_browser, firefox_browser]) {
  describe(launch.name, () => {
    let browser;
    before(async () => (browser = await launch()));
    after(() => browser.close());

    test("plays, and shows each chord in time with the sound", async () => {
      const page = await browser.open(chords);
      await page.evaluate(() => {
        window.seen = [];
        new MutationObserver(() => {
          const heard = player.position();
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

    test("the loop repeats without a gap or click", async () => {
      const page = await browser.open(chords);
      await page.click("#play");
      await page.waitForFunction(() => player.next || player.current, { timeout: 20000 });
      const measured = await page.evaluate(async () => {
        const { buffer } = (player.next || player.current).source;
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
        return { different, jump: Math.abs(own[0] - own[length - 1]), steepest };
      });
      assert.ok(measured.different < 1e-6, JSON.stringify(measured));
      assert.ok(measured.jump <= measured.steepest, JSON.stringify(measured));
      await page.done();
    });

    test("a change of key or tempo begins at the next bar", async () => {
      const page = await browser.open(chords);
      await page.evaluate(() => (document.getElementById("count-in").checked = false));
      await page.click("#play");
      await page.waitForFunction(() => player.position() && player.context.currentTime > player.current.at + 0.3, { timeout: 20000 });
      const change = await page.evaluate(async () => {
        const before = player.current;
        const asked = player.context.currentTime;
        const list = document.getElementById("key");
        list.value = "G major";
        list.dispatchEvent(new Event("change"));
        while (!player.next) await new Promise((done) => setTimeout(done, 5));
        const { next } = player;
        const bars = before.made.bars;
        const place = (next.at - before.begin) % before.made.seconds;
        return {
          key: next.made.key,
          wait: next.at - asked,
          bar: bars[1],
          off: Math.min(...[...bars, before.made.seconds].map((bar) => Math.abs(bar - place))),
        };
      });
      assert.equal(change.key, "G major");
      assert.ok(change.off < 1e-3, JSON.stringify(change));
      assert.ok(change.wait < change.bar + 0.3, JSON.stringify(change));
      const tempo = await page.evaluate(async () => {
        const slider = document.getElementById("tempo");
        slider.value = 120;
        slider.dispatchEvent(new Event("change"));
        while (player.position().made.tempo !== 120) await new Promise((done) => setTimeout(done, 20));
        return player.position().made.tempo;
      });
      assert.equal(tempo, 120);
      await page.waitForFunction(() => document.getElementById("key-name").textContent === "G major", { timeout: 5000 });
      await page.done();
    });

    test("markup in a name stays text", async () => {
      const page = await browser.open(packet);
      const shown = await page.evaluate(() => [document.title, document.querySelector("h1").textContent, document.querySelectorAll("script").length]);
      assert.deepEqual(shown, [`For ${hostile}`, `For ${hostile}`, 6]);
      assert.deepEqual(page.seen.errors, []);
      for (const url of page.seen.requests) assert.match(url, /^(file|blob|data):/);
      await page.done();
    });

    test("typing shows the analysis, or the place of an error", async () => {
      const page = await browser.open(lesson);
      const typed = (text) => page.evaluate(async (text) => {
        document.getElementById("text").value = text;
        await typed();
        return [document.getElementById("fault").textContent, document.querySelector("#fault mark")?.textContent, document.getElementById("key-name").textContent];
      }, text);
      const wrong = await typed("| C | Jm7 |");
      assert.match(wrong[0], /unknown chord "Jm7".*write chords like C/);
      assert.equal(wrong[1], "Jm7");
      assert.deepEqual((await typed("| G | D/F# | Em | C |")).slice(0, 1), [""]);
      assert.equal((await typed("| F | Dm | Bb | C7 |"))[2], "F major");
      await page.done();
    });

    test("sets an exercise and saves a packet that plays on its own", async () => {
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
      await own.waitForFunction(() => player.next || player.current, { timeout: 20000 });
      assert.deepEqual(own.seen.errors, []);
      await own.done();
    });
  });
}

describe("Chromium only", () => {
  let browser;
  before(async () => (browser = await chromium_browser()));
  after(() => browser.close());

  for (const [width, height] of [[360, 740], [820, 1180], [1280, 900]]) {
    for (const dark of [false, true]) {
      for (const file of [chords, packet, lesson, ear]) {
        test(`is accessible and fits at width ${width}${dark ? ", dark" : ""}: ${file.split("/").at(-1)}`, async () => {
          const page = await browser.open(file, { width, height, dark });
          const wide = await page.evaluate(() => document.documentElement.scrollWidth);
          assert.ok(wide <= width, `${wide} pixels wide`);
          await page.evaluate(readFileSync("node_modules/axe-core/axe.min.js", "utf8"));
          const found = await page.evaluate(() => axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"] }));
          assert.deepEqual(found.violations.map((each) => `${each.id}: ${each.nodes.map((node) => node.target).join(" ")}`), []);
          await page.done();
        });
      }
    }
  }

  test("an ear exercise plays, and shows its chords with the answer", async () => {
    const page = await browser.open(ear, { prepare: tap_output });
    const shown = () =>
      page.evaluate(() => ({
        boxes: document.querySelectorAll("#chart .open").length,
        words: document.getElementById("chart").textContent,
        chords: [...document.querySelectorAll("#chart .hear")].map((each) => each.textContent),
        solution: document.getElementById("solution").textContent,
        band: document.getElementById("band").offsetParent !== null,
      }));
    const before = await shown();
    assert.ok(before.boxes >= 4 && before.chords.length === 0 && before.solution === "" && !before.band, JSON.stringify(before));
    assert.doesNotMatch(before.words, /N\.C\./);
    await page.click("#play");
    await page.waitForFunction(() => tap.context && tap.loudest(0.2) > 0.05, null, { timeout: 20000 });
    assert.equal((await shown()).boxes, before.boxes, "playing it reveals nothing");
    await page.click("#answer");
    await page.waitForFunction(() => document.querySelector("#chart .hear"), null, { timeout: 5000 });
    const after = await shown();
    assert.equal(after.boxes, 0);
    assert.equal(after.chords.length, before.boxes);
    const right = after.chords.map((symbol) => (/^[A-G][b#]?m/.test(symbol) ? "minor" : "major"));
    assert.equal(after.solution, `The answer: ${right.join(", ")}`);
    await page.click("#answer");
    await page.waitForFunction((count) => document.querySelectorAll("#chart .open").length === count, before.boxes, { timeout: 5000 });
    // It plays once, and then can be played again.
    await page.waitForFunction(() => !player.session && document.getElementById("play").textContent === "Play", null, { timeout: 60000 });
    assert.deepEqual(page.seen.errors, []);
    await page.done();
  });

  test("shows tempo and title at once, and the voicings of the level", async () => {
    const page = await browser.open(titled);
    const shown = await page.evaluate(() => ({
      slider: document.getElementById("tempo").value,
      number: document.getElementById("tempo-number").textContent,
      title: document.getElementById("song").textContent,
      bass: song.chords.map((chord) => chord.right[0].note.replace(/\d/, "")),
    }));
    assert.deepEqual([shown.slider, shown.number, shown.title], ["36", "36", "Rain on the Skylight"]);
    assert.deepEqual(shown.bass, ["Ab", "Ab", "Eb", "Cb"], "level 1 plays root positions");
    await page.done();
  });

  test("a white key is named by its letter, unless the present chord spells it differently", async () => {
    const page = await browser.open(titled);
    const names = (index) =>
      page.evaluate((index) => {
        show_chord(index);
        return [59, 60, 63, 64, 71].map((midi) => document.querySelector(`#touch rect[data-midi='${midi}']`).getAttribute("aria-label"));
      }, index);
    assert.deepEqual(await names(0), ["B 3", "C 4", "E flat 4", "E 4", "B 4"]);
    assert.deepEqual(await names(3), ["C flat 4", "C 4", "E flat 4", "E 4", "C flat 5"]);
    await page.done();
  });

  test("plays in a browser without SIMD", async () => {
    const page = await browser.open(chords, { prepare: () => { WebAssembly.validate = () => false; } });
    await page.click("#play");
    await page.waitForFunction(() => player.next || player.current, null, { timeout: 20000 });
    await page.done();
  });

  test("can be used with the keyboard alone", async () => {
    const page = await browser.open(chords);
    for (let i = 0; i < 3 && (await page.evaluate(() => document.activeElement.id)) !== "play"; ++i) await page.keyboard.press("Tab");
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => player.next || player.current, null, { timeout: 20000 });
    await page.evaluate(() => document.querySelector(".playable rect[tabindex='0']").focus());
    await page.keyboard.press("ArrowRight");
    assert.equal(await page.evaluate(() => document.activeElement.dataset.midi), "37");
    await page.done();
  });

  test("prints on both paper sizes, without the controls", async () => {
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

  test("the practice tempo rises each round, and the band rests for an answer", async () => {
    const page = await browser.open(chords);
    await page.evaluate(() => {
      document.getElementById("rise").value = "1";
      document.getElementById("trade").value = "2";
      document.getElementById("count-in").checked = false;
    });
    await page.click("#play");
    await page.waitForFunction(() => player.position() && player.position().made.tempo > 160, null, { timeout: 20000 });
    assert.equal(await page.evaluate(() => player.position().made.chords.length), 2);
    await page.done();
  });
});
