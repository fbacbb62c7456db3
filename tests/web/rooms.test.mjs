// The rooms of the page, as a child and as a teacher use them.
import assert from "node:assert";
import { execFileSync } from "node:child_process";
import { readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { browsers, wait } from "./browsers.mjs";
import { boats, close, folder, hostile, lantern, make_page, start_playing, type_song } from "./pages.mjs";

const lesson = make_page("lesson", "", "--lesson");
const packet = make_page("packet", lantern, "--student", hostile, "--greeting", `Slowly.\n${hostile}`, "--day", "Monday: right hand", "--day", "Tuesday: left hand", "--exercise", "few-notes");
const sung = make_page("sung", boats, "--student", "Mira");
const ear = make_page("ear", "", "--exercise", "major-or-minor", "--key", "Eb", "--level", "3");

test("files keep within their size limits", () => {
  assert.ok(statSync(packet).size < 600_000, `${statSync(packet).size}`);
  assert.ok(statSync(lesson).size < 1_000_000, `${statSync(lesson).size}`);
});

const text_of = (page, selector) => page.evaluate((selector) => document.querySelector(selector)?.textContent ?? "", selector);
const enter = async (page, room) => {
  await page.evaluate((room) => (location.hash = room), room);
  await page.waitForFunction((room) => document.querySelector("nav a[aria-current]")?.id === `room-${room}`, ...(page.own_context ? [room] : [{}, room]));
};
// Opens the page again as it was left.
async function reload(page) {
  await page.reload();
  await page.waitForFunction(() => document.body.dataset.ready, { timeout: 30000 });
}

for (const launch of browsers) {
  describe(launch.name, () => {
    let browser;
    before(async () => (browser = await launch()));
    after(() => browser.close());

    test("first run: four chords are touched, and play", async () => {
      const page = await browser.open(lesson);
      assert.match(await text_of(page, "h1"), /Four chords make a song/);
      await page.evaluate(() => (practice.count_in = false));
      await page.click(".four");
      await page.waitForFunction(() => practice.timeline.sounding(), { timeout: 30000 });
      assert.deepEqual(await page.evaluate(() => practice.song.chords.map((chord) => chord.symbol)), ["C", "Am", "F", "G"]);
      assert.deepEqual(page.seen.errors, []);
      await close(page);
    });

    test("a song with a tune: its staff, and its words as they are sung, in lesson and packet", async () => {
      for (const file of [lesson, sung]) {
        const page = await browser.open(file, { room: file === lesson ? "write" : "today" });
        if (file === lesson) await type_song(page, boats);
        await enter(page, "play");
        await page.waitForFunction(() => document.querySelector(".tune .lines svg"), ...(page.own_context ? [] : [{}]));
        assert.match(await text_of(page, ".tune .sung"), /^The boats go out in early light, seven small boats out of sight\.\s*$/);
        await page.evaluate(() => {
          practice.count_in = false;
          practice.play(0);
        });
        await page.waitForFunction(() => [...document.querySelectorAll(".tune .sung .on")].some((each) => each.textContent === "ly"), { timeout: 30000 });
        assert.equal(await page.evaluate(() => document.querySelector(".tune .cursor").hidden), false);
        await page.evaluate(() => practice.change_key(2));
        await page.waitForFunction(() => practice.song.placed_key === "A major");
        assert.ok(await page.evaluate(() => practice.form.parts.some((part) => part.name === "tune" && part.out)));
        assert.deepEqual(page.seen.errors, []);
        await close(page);
      }
    });

    test("long symbols of a bar do not touch each other, and numerals are whole", async () => {
      for (const width of [1280, 390]) {
        const page = await browser.open(lesson, { room: "write", width });
        await type_song(page, "| C | F#m7b5/A B7 | Abmaj7/C Dbmaj9 | G7sus4 Cmaj7/E |\n| C | Am Dm G7b9 Cadd9 | F#dim7 | C |\n");
        await enter(page, "play");
        await page.waitForFunction(() => document.querySelectorAll(".form .bar").length === 8, ...(page.own_context ? [] : [{}]));
        const { gaps, numeral } = await page.evaluate(() => {
          const right = (chord) => Math.max(...[...chord.querySelectorAll("[aria-hidden], [aria-hidden] *")].map((each) => each.getBoundingClientRect().right));
          const gaps = [...document.querySelectorAll(".form .bar")].flatMap((bar) => {
            const chords = [...bar.querySelectorAll(".cs > *")];
            const starts = [...chords.slice(1).map((chord) => chord.getBoundingClientRect().left), bar.getBoundingClientRect().right];
            return chords.map((chord, i) => starts[i] - right(chord));
          });
          return { gaps, numeral: document.querySelectorAll(".form .bar .num")[1].lastElementChild.textContent };
        });
        assert.equal(gaps.length, 14);
        assert.ok(Math.min(...gaps) > 0, `${gaps.map(Math.round)}`);
        assert.equal(numeral, "V7/iii");
        await close(page);
      }
    });

    test("a fault is shown in place, corrected by its proposal; a reload loses nothing", async () => {
      const page = await browser.open(lesson, { room: "write" });
      await type_song(page, lantern.replace("Fm7 |", "Dq |"));
      assert.equal(await text_of(page, ".under mark.bad"), "Dq");
      assert.match(await text_of(page, "#fault"), /Bar 11: Dq is no chord name/);
      await page.click("#fault [data-proposal]");
      await page.waitForFunction(() => document.querySelector("#fault").textContent === "");
      assert.match(await page.evaluate(() => write_room.text), /\| Eb\/G \| D \|/);
      await page.evaluate(() => {
        practice.change_key(2);
        practice.change_tempo(-11);
      });
      await page.waitForFunction(() => practice.song.placed_key === "F major");
      await wait(300);
      await reload(page);
      const after_reload = await page.evaluate(() => [practice.song.title, practice.song.placed_key, practice.settings.tempo, practice.song.chords.length]);
      assert.deepEqual(after_reload, ["Lantern Walk", "F major", 149, 19]);
      await close(page);
    });

    test("bars are tapped in; what could come next is heard, put in, and taken back", async () => {
      const page = await browser.open(lesson, { room: "write" });
      await type_song(page, "| C | Am | F | G |");
      await page.evaluate(() => document.querySelector("input[value=bars]").click());
      await page.waitForFunction(() => document.querySelectorAll(".barfield input").length === 4);
      await page.evaluate(() => {
        const field = document.querySelectorAll(".barfield input")[1];
        field.value = "Em7 A7";
        field.dispatchEvent(new Event("change"));
      });
      await page.waitForFunction(() => practice.song.chords.length === 5, { timeout: 10000 });
      assert.equal(await page.evaluate(() => write_room.text), "| C | Em7 A7 | F | G |");
      await page.evaluate(() => document.querySelector(".next .put").click());
      await page.waitForFunction(() => practice.song.bars === 5, { timeout: 10000 });
      await page.evaluate(() => document.getElementById("undo-text").click());
      await page.waitForFunction(() => practice.song.bars === 4, { timeout: 10000 });
      assert.equal(await page.evaluate(() => write_room.text), "| C | Em7 A7 | F | G |");
      await close(page);
    });

    test("what was understood is shown, with what was left out", async () => {
      const page = await browser.open(lesson, { room: "write" });
      await type_song(page, "Tune for a rainy day\n\nVerse\nc        am\nRain on the roof\nf   g\nand nobody home\n\nplay it softly please\n");
      const understood = await text_of(page, ".und");
      assert.match(understood, /line/i, understood);
      assert.match(understood, /The key is C major/);
      assert.deepEqual(await page.evaluate(() => practice.song.chords.map((chord) => chord.words?.trim())), ["Rain on", "the roof", "and", "nobody home"]);
      await close(page);
    });

    test("a decision that can be doubted is undone by its button, and comes back by Undo", async () => {
      const page = await browser.open(lesson, { room: "write" });
      await type_song(page, "Verse:\n| C | F | G | C |\nx2\n");
      assert.equal(await page.evaluate(() => practice.song.bars), 8);
      await page.waitForFunction(() => document.querySelector("[data-otherwise]"), { timeout: 10000 });
      await page.evaluate(() => document.querySelector("[data-otherwise]").click());
      await page.waitForFunction(() => practice.song.bars === 4, { timeout: 10000 });
      await page.waitForFunction(() => document.getElementById("undo-text"), { timeout: 10000 });
      await page.evaluate(() => document.getElementById("undo-text").click());
      await page.waitForFunction(() => practice.song.bars === 8, { timeout: 10000 });
      await close(page);
    });

    test("songs are kept as a file and read from one", async () => {
      const page = await browser.open(lesson, { room: "write" });
      await type_song(page, lantern);
      await page.evaluate(() => write_room.songs.begin("title: Second\n| Am | E7 |"));
      const saved = await page.evaluate(() => {
        write_room.songs.keep(write_room.text);
        return write_room.songs.file();
      });
      assert.equal(JSON.parse(saved).songs.length, 2);
      await page.evaluate(() => localStorage.clear());
      const count = await page.evaluate(async (text) => {
        await write_room.songs.read_file(new File([text], "songs.json"));
        await write_room.songs.read_file(new File(["{}"], "other.json"));
        return [document.querySelectorAll("#song-list li").length, write_room.songs.message.textContent];
      }, saved);
      assert.deepEqual(count, [2, "That file holds no songs of this page."]);
      await close(page);
    });

    test("a packet is made with an exercise, saved, and opens on Today without a network; ticks stay", async () => {
      const page = await browser.open(lesson, { room: "take" });
      await type_song(page, lantern);
      await page.waitForFunction(() => document.querySelectorAll(".card").length === 3, { timeout: 20000 });
      const saved = await page.evaluate((name) => {
        const set = (id, value) => {
          const field = document.getElementById(id);
          field.value = value;
          field.dispatchEvent(new Event("input"));
        };
        set("for", name);
        set("greeting", "Slowly, please.");
        document.getElementById("another-day").click();
        set("day-0", "right hand alone");
        document.querySelectorAll(".card input")[1].click();
        return { html: take_room.html(), button: document.getElementById("save").textContent };
      }, hostile);
      assert.equal(saved.button, `Save for ${hostile}`);
      const file = join(folder, `saved-${browser.name}.html`);
      writeFileSync(file, saved.html);
      assert.ok(saved.html.length < 1_000_000);
      await page.done();
      const own = await browser.open(file);
      if (own.own_context) await own.own_context.setOffline(true);
      assert.equal(await own.evaluate(() => document.title), `Lantern Walk for ${hostile}`);
      assert.match(await text_of(own, ".for"), /^for <script>/);
      assert.equal(await text_of(own, "h1"), "Lantern Walk");
      assert.ok(await own.evaluate(() => document.querySelectorAll(".exercise .steps li").length > 0));
      await own.click(".week label");
      assert.match(await text_of(own, "#letter"), /Lantern Walk: I played on Monday\./);
      await reload(own);
      assert.equal(await own.evaluate(() => document.getElementById("day-0").checked), true);
      await own.evaluate(() => (practice.count_in = false));
      await own.click("#today-play");
      await own.waitForFunction(() => practice.timeline.sounding(), { timeout: 30000 });
      assert.deepEqual(own.seen.errors, []);
      for (const url of own.seen.requests) assert.match(url, /^(file|blob|data):/);
      await close(own);
    });

    test("markup in a name stays text", async () => {
      const page = await browser.open(packet);
      const shown = await page.evaluate(() => [document.title, document.querySelector("script[src]"), document.querySelectorAll(".today img").length]);
      assert.deepEqual(shown, [`For ${hostile}`, null, 0]);
      assert.match(await page.evaluate(() => [...document.querySelectorAll(".word")].map((each) => each.textContent).join("\n")), /alert/);
      assert.deepEqual(page.seen.errors, []);
      await page.done();
    });

    test("an ear task: hear, show the answer, hide it", async () => {
      const page = await browser.open(ear);
      const shown = () => page.evaluate(() => ({ boxes: document.querySelectorAll(".boxes li:not(.open)").length, chords: [...document.querySelectorAll(".boxes .open .vh")].map((each) => each.textContent), solution: document.getElementById("solution").textContent }));
      const before = await shown();
      assert.ok(before.boxes >= 4 && before.chords.length === 0 && before.solution === "", JSON.stringify(before));
      await page.click("#hear-task");
      await page.waitForFunction(() => practice.heard_alone, { timeout: 20000 });
      assert.equal((await shown()).boxes, before.boxes, "playing it reveals nothing");
      await page.click("#answer");
      await page.waitForFunction(() => document.querySelector(".boxes .open"), { timeout: 10000 });
      const answer = await shown();
      assert.equal(answer.chords.length, before.boxes);
      const right = answer.chords.map((words) => (/minor/.test(words) ? "minor" : "major"));
      assert.equal(answer.solution, right.join(", "));
      await page.click("#answer");
      await page.waitForFunction(() => document.querySelector(".boxes li:not(.open)"), { timeout: 10000 });
      assert.deepEqual(page.seen.errors, []);
      await close(page);
    });
  });
}
