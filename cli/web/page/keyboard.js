// Pictures of a keyboard: one range and one scale for a song. Squares mark the left hand, discs the right, rings what is
// played, ticks what was found.
import { svg } from "./dom.js";
import { spoken_pitch } from "./notation.js";
import { say } from "./words.js";

/** @typedef {{midi: number, finger?: number, hand: "left" | "right", note: string}} AskedKey */
/**
 * @typedef {{low: number, high: number, asked?: AskedKey[], played?: Set<number>, felt?: boolean, width?: number, least?: number,
 *   most?: number, names?: string[], label?: string}} KeyboardPicture width, and least and most height, in pixels; without a width
 *   that of the element, which costs a layout of the page
 */

/** @param {number} midi */
export const is_black = (midi) => [1, 3, 6, 8, 10].includes(midi % 12);

/**
 * The smallest range from a C or F up to an E or B that holds these notes; at least two octaves.
 * @param {number[]} notes
 * @returns {[number, number]}
 */
export function range_of(notes) {
  let low = Math.min(...notes, 72);
  let high = Math.max(...notes, 48);
  while (low % 12 !== 0 && low % 12 !== 5) --low;
  while (high % 12 !== 4 && high % 12 !== 11) ++high;
  while (high - low < 23) {
    if (low > 41) low -= low % 12 === 0 ? 7 : 5;
    else high += high % 12 === 4 ? 7 : 5;
  }
  return [low, high];
}

/** @param {import("./types.js").Chord | null} chord @param {string} hand "left", "right" or "both" @returns {AskedKey[]} */
export function asked_keys(chord, hand) {
  if (!chord) return [];
  /** @type {AskedKey[]} */
  const keys = [];
  for (const note of chord.left) if (hand !== "right") keys.push({ ...note, hand: "left" });
  for (const note of chord.right) if (hand !== "left") keys.push({ ...note, hand: "right" });
  return keys;
}

/** "Left hand C. Right hand E flat finger 1, ...". @param {AskedKey[]} asked */
export function keys_in_words(asked) {
  const hand = (/** @type {string} */ name) => {
    const keys = asked.filter((key) => key.hand === name);
    const notes = keys.map((key) => spoken_pitch(key.note) + (key.finger ? ` ${say("finger", key.finger)}` : ""));
    return notes.length > 0 ? notes.join(", ") : say("hand_rests");
  };
  const upper = (/** @type {string} */ text) => text[0].toUpperCase() + text.slice(1);
  return `${upper(say("left_hand"))}: ${hand("left")}. ${upper(say("right_hand"))}: ${hand("right")}.`;
}

/** The mark of a key. @returns {SVGElement[]} */
function marks(/** @type {AskedKey | undefined} */ asked, /** @type {boolean} */ played, /** @type {number} */ x,
  /** @type {number} */ y, /** @type {number} */ radius, /** @type {boolean} */ black) {
  const thick = Math.max(2.2, radius * 0.2);
  const shape = (/** @type {number} */ half, /** @type {string} */ name, /** @type {number} */ width = 0) => {
    const style = width > 0 ? { "stroke-width": width } : {};
    if (asked?.hand !== "left") return svg("circle", { class: name, cx: x, cy: y, r: half, ...style });
    const side = half * 0.92;
    return svg("rect", { class: name, x: x - side, y: y - side, width: 2 * side, height: 2 * side, rx: 2, ...style });
  };
  if (!asked) return played ? [svg("circle", { class: black ? "ring light" : "ring", cx: x, cy: y, r: radius * 0.85, "stroke-width": thick * 1.25 })] : [];
  if (played) {
    const tick = `M${x - radius * 0.48} ${y + radius * 0.05}l${radius * 0.34} ${radius * 0.4} ${radius * 0.62} ${-radius * 0.86}`;
    return [shape(radius + thick * 1.7, "mark"), shape(radius + thick * 0.35, "ring", thick), svg("path", { class: "tick", d: tick, "stroke-width": Math.max(2, radius * 0.22) })];
  }
  const found = [shape(radius, black ? "mark edge" : "mark")];
  if (asked.finger) {
    found.push(svg("text", { x, y: y + radius * 0.46, "font-size": Math.max(11, radius * 1.3) }, String(asked.finger)));
  }
  return found;
}

