// The samples that the page sends to the loudspeaker during fast changes: never more than full scale, and silence after
// Stop. Read in the audio graph on the node before the destination.
import assert from "node:assert";
import { execFileSync } from "node:child_process";
import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { chromium_browser, firefox_browser, wait } from "./browsers.mjs";
import { tap_output } from "./output_tap.mjs";

const folder = mkdtempSync(join(tmpdir(), "romanesca-sound-"));
const program = `${process.env.ROMANESCA_BUILD}/romanesca`;
const chords = join(folder, "chords.html");
const lesson = join(folder, "lesson.html");
execFileSync(program, ["handout", "| Eb | Cm7 | Ab | Bb7 |", "--tempo", "60", "--out", chords]);
execFileSync(program, ["handout", "--lesson", "--out", lesson]);
const quick = join(folder, "quick.html"); // bars of 1.5 s
execFileSync(program, ["handout", "| Eb | Cm7 | Ab | Bb7 |", "--tempo", "160", "--out", quick]);

// Fast changes, each several times within two seconds.
const bursts = {
  tempo: async () => {
    for (let i = 1; i <= 8; ++i) {
      const slider = document.getElementById("tempo");
      slider.value = 60 + i;
      slider.dispatchEvent(new Event("change"));
      await new Promise((done) => setTimeout(done, 250));
    }
  },
  key: async () => {
    for (const key of ["G major", "Bb major", "C major", "E major", "D major"]) {
      const list = document.getElementById("key");
      list.value = key;
      list.dispatchEvent(new Event("change"));
      await new Promise((done) => setTimeout(done, 300));
    }
  },
  style: async () => {
    const list = document.getElementById("style");
    for (let i = 0; i < 8; ++i) {
      list.selectedIndex = i % list.options.length;
      list.dispatchEvent(new Event("change"));
      await new Promise((done) => setTimeout(done, 250));
    }
  },
  parts: async () => {
    for (let i = 0; i < 8; ++i) {
      const boxes = document.querySelectorAll("#parts input");
      boxes[i % boxes.length].click();
      await new Promise((done) => setTimeout(done, 250));
    }
  },
  "the keyboard": async () => {
    for (let i = 0; i < 60; ++i) {
      const key = document.querySelector(`#touch rect[data-midi='${48 + ((i * 7) % 24)}']`);
      key.dispatchEvent(new PointerEvent("pointerdown"));
      await new Promise((done) => setTimeout(done, 30));
    }
  },
};
const typing = async () => {
  const field = document.getElementById("text");
  field.value = "";
  for (const letter of "| C | Am F | Dm7 G7 |") {
    field.value += letter;
    field.dispatchEvent(new Event("input"));
    await new Promise((done) => setTimeout(done, 90));
  }
};

