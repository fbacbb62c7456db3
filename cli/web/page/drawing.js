// Small pictures of notation: a rhythm on one line, and a song's ground (its bass on a staff).
import { svg } from "./dom.js";
import { spoken_pitch } from "./notation.js";
import { say } from "./words.js";

/**
 * One bar of rhythm with its counts.
 * @param {{quarter: number, quarters: number}[]} notes from the beginning of the bar
 * @param {string} meter "6/8"
 * @param {number} [wide] pixels of a quarter
 */
export function draw_rhythm(notes, meter, wide = 46) {
  const [upper, lower] = meter.split("/").map(Number);
  const y = 44;
  const whole = (4 * upper) / lower;
  const left = 46;
  const width = left + whole * wide + 18;
  const picture = svg("svg", { viewBox: `0 0 ${width} 84`, width, height: 84, role: "img", "aria-label": say("rhythm"), class: "rhythm" });
  const line = (/** @type {string} */ d, /** @type {number} */ thick) => picture.append(svg("path", { class: "line", d, "stroke-width": thick }));
  line(`M34 ${y}H${width - 4}`, 1);
  picture.append(svg("text", { class: "meter", x: 20, y: y - 1.5 }, String(upper)), svg("text", { class: "meter", x: 20, y: y + 15.5 }, String(lower)));
  const x_of = (/** @type {number} */ quarter) => left + 10 + quarter * wide;
  const beat = 4 / lower;
  for (let count = 0; count < upper; ++count) picture.append(svg("text", { class: "count", x: x_of(count * beat), y: y + 32 }, String(count + 1)));
  let silent = 0;
  notes.forEach((note, place) => {
    if (note.quarter - silent > 0.01) draw_rest(picture, x_of(silent), y, note.quarter - silent);
    const x = x_of(note.quarter);
    const next = notes[place + 1];
    const open = note.quarters >= 2;
    picture.append(svg("ellipse", { class: open ? "line" : "head", cx: x, cy: y, rx: note.quarters >= 4 ? 8 : 6.6, ry: 4.6, transform: `rotate(-22 ${x} ${y})`, "stroke-width": 2.2 }));
    if (note.quarters < 4) line(`M${x + 6} ${y - 2}V${y - 32}`, 1.7);
    const dotted = [0.75, 1.5, 3].some((length) => Math.abs(note.quarters - length) < 0.01);
    if (dotted) picture.append(svg("circle", { class: "head", cx: x + 12, cy: y - 4, r: 2.1 }));
    if (note.quarters < 1) {
      const group = lower === 8 ? 1.5 : 1;
      const same = next && next.quarters < 1 && Math.floor(next.quarter / group + 1e-6) === Math.floor(note.quarter / group + 1e-6);
      const before = notes[place - 1];
      const beamed = before && before.quarters < 1 && Math.floor(before.quarter / group + 1e-6) === Math.floor(note.quarter / group + 1e-6);
      if (same) picture.append(svg("path", { class: "head", d: `M${x + 5.2} ${y - 34}H${x_of(next.quarter) + 6.8}v5.5H${x + 5.2}z` }));
      else if (!beamed) line(`M${x + 6} ${y - 32}c1 7 9 8 7 17`, 2);
    }
    silent = note.quarter + note.quarters;
  });
  if (whole - silent > 0.01) draw_rest(picture, x_of(silent), y, whole - silent);
  line(`M${width - 10} ${y - 13}v26`, 1.5);
  line(`M${width - 5} ${y - 13}v26`, 4);
  return picture;
}

/** @param {SVGElement} picture @param {number} x @param {number} y @param {number} quarters */
function draw_rest(picture, x, y, quarters) {
  if (quarters >= 2) picture.append(svg("rect", { class: "head", x: x - 6, y: y - 5, width: 13, height: 5.5 }));
  else if (quarters >= 1) picture.append(svg("path", { class: "line", "stroke-width": 2.6, d: `M${x - 3} ${y - 15}l7 8.5-5 5.5 6 8c-6-2.5-9 .5-5.5 6` }));
  else picture.append(svg("circle", { class: "head", cx: x - 2, cy: y - 6, r: 2.6 }), svg("path", { class: "line", "stroke-width": 1.8, d: `M${x - 2} ${y - 6}c4 2 7 0 8-3l-5 18` }));
}

