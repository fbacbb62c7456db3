// Parts of the page's script that need no browser.
import assert from "node:assert";
import { readFileSync } from "node:fs";
import { test } from "node:test";

const page = "../../cli/web/page";
const { place_after, region_of, tempo_of_round, differences } = await import(`${page}/bar_order.js`);
const { bar_at, bar_text, doubt_marks, header_of, part_of, proposals, replaced, with_bar, with_header, with_next } = await import(`${page}/song_text.js`);
globalThis.navigator ??= { languages: ["en"], language: "en" };
const { hearing_rate_hz, longest_recording_s, mixed } = await import(`${page}/recording.js`);
const { heard_sentences, other_lines, other_tempo, tapped_tempo, title_of } = await import(`${page}/recording_panel.js`);
const { key_name, parse_symbol, pitch_class, signed, spoken } = await import(`${page}/notation.js`);
const { packet_html, file_name } = await import(`${page}/packet_file.js`);
const { wants_letter } = await import(`${page}/print_sheet.js`);
const { compare_keys, has_chord, MidiKeyboard } = await import(`${page}/midi.js`);

const { asked_tones, new_samples } = await import(`${page}/microphone.js`);
const { room_sentences } = await import(`${page}/microphone_way.js`);

const settings = { text: "", loop: null, once: false, rise: 0, tempo: 0 };

test("bars follow each other through the song, a region, and once round", () => {
  const order = (changes, from, count) => {
    const bars = [];
    for (let place = { bar: from, round: 0 }; place && bars.length < count; place = place_after(place, { ...settings, ...changes }, 6)) bars.push(`${place.bar}.${place.round}`);
    return bars.join(" ");
  };
  assert.equal(order({}, 4, 5), "4.0 5.0 0.1 1.1 2.1");
  assert.equal(order({ loop: { from: 2, to: 4 } }, 3, 5), "3.0 2.1 3.1 2.2 3.2");
  assert.equal(order({ loop: { from: 2, to: 4 } }, 0, 4), "0.0 2.0 3.0 2.1", "a region elsewhere begins at its beginning");
  assert.equal(order({ once: true }, 4, 9), "4.0 5.0");
  assert.deepEqual(region_of({ from: 5, to: 99 }, 6), { from: 5, to: 6 });
  assert.deepEqual(region_of({ from: 9, to: 12 }, 6), { from: 0, to: 6 }, "after an edit that has cut the song");
});

test("the tempo rises by rounds within its limits", () => {
  assert.equal(tempo_of_round({ ...settings, rise: 4 }, 92, 3), 104);
  assert.equal(tempo_of_round({ ...settings, tempo: 398, rise: 4 }, 92, 3), 400);
  assert.equal(tempo_of_round({ ...settings, tempo: 5 }, 92, 0), 20);
  assert.deepEqual(differences(settings, { ...settings, loop: { from: 0, to: 2 }, tempo: 80 }), ["loop", "tempo"]);
});

test("texts are changed in their places, counted in characters", () => {
  assert.equal(replaced("a\n| 🎹 Dq |", 2, 5, 2, "Dm"), "a\n| 🎹 Dm |");
  assert.equal(part_of("| F | Dq |", 1, 7, 2), "Dq");
  const chords = [{ symbol: "F", line: 1, column: 7, width: 1 }, { symbol: "G", line: 1, column: 9, width: 1 }];
  assert.equal(with_bar("| C | F G |", chords, "Am"), "| C | Am |");
  assert.equal(bar_text("| C | F G |", chords), "F G");
  assert.equal(with_bar("| C |", [{ symbol: "C", line: 0, column: 0, width: 0 }], "Am"), null, "a chord without a place");
  assert.equal(with_next("| C | F |", "G"), "| C | F | G |");
  assert.equal(with_next("| C | F | G | C |\n", "Am"), "| C | F | G | C |\n| Am |");
  assert.equal(with_next("C F", "G"), "C F G");
  assert.equal(with_next("| C | F |\ntune: C8 | F8 |\nwords: one two", "G"), "| C | F |\ntune: C8 | F8 |\nwords: one two\n| G |");
  assert.equal(with_header("title: A\n| C |", "key", "D major"), "key: D major\ntitle: A\n| C |");
  assert.equal(with_header("Key: C\n| C |", "key", "D major"), "key: D major\n| C |");
  assert.equal(header_of("title: A b\n| C |", "title"), "A b");
  assert.equal(bar_at("[V]\n| F | Dm | Gm | C |\n| Bb | C | Am | Dq |", 3, 17), 8);
  assert.equal(bar_at("C Dm Dq", 1, 6), 0);
  assert.equal(bar_at("| F | C |\ntune: F8 | C8 |\n| Bb | Dq |", 3, 8), 4, "a tune is no further bars");
  assert.deepEqual(proposals("did you mean Dm?"), ["Dm"]);
  assert.deepEqual(proposals("did you mean Dm or D?"), ["Dm", "D"]);
  assert.deepEqual(proposals("write chords like C"), []);
});