for (const launch of [chromium_browser, firefox_browser]) {
  describe(launch.name, () => {
    let browser;
    before(async () => (browser = await launch()));
    after(() => browser.close());

    // A page that plays at full volume.
    async function playing(file) {
      const page = await browser.open(file, { prepare: tap_output });
      await page.evaluate(() => {
        player.set_volume(1);
        document.getElementById("count-in").checked = false;
      });
      await page.click("#play");
      await page.waitForFunction(() => player.position() && tap.highest > 0.1, { timeout: 20000 });
      return page;
    }

    // If pages are closed while they sound, Firefox opens no more pages after a few.
    async function close(page) {
      await page.evaluate(() => player.context.close());
      await page.done();
    }

    const samples = (page) => page.evaluate(() => ({ highest: tap.highest, over: tap.over, gap: tap.gap, rate: tap.context.sampleRate }));

    async function stays_within(page, ...actions) {
      await page.evaluate(() => tap.reset());
      for (const action of actions) await page.evaluate(action);
      await wait(4500); // to the bar line and beyond
      const seen = await samples(page);
      assert.ok(seen.gap < 32768 / seen.rate, `every sample was read: ${JSON.stringify(seen)}`);
      assert.ok(seen.highest > 0.1 && seen.highest < 1 && seen.over === 0, JSON.stringify(seen));
      assert.deepEqual(page.seen.errors, []);
    }

    test("bursts of tempo, key, style, parts and the keyboard stay within full scale, one after another and all at once", async () => {
      const page = await playing(chords);
      const actions = Object.values(bursts);
      await stays_within(page, ...actions, `Promise.all([${actions.map((action) => `(${action})()`).join(", ")}])`);
      await close(page);
    });

    test("typing stays within full scale, and plays after a pause", async () => {
      const page = await playing(lesson);
      const before = await page.evaluate(() => {
        window.requests = 0;
        const sound = engine.sound.bind(engine);
        engine.sound = (request, rate) => {
          if (request.do === "loop") ++window.requests;
          return sound(request, rate);
        };
        return player.current.made.chords.map((each) => each.symbol);
      });
      await stays_within(page, typing);
      assert.equal(await page.evaluate(() => window.requests), 1, "one loop for all the letters");
      const now = await page.evaluate(() => (player.next || player.current).made.chords.map((each) => each.symbol));
      assert.notDeepEqual(now, before);
      assert.deepEqual(now, ["C", "Am", "F", "Dm7", "G7"]);
      await close(page);
    });

    // Presses Stop and checks for silence from 50 ms after it.
    async function stops(page) {
      assert.equal(await page.evaluate(() => document.getElementById("play").disabled), false);
      await page.evaluate(() => {
        document.getElementById("play").click();
        window.stopped = tap.context.currentTime;
      });
      await page.waitForFunction(() => tap.context.currentTime > window.stopped + 0.55, { timeout: 20000 });
      assert.equal(await page.evaluate(() => tap.loudest(tap.context.currentTime - window.stopped - 0.05)), 0);
      await wait(1600); // a loop that had waited for a bar line would sound now
      assert.equal(await page.evaluate(() => tap.loudest(0.6)), 0);
      assert.equal(await page.evaluate(() => document.getElementById("play").textContent), "Play");
    }

    test("Stop silences a loop that waits or is being rendered", async () => {
      const page = await playing(quick);
      for (const ms of [0, 40, 400]) {
        await page.evaluate(async (ms) => {
          if (!player.session) document.getElementById("play").click();
          while (!player.position()) await new Promise((done) => setTimeout(done, 20));
          for (const key of ["G major", "Bb major"]) {
            document.getElementById("key").value = key;
            document.getElementById("key").dispatchEvent(new Event("change"));
          }
          player.notes([60, 64, 67]);
          await new Promise((done) => setTimeout(done, ms));
        }, ms);
        await stops(page);
      }
      await close(page);
    });

    test("Stop works during the count-in, and while the text has an error", async () => {
      const counting = await browser.open(quick, { prepare: tap_output });
      await counting.click("#play");
      await counting.waitForFunction(() => tap.highest > 0.05, { timeout: 20000 });
      assert.equal(await counting.evaluate(() => player.position()), null, "the count-in sounds");
      await stops(counting);
      await close(counting);

      const page = await playing(lesson);
      await page.evaluate(async () => {
        document.getElementById("text").value = "| C | Jm7 |";
        document.getElementById("text").dispatchEvent(new Event("input"));
        while (!document.querySelector("#fault mark")) await new Promise((done) => setTimeout(done, 10));
      });
      assert.ok(await page.evaluate(() => player.position() !== null), "the last valid chords continue");
      await stops(page);
      assert.equal(await page.evaluate(() => document.getElementById("play").disabled), true, "Play needs chords");
      await close(page);
    });

    test("a change while the first loop is rendered replaces it", async () => {
      const page = await browser.open(quick, { prepare: tap_output });
      await page.evaluate(() => {
        document.getElementById("play").click();
        document.getElementById("tempo").value = 90;
        document.getElementById("tempo").dispatchEvent(new Event("change"));
      });
      await page.waitForFunction(() => player.position(), { timeout: 20000 });
      assert.equal(await page.evaluate(() => player.position().made.tempo), 90);
      await close(page);
    });
  });
}