/**
 * Draws the keyboard at the width that the element has; where it was drawn there with the same keys and size, only its marks.
 * @param {HTMLElement} place
 * @param {KeyboardPicture} picture
 */
export function draw_keyboard(place, picture) {
  const { low, high, felt = false, least = 84, most = 190 } = picture;
  const width = picture.width || place.clientWidth || 320;
  let count = 0;
  for (let midi = low; midi <= high; ++midi) if (!is_black(midi)) ++count;
  const white = width / count;
  const height = Math.round(Math.max(least, Math.min(most, white * 3.5)));
  const top = felt ? 4 : 0;
  const keys = `${low} ${high} ${width} ${height} ${top}`;
  const before = /** @type {SVGElement | null} */ (place.firstElementChild);
  /** @type {SVGElement} */
  const drawing = before?.dataset.keys === keys ? before : draw_keys(low, high, width, white, height, top);
  if (drawing !== before) {
    drawing.dataset.keys = keys;
    place.replaceChildren(drawing);
  }
  drawing.setAttribute("aria-label", picture.label ?? keys_in_words(picture.asked ?? []));
  mark_keys(drawing, picture, white, height, top);
  return drawing;
}

/** The share of the keyboard's height, and of a white key's width, that a black key has. */
const black_high = 0.6, black_wide = 0.62;

/**
 * The keys without marks.
 * @param {number} low
 * @param {number} high
 * @param {number} width
 * @param {number} white a white key's width
 * @param {number} height
 * @param {number} top of the keys, under the felt
 */
function draw_keys(low, high, width, white, height, top) {
  const drawing = svg("svg", { viewBox: `0 0 ${width} ${height}`, width, height, role: "img" });
  if (top > 0) drawing.append(svg("rect", { class: "felt", x: 0, y: 0, width, height: top }));
  const blacks = [];
  let edge = 0;
  for (let midi = low; midi <= high; ++midi) {
    if (is_black(midi)) {
      blacks.push(svg("rect", { class: "black", x: edge - (white * black_wide) / 2, y: top, width: white * black_wide, height: height * black_high, rx: 2, "data-midi": midi }));
    } else {
      drawing.append(svg("rect", { class: "white", x: edge + 0.5, y: top + 0.5, width: white - 1, height: height - top - 1, rx: 2.5, "data-midi": midi }));
      edge += white;
    }
  }
  drawing.append(...blacks, svg("g", { class: "signs" }));
  return drawing;
}

/**
 * What is asked and what is played.
 * @param {SVGElement} drawing
 * @param {KeyboardPicture} picture
 * @param {number} white a white key's width
 * @param {number} height
 * @param {number} top
 */
function mark_keys(drawing, picture, white, height, top) {
  const played = picture.played ?? new Set();
  const asked = new Map((picture.asked ?? []).map((key) => [key.midi, key]));
  const radius = Math.max(7.5, Math.min(white * 0.36, 17));
  const signs = [];
  let edge = 0;
  for (const key of drawing.querySelectorAll("[data-midi]")) key.classList.toggle("asked", asked.has(Number(key.getAttribute("data-midi"))));
  for (let midi = picture.low; midi <= picture.high; ++midi) {
    const own = asked.get(midi);
    if (is_black(midi)) {
      signs.push(...marks(own, played.has(midi), edge, top + height * black_high - radius * 1.35 - 4, radius, true));
      continue;
    }
    if (midi % 12 === 0 && white > 28 && !own && !played.has(midi)) {
      signs.push(svg("text", { class: "octave", x: edge + white / 2, y: height - 9 }, `C${midi / 12 - 1}`));
    }
    signs.push(...marks(own, played.has(midi), edge + white / 2, height - radius * 1.4 - 6, radius, false));
    edge += white;
  }
  drawing.lastElementChild?.replaceChildren(...signs);
}