test("sentences of the program have real signs where notes are named", () => {
  assert.equal(signed("G to Bb: Bbm7, C#m and F#; from Ab."), "G to B♭: B♭m7, C♯m and F♯; from A♭.");
  assert.equal(signed("Absolutely Abbey: A band, E"), "Absolutely Abbey: A band, E");
  assert.deepEqual(parse_symbol("Bbm7b5/Ab"), { letter: "B", accidental: "b", minor: true, figures: "7b5", bass: "A", bass_accidental: "b" });
  assert.equal(parse_symbol("Cmaj7").minor, false);
  assert.equal(spoken("F#m7"), "F sharp minor 7");
  assert.equal(key_name("Eb minor").whole, "E♭ minor");
  assert.deepEqual(["C", "Cb", "B#", "F##"].map(pitch_class), [0, 11, 0, 7]);
});

test("a packet takes the data's place in the page, with its title as text", () => {
  const source = '<title>Lesson</title><script id="data" type="application/json">{"kind":"lesson"}</script><p>rest</p>';
  const made = packet_html(source, { kind: "packet", text: "</script><b>" }, "A <b> & $&");
  assert.equal(made, '<title>A &lt;b> &amp; $&amp;</title><script id="data" type="application/json">{"kind":"packet","text":"\\u003c/script>\\u003cb>"}</script><p>rest</p>');
  assert.equal(file_name('Rain: "a/b" '), "Rain a b .html".replace(" .", "."));
});

test("keys that are down are compared with what is asked", () => {
  const asked = [60, 64, 67].map((midi) => ({ midi, note: "C4", hand: "right" }));
  assert.deepEqual(compare_keys(new Set([60, 61]), asked), { right: [60], wrong: [61], missing: [64, 67] });
  assert.equal(has_chord(new Set([48, 64, 79]), asked), true, "in any octave");
  assert.equal(has_chord(new Set([60, 64]), asked), false);
  assert.equal(has_chord(new Set([60, 64, 67, 70]), asked), false);
  assert.equal(has_chord(new Set(), []), false);
});

test("a take holds what was played, from its first note", () => {
  const midi = new MidiKeyboard();
  let now = 10;
  midi.clock = () => now;
  midi.receive([0x90, 50, 1]); // not yet recorded
  midi.begin_take();
  now = 12;
  midi.receive([0x91, 60, 100]);
  now = 12.5;
  midi.receive([0x91, 60, 0]);
  midi.receive([0xb0, 64, 127]); // a pedal
  midi.receive([0x90, 62, 90]);
  now = 13;
  midi.end_take();
  assert.deepEqual(midi.take_as_heard(), { notes: [[0, 480, 60, 100], [480, 480, 62, 90]], length: 960, tempo: 60 });
  assert.deepEqual([...midi.held], [50]);
});

test("every text of the page is there in every language, and used", () => {
  const words = readFileSync(`${page}/words.js`, "utf8");
  const rows = [...words.matchAll(/^ {2}(\w+): \[\s*("(?:[^"\\]|\\.)*"),\s*("(?:[^"\\]|\\.)*"),?\s*\]/gm)];
  assert.ok(rows.length > 100, `${rows.length}`);
  const files = ["bar_order", "chart", "day_task", "dom", "drawers", "drawing", "editor", "engine", "keyboard", "lesson", "main", "microphone_way", "notation", "packet", "play_room", "playable_keyboard", "practice", "print_sheet", "recording", "recording_panel", "song_list", "take_room", "today_room", "transport", "tune_view", "write_room"];
  const script = files.map((name) => readFileSync(`${page}/${name}.js`, "utf8")).join("\n");
  for (const [, id, english, german] of rows) {
    const holes = (text) => [...text.matchAll(/\{\d\}/g)].map((each) => each[0]).sort().join();
    assert.equal(holes(english), holes(german), id);
    if (!["numbers", "days"].includes(id)) assert.ok(script.includes(`"${id}"`), `${id} is said nowhere`);
  }
});

test("two reads of the microphone are joined where they fit", () => {
  const sound = Float32Array.from({ length: 8192 }, (_, i) => Math.sin(i * i));
  const read = (end) => sound.slice(end - 2048, end);
  const tail = read(3000).slice(-48);
  assert.equal(new_samples(read(3000 + 640), tail, 640), 640);
  assert.equal(new_samples(read(3000 + 640), tail, 400), 640, "the clock is a little wrong");
  assert.equal(new_samples(read(3000), tail, 100), 0, "nothing new");
  assert.equal(new_samples(read(8000), tail, 5000), 2048, "too late: all is new");
  assert.equal(new_samples(read(3000), new Float32Array(0), 0), 2048, "the first");
  assert.equal(new_samples(new Float32Array(2048), new Float32Array(48), 256), 256, "silence is as long as the clock says");
});

