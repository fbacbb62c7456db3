// For everybody: axe-core in every room and state at three sizes, light and dark; by keyboard alone; on paper; in German;
// without SIMD; while the browser holds the sound back. Chromium only, which can be told all of this.
// With ROMANESCA_SHOTS=FOLDER a picture of each state is left there.
import assert from "node:assert";
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { chromium_browser, wait } from "./browsers.mjs";
import { boats, close, folder, lantern, make_page, start_playing, type_song } from "./pages.mjs";

const lesson = make_page("access-lesson", "", "--lesson");
const song = make_page("access-song", lantern, "--student", "Mira", "--greeting", "Slowly, please.", "--day", "Monday: right hand", "--day", "Friday: for someone");
const ear = make_page("access-ear", "", "--exercise", "major-or-minor", "--key", "Eb", "--level", "3");
const sung = make_page("access-sung", boats, "--student", "Mira");
const axe = readFileSync("node_modules/axe-core/axe.min.js", "utf8");

// name: [file, room, what is done there]
const states = {
  today: [song, "today"],
  ear: [ear, "today", () => document.getElementById("answer").click()],
  play: [song, "play", async () => { practice.count_in = false; document.getElementById("section-0").click(); practice.play(2); while (!practice.timeline.sounding()) await new Promise((done) => setTimeout(done, 20)); practice.change_key(2); practice.midi.receive([0x90, 48, 80]); }],
  tune: [sung, "play", async () => { practice.count_in = false; practice.play(0); while (!document.querySelector(".tune .sung .on")) await new Promise((done) => setTimeout(done, 20)); }],
  turn: [song, "play", async () => { await practice.change({ trade: 2 }); practice.play(2); while (!document.querySelector(".nowbox.turn")) await new Promise((done) => setTimeout(done, 20)); }],
  count: [song, "play", async () => { document.getElementById("play").click(); while (!document.querySelector(".nowbox.count")) await new Promise((done) => setTimeout(done, 20)); }],
  asleep: [song, "play", () => { practice.asleep = true; practice.changed(); }],
  practise: [song, "play", () => document.getElementById("open-practise").click()],
  parts: [song, "play", async () => { await practice.prepare(); document.getElementById("open-parts").click(); }],
  voicings: [song, "play", () => document.getElementById("open-voicings").click()],
  "first-run": [lesson, "play"],
  write: [lesson, "write", null, lantern],
  fault: [lesson, "write", null, lantern.replace("Fm7 |", "Dq |")],
  bars: [lesson, "write", () => document.querySelector("input[value=bars]").click(), lantern],
  take: [lesson, "take", () => document.getElementById("another-day").click(), lantern],
};

