// The time line of bars in real browsers: what is shown sounds, changes come at bar lines, regions go round.
import assert from "node:assert";
import { after, before, describe, test } from "node:test";
import { browsers, wait } from "./browsers.mjs";
import { close, lantern, make_page, start_playing, type_song } from "./pages.mjs";

const song = make_page("song", lantern);
const lesson = make_page("lesson", "", "--lesson");

// The bars that sound from now on, with what the page shows in each: looked at in every picture of the screen.
const watch = () => {
  window.watched = [];
  const look = () => {
    const position = practice.timeline.position();
    if (position) {
      const { bar } = position;
      const last = window.watched.at(-1);
      const shown = document.querySelector(".nowc .vh")?.textContent ?? "";
      const place = document.querySelector(".place").textContent;
      const heard = practice.output.heard - practice.timeline.delay_s;
      if (last?.n !== bar.n) window.watched.push({ n: bar.n, bar: bar.bar, round: bar.round, kind: bar.kind, tempo: bar.tempo, key: bar.song.placed_key, at: bar.at, until: bar.until, shown: [], late: heard - bar.at });
      const now = window.watched.at(-1);
      now.place = place;
      if (now.shown.at(-1) !== shown) now.shown.push(shown);
    }
    requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
};
const watched = (page) => page.evaluate(() => window.watched);
// Waits for what was watched, which may come a picture later than what sounds.
const until = (page, condition, argument, timeout = 60000) => page.waitForFunction(condition, ...(page.own_context ? [argument, { timeout }] : [{ timeout }, argument]));
const until_bar = (page, n) => until(page, (n) => (window.watched.at(-1)?.n ?? -1) >= n, n);
const until_place = (page, bar) => until(page, (bar) => window.watched.some((each) => each.bar === bar), bar);
const until_key = (page, key) => until(page, (key) => window.watched.some((each) => each.key === key), key);

for (const launch of browsers) {
  describe(launch.name, () => {
    let browser;
    before(async () => (browser = await launch()));
    after(() => browser.close());

    test("shows each chord with its sound, and bars follow without a gap", async () => {
      const page = await browser.open(song, { room: "play" });
      await page.evaluate(watch);
      await start_playing(page);
      await until_bar(page, 8);
      const bars = await watched(page);
      assert.deepEqual(bars.slice(0, 8).map((bar) => bar.bar), [0, 1, 2, 3, 4, 5, 6, 7]);
      const first = ["E flat", "B flat over D", "C minor 7", "A flat", "E flat", "B flat"];
      first.forEach((words, place) => assert.equal(bars[place].shown.at(-1), words, JSON.stringify(bars[place])));
      assert.deepEqual(bars[6].shown.slice(-2), ["A flat", "B flat"]);
      for (let i = 1; i < 8; ++i) assert.ok(Math.abs(bars[i].at - bars[i - 1].until) < 1e-9, JSON.stringify(bars[i]));
      const late = bars.slice(1, 8).map((bar) => bar.late).sort((a, b) => a - b);
      assert.ok(late[0] >= 0 && late[3] < 0.04, JSON.stringify(late));
      assert.deepEqual(page.seen.errors, []);
      await close(page);
    });

    test("another key is heard from a bar line on, waits visibly, and can be taken back", async () => {
      const page = await browser.open(song, { room: "play" });
      await page.evaluate(watch);
      await start_playing(page);
      await until_bar(page, 1);
      const asked = await page.evaluate(() => {
        document.getElementById("higher").click();
        document.getElementById("higher").click();
        return { n: practice.timeline.sounding().n, at: practice.output.now };
      });
      await page.waitForFunction(() => /F from the next bar/.test(document.querySelector(".pending").textContent));
      assert.equal(await page.evaluate(() => practice.shown_song().placed_key), "Eb major", "what sounds is shown");
      await until_key(page, "F major");
      const bar = (await watched(page)).find((each) => each.key === "F major");
      assert.ok(bar.n <= asked.n + 2, `${bar.n} after ${asked.n}`);
      await page.waitForFunction(() => document.querySelector(".pending").textContent === "");
      await page.evaluate(() => {
        document.getElementById("lower").click();
        document.querySelector(".pending .link").click();
      });
      await until_bar(page, bar.n + 3);
      const after_undo = await watched(page);
      assert.ok(after_undo.filter((each) => each.n > bar.n).every((each) => each.key === "F major"), JSON.stringify(after_undo));
      await close(page);
    });

    test("a section goes round; Play begins at a bar; once round, and the music ends", async () => {
      const page = await browser.open(song, { room: "play" });
      await page.evaluate(watch);
      await page.evaluate(() => {
        practice.change_tempo(180);
        practice.count_in = false;
        document.getElementById("section-1").click();
      });
      assert.equal(await page.evaluate(() => document.getElementById("section-1").getAttribute("aria-pressed")), "true");
      await start_playing(page);
      await until_bar(page, 9);
      const bars = await watched(page);
      assert.deepEqual(bars.slice(0, 10).map((bar) => bar.bar), [8, 9, 10, 11, 12, 13, 14, 15, 8, 9]);
      assert.equal(bars[8].round, 1);
      assert.match(bars[0].place, /bar 1 of 8/);
      await page.evaluate(() => {
        practice.stop();
        window.watched = [];
        practice.change({ loop: { from: 2, to: 4 }, once: true });
        practice.play(3);
      });
      await page.waitForFunction(() => window.watched.length > 0 && !practice.timeline.playing, { timeout: 30000 });
      const once = await watched(page);
      assert.deepEqual(once.map((bar) => [bar.kind, bar.bar]), [["bar", 3], ["rest", 3]]);
      await close(page);
    });

    test("a bar that is tapped comes next; the tempo rises by rounds", async () => {
      const page = await browser.open(song, { room: "play" });
      await page.evaluate(watch);
      await page.evaluate(() => practice.change({ loop: { from: 0, to: 2 }, rise: 4 }));
      await start_playing(page);
      await until_bar(page, 4);
      const bars = await watched(page);
      assert.deepEqual(bars.slice(0, 5).map((bar) => [bar.bar, bar.tempo]), [[0, 160], [1, 160], [0, 164], [1, 164], [0, 168]]);
      await page.evaluate(() => document.querySelector("[data-bar='10']").click());
      await until_place(page, 10);
      const jump = (await watched(page)).find((bar) => bar.bar === 10);
      assert.equal(jump.tempo, 160, "from the start");
      await close(page);
    });

    test("the count-in is seen; the band rests for an answer", async () => {
      const page = await browser.open(song, { room: "play" });
      await page.evaluate(() => practice.change({ trade: 2 }));
      await start_playing(page, { count_in: true });
      await page.waitForFunction(() => document.querySelector(".counts b"));
      assert.match(await page.evaluate(() => document.querySelector(".place").textContent), /count-in/);
      await page.waitForFunction(() => /Your turn/.test(document.querySelector(".nowbox").textContent), { timeout: 20000 });
      assert.ok([2, 3].includes(await page.evaluate(() => practice.timeline.sounding().bar)));
      await close(page);
    });

    test("a song of 400 bars plays at once, and takes another key at the next bar lines", async () => {
      const page = await browser.open(lesson);
      await type_song(page, `tempo: 200\n${"| C | Am | F | G7 |\n".repeat(100)}`);
      await page.evaluate(watch);
      await start_playing(page);
      assert.equal(await page.evaluate(() => practice.song.bars), 400);
      await page.evaluate(() => practice.go_to(396));
      await page.waitForFunction(() => practice.timeline.sounding()?.bar >= 396, { timeout: 20000 });
      const n = await page.evaluate(() => {
        practice.change_key(2);
        return practice.timeline.sounding().n;
      });
      await until_key(page, "D major");
      assert.ok((await watched(page)).find((bar) => bar.key === "D major").n <= n + 3);
      const memory = await page.evaluate(() => practice.engine.band.memory);
      assert.ok(memory < 110e6, `${memory} bytes in the worker`);
      await close(page);
    });

    test("a MIDI keyboard: the band waits for the chord; a take is heard again", async () => {
      const page = await browser.open(song, { room: "play" });
      await page.evaluate(() => {
        practice.midi.connected = 1;
        practice.change({ wait: true });
      });
      await start_playing(page);
      await page.waitForFunction(() => practice.timeline.awaited, { timeout: 20000 });
      await wait(1500);
      assert.equal(await page.evaluate(() => practice.timeline.bars.filter((bar) => bar.kind === "bar").length), 1, "it waits");
      await page.evaluate(() => {
        const keys = practice.timeline.awaited.bar.song.chords.find((chord) => chord.bar === 2);
        practice.midi.receive([0x90, 20, 70]); // a wrong key
        for (const note of [...keys.left, ...keys.right]) practice.midi.receive([0x90, note.midi, 80]);
      });
      await wait(300);
      assert.equal(await page.evaluate(() => practice.timeline.bars.filter((bar) => bar.kind === "bar").length), 1, "a wrong key is down");
      assert.ok(await page.evaluate(() => document.querySelectorAll("#keyboard .tick").length > 2 && document.querySelectorAll("#keyboard .ring").length > 3));
      await page.evaluate(() => practice.midi.receive([0x80, 20, 0]));
      await page.waitForFunction(() => practice.timeline.sounding()?.bar === 1 && practice.timeline.sounding().kind === "bar", { timeout: 5000 });
      await page.evaluate(() => {
        for (const midi of [...practice.midi.held]) practice.midi.receive([0x80, midi, 0]);
        practice.stop();
      });
      const take = await page.evaluate(() => practice.midi.take_as_heard());
      assert.ok(take.notes.length >= 4, JSON.stringify(take));
      await page.evaluate(() => practice.hear("take", practice.midi.take_as_heard()));
      assert.ok(await page.evaluate(() => practice.heard_alone !== null));
      assert.deepEqual(page.seen.errors, []);
      await close(page);
    });
  });
}