test("a chord is asked for by its tones", () => {
  assert.deepEqual(asked_tones([48, 60, 64, 67], 0), { tones: 0b10010001, root: 0 });
});

test("a room is told in plain words", () => {
  const room = { heard: true, clipped: false, soft: false, loud_room: false, in_tune: false, hum: 0, cents: -30 };
  assert.deepEqual(room_sentences(room), ["The level is good.", "The room is quiet enough.", "The piano is 30 cents low; that is allowed for."]);
  assert.deepEqual(room_sentences({ ...room, heard: false }).length, 1);
  assert.match(room_sentences({ ...room, clipped: true, hum: 50 }).join(" "), /too loud.*50 Hz/);
  assert.match(room_sentences({ ...room, soft: true, loud_room: true }).join(" "), /very soft.*is loud/);
  assert.match(room_sentences({ ...room, in_tune: true, cents: 2 }).join(" "), /in tune/);
});

test("a recording's limits are those of the command", () => {
  const header = (file) => readFileSync(`../../${file}`, "utf8");
  assert.equal(hearing_rate_hz, Number(/hearing_rate_hz = (\d+);/.exec(header("synth/hearing/pitch_spectrum.h"))[1]));
  assert.equal(longest_recording_s, 60 * Number(/longest_recording_s = (\d+) \* 60;/.exec(header("cli/studio/recording.h"))[1]));
});

test("a piece of a recording is the mean of its channels", () => {
  const sides = [[0, 1, 2, 3], [4, 1, 0, 1]];
  const sound = { numberOfChannels: 2, copyFromChannel: (into, channel, from) => into.set(sides[channel].slice(from, from + into.length)) };
  assert.deepEqual([...mixed(sound, 1, 3)], [1, 1, 2]);
});

test("a recording's corrections add up", () => {
  const found = { title: "a", tempo: 0, meter: "", factor: 1, shift: 2 };
  const half = other_tempo(found, 0.5);
  assert.deepEqual(half, { ...found, factor: 0.5, shift: 0 });
  assert.equal(other_tempo(half, 0.5), null, "half of the half is none");
  assert.deepEqual(other_tempo(half, 2), { ...found, shift: 0 });
  assert.deepEqual(other_tempo({ ...found, tempo: 90 }, 2), { ...found, tempo: 180, shift: 0 });
  assert.equal(other_tempo({ ...found, tempo: 180 }, 2), null);
  assert.equal(other_lines(found, 1, 4).shift, 3);
  assert.equal(other_lines({ ...found, shift: 3 }, 1, 4).shift, 0, "a whole bar changes nothing");
  assert.equal(other_lines({ ...found, shift: 0 }, -1, 3).shift, -1);
  assert.equal(tapped_tempo([0, 500, 1000, 1500]), 120);
  assert.equal(tapped_tempo([0, 500, 1000]), 0, "too few");
  assert.equal(tapped_tempo([0, 50, 100, 150]), 0, "too fast");
});

test("a recording is told in plain words, and named by its file", () => {
  const heard = { bars: 16, meter: "4/4", tempo: 84, key: "G major", cents: 3, doubtful: [] };
  assert.deepEqual(heard_sentences(heard), ["Heard: 16 bars of 4/4, 84 beats a minute, G major.", "This is a draft: check it by ear."]);
  assert.match(heard_sentences({ ...heard, cents: -30, doubtful: [3] }).join(" "), /30 cents low.*bar 3, which is not sure/);
  assert.match(heard_sentences({ ...heard, doubtful: [3, 7] }).join(" "), /the 2 bars that are not sure: 3, 7\./);
  assert.equal(title_of("Lesson of May.final.m4a"), "Lesson of May.final");
  assert.equal(title_of("two\nlines.wav"), "two lines");
});

test("comments that name doubtful bars are found in the text", () => {
  assert.deepEqual(doubt_marks("title: ♭ # ? bars\n| C | F |  # ? bars 1, 2\n| G | # slowly\n"), [{ line: 2, column: 12, width: 13, kind: "dec" }]);
});

test("paper is Letter where people use it", () => {
  for (const tag of ["en-US", "es-MX", "fr-CA"]) assert.ok(wants_letter(tag), tag);
  for (const tag of ["en", "en-GB", "de-DE", "de", "zh-Hant-TW", ""]) assert.ok(!wants_letter(tag), tag);
});