describe("Chromium", () => {
  let browser;
  before(async () => (browser = await chromium_browser()));
  after(() => browser.close());

  async function open_state(name, settings) {
    const [file, room, action, text] = states[name];
    const page = await browser.open(file, { room, ...settings });
    if (text) {
      await type_song(page, lantern);
      if (text !== lantern) await type_song(page, text);
      await wait(300);
    }
    if (action) await page.evaluate(action);
    await wait(250);
    return page;
  }

  for (const [width, height] of [[360, 740], [820, 1180], [1400, 900]]) {
    for (const dark of [false, true]) {
      test(`every state is accessible and fits at ${width} by ${height}${dark ? ", dark" : ""}`, async () => {
        const faults = [];
        for (const name of Object.keys(states)) {
          const page = await open_state(name, { width, height, dark });
          if (process.env.ROMANESCA_SHOTS) await page.screenshot({ path: join(process.env.ROMANESCA_SHOTS, `${name}-${width}${dark ? "-dark" : ""}.png`) });
          const wide = await page.evaluate(() => document.documentElement.scrollWidth);
          if (wide > width) faults.push(`${name}: ${wide} pixels wide`);
          // Targets of 44 pixels, but for links within text and what is hidden under its label.
          const small = await page.evaluate(() => [...document.querySelectorAll("button, a, input, select, summary, textarea")].filter((each) => {
            const target = each.closest("label, .hit") ?? each;
            const { width, height } = target.getBoundingClientRect();
            return each.offsetParent !== null && !each.closest(".skip") && (width < 43.5 || height < 43.5);
          }).map((each) => `${each.tagName}.${each.className}#${each.id} ${Math.round(each.getBoundingClientRect().width)}x${Math.round(each.getBoundingClientRect().height)}`));
          if (small.length > 0) faults.push(`${name}: small targets ${[...new Set(small)].slice(0, 4).join(", ")}`);
          faults.push(...page.seen.errors.map((each) => `${name}: ${each}`));
          // Contrast differs from light to dark, and labels from narrow to wide: one of each suffices, or all of them.
          if (!process.env.ROMANESCA_THOROUGH && dark !== (width === 820)) {
            await close(page);
            continue;
          }
          await page.evaluate(axe);
          const found = await page.evaluate(() => axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }));
          for (const each of found.violations) faults.push(`${name}: ${each.id}: ${each.nodes.slice(0, 3).map((node) => node.target).join(" ")}`);
          await close(page);
        }
        assert.deepEqual(faults, []);
      });
    }
  }

  test("by keyboard alone: play, another bar, tempo, a drawer, the keyboard, stop", async () => {
    const page = await browser.open(song, { room: "play" });
    await page.evaluate(() => (practice.count_in = false));
    await page.keyboard.press("Tab");
    await page.keyboard.press("Enter");
    assert.equal(await page.evaluate(() => document.activeElement.id), "play", "the first stop leads to the transport");
    await page.keyboard.press("Space");
    await page.waitForFunction(() => practice.timeline.sounding(), null, { timeout: 20000 });
    await page.keyboard.press("ArrowUp");
    await page.keyboard.press("Shift+ArrowUp");
    assert.equal(await page.evaluate(() => practice.settings.tempo), 166);
    await page.keyboard.press("PageDown");
    await page.waitForFunction(() => practice.timeline.sounding()?.bar >= 8, null, { timeout: 20000 });
    await page.keyboard.press("Space");
    assert.equal(await page.evaluate(() => practice.timeline.playing), false);
    const reached = new Set();
    await page.evaluate(() => document.activeElement.blur());
    for (let i = 0; i < 24; ++i) {
      await page.keyboard.press("Tab");
      reached.add(await page.evaluate(() => document.activeElement.id || document.activeElement.className));
    }
    for (const id of ["section-0", "open-practise", "keyboard", "slower", "higher"]) assert.ok(reached.has(id), `${id} in ${[...reached]}`);
    assert.equal([...reached].filter((each) => /^bar/.test(each)).length, 1, "the chart is one stop");
    await page.focus("#open-parts");
    await page.keyboard.press("Enter");
    await page.waitForSelector(".drawer");
    await page.keyboard.press("Escape");
    assert.equal(await page.evaluate(() => [document.querySelector(".drawer"), document.activeElement.id].join()), ",open-parts");
    await page.focus("#keyboard");
    await page.keyboard.press("Home");
    await page.keyboard.press("ArrowRight");
    const said = await page.evaluate(() => document.querySelector(".keys [role=status]").textContent);
    assert.match(said, /^[A-G]( flat| sharp)? \d$/);
    await close(page);
  });

  test("in German: words, chord names and keys", async () => {
    const page = await browser.open(song, { room: "play", locale: "de-DE" });
    assert.equal(await page.evaluate(() => document.documentElement.lang), "de");
    assert.equal(await page.evaluate(() => document.getElementById("play").textContent), "Start");
    assert.match(await page.evaluate(() => document.querySelector(".step.key .val").textContent), /Es.*Dur/);
    const chords = await page.evaluate(() => [...document.querySelectorAll(".bar .cs")].slice(0, 6).map((each) => each.querySelector("[aria-hidden]").textContent));
    assert.deepEqual(chords, ["E♭", "B/D", "Cm7", "A♭", "E♭", "B"]);
    await close(page);
  });

  test("prints the chart with words and exercise on both paper sizes, without the controls", async () => {
    const page = await browser.open(song);
    await page.waitForSelector(".paper .pages svg", { state: "attached" });
    for (const format of ["A4", "Letter"]) {
      const file = join(folder, `${format}.pdf`);
      await page.pdf({ path: file, format });
      const text = execFileSync("pdftotext", ["-layout", file, "-"], { encoding: "utf8" });
      for (const part of [/Lantern Walk/, /Slowly, please/, /Verse/, /Cm/, /Monday/]) assert.match(text, part);
      for (const part of [/Practise/, /tap/, /Copy for a mail/]) assert.doesNotMatch(text, part);
    }
    await page.done();
  });

  test("in a browser without SIMD the chords stay there in words, with what is needed to hear them", async () => {
    const page = await browser.open(song, { plain: true, prepare: () => { WebAssembly.validate = () => false; } });
    const text = await page.evaluate(() => document.body.innerText);
    for (const part of [/Lantern Walk/, /bar 1: E/, /in a browser of 2023 or later/]) assert.match(text, part);
    await page.done();
  });

  test("while the browser holds the sound back it says so, and plays when it is woken", async () => {
    const page = await browser.open(song, { room: "play", prepare: () => {
      const resume = AudioContext.prototype.resume;
      AudioContext.prototype.resume = function () { return window.awake ? resume.call(this) : new Promise(() => {}); };
      Object.defineProperty(AudioContext.prototype, "state", { get() { return window.awake ? "running" : "suspended"; } });
    } });
    await page.evaluate(() => (practice.count_in = false));
    await page.click("#play");
    await page.waitForSelector("#wake");
    assert.match(await page.evaluate(() => document.querySelector("[role=alert]").textContent), /Your song is safe/);
    await page.evaluate(() => (window.awake = true));
    await page.click("#wake");
    await page.waitForFunction(() => practice.timeline.sounding(), null, { timeout: 20000 });
    await close(page);
  });

  test("nothing moves with reduced motion but what the beat changes", async () => {
    const page = await browser.open(song, { room: "play" });
    await page.emulateMedia({ reducedMotion: "reduce" });
    const moving = await page.evaluate(() => [...document.querySelectorAll("*")].filter((each) => {
      const style = getComputedStyle(each);
      return style.animationName !== "none" || (style.transitionDuration !== "0s" && style.transitionProperty !== "none");
    }).length);
    assert.equal(moving, 0);
    await close(page);
  });

  test("minutes of play do not make it grow", async () => {
    const page = await browser.open(song, { room: "play" });
    const minutes = Number(process.env.ROMANESCA_PLAY_MINUTES ?? 0.5);
    await page.evaluate(() => practice.change({ tempo: 400 }));
    await start_playing(page);
    const measure = async () => {
      const session = await page.own_context.newCDPSession(page);
      await session.send("HeapProfiler.collectGarbage");
      const heap = (await session.send("Runtime.getHeapUsage")).usedSize;
      await session.detach();
      return page.evaluate((heap) => ({ heap, worker: practice.engine.band.memory, nodes: document.querySelectorAll("*").length, bars: practice.timeline.bars.length, sources: practice.output.sources.size }), heap);
    };
    await wait(8000);
    const before = await measure();
    await wait(minutes * 60000);
    const after = await measure();
    console.log(`# ${minutes} minutes: ${JSON.stringify([before, after])}`);
    assert.ok(after.heap < before.heap * 1.5 + 3e6 && after.worker < before.worker * 1.2 + 3e6, JSON.stringify([before, after]));
    assert.ok(after.bars <= 20 && after.sources <= 20 && after.nodes < before.nodes + 30, JSON.stringify([before, after]));
    await close(page);
  });
});