// Sharps and flats of a key signature in the bass clef, as steps above the lowest line (common practice).
const sharp_steps = [6, 3, 7, 4, 1, 5, 2];
const flat_steps = [2, 5, 1, 4, 0, 3, -1];
/** @type {Record<string, number>} */
const major_fifths = { Cb: -7, Gb: -6, Db: -5, Ab: -4, Eb: -3, Bb: -2, F: -1, C: 0, G: 1, D: 2, A: 3, E: 4, B: 5, "F#": 6, "C#": 7 };
/** @type {Record<string, number>} */
const mode_fifths = { major: 0, minor: -3, dorian: -2, phrygian: -4, lydian: 1, mixolydian: -1, locrian: -5 };

/**
 * The bass of some chords on a staff.
 * @param {import("./types.js").Chord[]} chords
 * @param {string} key "Eb major"
 */
export function draw_ground(chords, key) {
  const basses = chords.flatMap((chord) => (chord.left.length > 0 ? [chord.left[0].note] : chord.root ? [`${chord.symbol.split("/")[1] ?? chord.root}2`] : [])).slice(0, 12);
  const [tonic, mode = "major"] = key.split(" ");
  const fifths = (major_fifths[tonic] ?? 0) + (mode_fifths[mode] ?? 0);
  const signs = fifths > 0 ? sharp_steps.slice(0, fifths) : flat_steps.slice(0, Math.max(0, -fifths));
  const gap = 9;
  const top = 30;
  const width = 44 + signs.length * 10 + basses.length * 26 + 30;
  const y_of = (/** @type {number} */ step) => top + 4 * gap - (step * gap) / 2;
  const label = say("bass_of", basses.map(spoken_pitch).join(", "));
  const height = top * 2 + 4 * gap;
  const picture = svg("svg", { viewBox: `0 0 ${width} ${height}`, width, height, role: "img", "aria-label": label });
  const stroke = (/** @type {string} */ d, /** @type {number} */ thick) => picture.append(svg("path", { class: "ink", d, "stroke-width": thick }));
  for (let i = 0; i < 5; ++i) picture.append(svg("path", { class: "staff", d: `M0 ${top + i * gap}H${width}` }));
  const f = y_of(6);
  picture.append(svg("circle", { class: "dot", cx: 12, cy: f, r: 3.3 }));
  stroke(`M10 ${f - 1}c-1-9 15-13 16 1 .6 11-8 19-19 24`, 2.6);
  for (const off of [-gap / 2, gap / 2]) picture.append(svg("circle", { class: "dot", cx: 32, cy: f + off, r: 1.9 }));
  let x = 42;
  for (const step of signs) {
    const y = y_of(step);
    if (fifths > 0) stroke(`M${x - 1.6} ${y - 9}v19M${x + 2.4} ${y - 10}v19M${x - 4} ${y - 2}l8-3M${x - 4} ${y + 5}l8-3`, 1.4);
    else stroke(`M${x} ${y - 15}V${y + 5}c8-4 9-11 0-6`, 1.5);
    x += 10;
  }
  x += 14;
  for (const note of basses) {
    const octave = Number(note.match(/-?\d+$/)?.[0] ?? 2);
    let step = "CDEFGAB".indexOf(note[0]) + 7 * octave - (4 + 7 * 2); // steps above G2, the lowest line
    while (step < -4) step += 7;
    while (step > 11) step -= 7;
    const y = y_of(step);
    for (let ledger = -2; ledger >= step; ledger -= 2) stroke(`M${x - 10} ${y_of(ledger)}h20`, 1.2);
    for (let ledger = 10; ledger <= step; ledger += 2) stroke(`M${x - 10} ${y_of(ledger)}h20`, 1.2);
    picture.append(svg("ellipse", { class: "ink", cx: x, cy: y, rx: gap * 0.68, ry: gap * 0.46, "stroke-width": 2.2, transform: `rotate(-14 ${x} ${y})` }));
    x += 26;
  }
  stroke(`M${width - 7} ${top}v${4 * gap}`, 1.2);
  stroke(`M${width - 2} ${top}v${4 * gap}`, 3.5);
  return picture;
}
