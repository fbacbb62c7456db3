// How quick the page is, measured by hand and never asserted: when it is ready, from Play and from a key to the sound, how
// busy its main thread is, what bars cost, and when another key is heard in a long song. In one browser, a table a line.
// The argument says how many times the page's main thread is slowed, as developer tools do it; workers are not.
//   ROMANESCA_BUILD=build node tests/web/times.mjs [6]
import { chromium_browser, wait } from "./browsers.mjs";
import { tap_output } from "./output_tap.mjs";
import { close, lantern, make_page, start_playing, type_song } from "./pages.mjs";

const runs = 5;
const lesson = make_page("times-lesson", "", "--lesson");
const packet = make_page("times-packet", lantern, "--student", "Mira", "--day", "Monday: right hand");

const median = (numbers) => [...numbers].sort((a, b) => a - b)[Math.floor(numbers.length / 2)];
const row = (what, numbers, unit) => console.log(`${what}: ${Math.round(median(numbers))} ${unit} (${numbers.map((each) => Math.round(each)).join(", ")})`);

// In the page: the milliseconds from an action to the first sample that is not silent.
const to_sound = (page, action) => page.evaluate(async (action) => {
  const began = performance.now();
  (0, eval)(action);
  for (;;) {
    await new Promise((done) => setTimeout(done, 1));
    if (window.tap.sides && window.tap.loudest(0.02) > 1e-4) return performance.now() - began;
    if (performance.now() - began > 20000) return NaN;
  }
}, action);

const slowed = Number(process.argv[2] ?? 1);
const browser = await chromium_browser();
console.log(`${browser.name}, main thread slowed ${slowed} times`);

// Opens a page and loads it again with a slowed processor.
async function open(file, settings) {
  const page = await browser.open(file, settings);
  page.session = await page.own_context.newCDPSession(page);
  await page.session.send("Emulation.setCPUThrottlingRate", { rate: slowed });
  await page.reload();
  await page.waitForFunction(() => document.body.dataset.ready, null, { timeout: 60000 });
  return page;
}

const ready = { lesson: [], packet: [] };
const at_once = [];
const later = [];
const key = [];
for (let run = 0; run < runs; ++run) {
  for (const [name, file] of Object.entries({ lesson, packet })) {
    const page = await open(file, { room: "play", bypassCSP: true, prepare: tap_output });
    ready[name].push(Number(await page.evaluate(() => document.body.dataset.ready)));
    if (name === "packet") {
      await page.evaluate(() => (practice.count_in = false));
      const from_play = async (list) => {
        list.push(await to_sound(page, "document.getElementById('play').click()"));
        await page.evaluate(() => practice.stop());
        await page.waitForFunction(() => window.tap.silent() > 0.3, null, { timeout: 20000 });
      };
      await from_play(at_once);
      await page.reload();
      await page.waitForFunction(() => document.body.dataset.ready, null, { timeout: 60000 });
      await page.evaluate(() => (practice.count_in = false));
      await wait(3000);
      await from_play(later);
      await to_sound(page, "practice.touch([60])"); // the first makes its worker
      await page.waitForFunction(() => window.tap.silent() > 0.3, null, { timeout: 20000 });
      key.push(await to_sound(page, "practice.touch([62])"));
    }
    await close(page);
  }
}
row("the lesson page is ready after", ready.lesson, "ms");
row("a packet is ready after", ready.packet, "ms");
row("from Play to the first sample that is not silent, as soon as the page is ready", at_once, "ms");
row("the same, three seconds later", later, "ms");
row("from a key to its first sample that is not silent", key, "ms");

const page = await open(packet, { room: "play" });
await page.evaluate(() => {
  window.costs = [];
  const { engine } = practice;
  const bar = engine.bar.bind(engine);
  engine.bar = async (...asked) => {
    const reply = await bar(...asked);
    window.costs.push(reply.took);
    return reply;
  };
});
await start_playing(page);
await wait(4000);
const tasks = async () => {
  const { metrics } = await page.session.send("Performance.getMetrics");
  return metrics.find((each) => each.name === "TaskDuration").value;
};
await page.session.send("Performance.enable");
const before = await tasks();
await wait(10000);
console.log(`main thread busy while it plays: ${(((await tasks()) - before) * 10).toFixed(1)} %`);
const costs = await page.evaluate(() => window.costs);
const loops = Array.from({ length: Math.floor(costs.length / 4) }, (_, i) => costs.slice(4 * i, 4 * i + 4).reduce((sum, each) => sum + each, 0));
row("four bars in the worker (drums, bass, two more parts at 160)", loops, "ms");
await close(page);

const long = await open(lesson, { room: "write" });
await type_song(long, `tempo: 120\n${"| C | Am | F | G7 |\n".repeat(100)}`);
await start_playing(long);
await long.evaluate(() => practice.go_to(200));
await long.waitForFunction(() => practice.timeline.sounding()?.bar >= 200, null, { timeout: 20000 });
const bars = [];
for (const step of [2, -2, 3]) {
  await wait(3000);
  const from = await long.evaluate((step) => {
    practice.change_key(step);
    const now = practice.timeline.sounding();
    return { n: now.n, key: now.song.placed_key };
  }, step);
  await long.waitForFunction((key) => practice.timeline.sounding() && practice.timeline.sounding().song.placed_key !== key, from.key, { timeout: 30000 });
  bars.push((await long.evaluate(() => practice.timeline.sounding().n)) - from.n);
}
row("400 bars: another key is heard so many bars later", bars, "bars");
console.log(`memory of its worker: ${((await long.evaluate(() => practice.engine.band.memory)) / 1e6).toFixed(0)} MB`);
await close(long);
await browser.close();
