// Pictures of a keyboard: circles for the right hand, squares for the left, with the fingers on them.
"use strict";

const svg_name = "http://www.w3.org/2000/svg";
function svg(name, attributes, ...children) {
  const made = document.createElementNS(svg_name, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.append(...children);
  return made;
}

const is_black = (midi) => [1, 3, 6, 8, 10].includes(midi % 12);
const white_keys_below = (midi) => Math.floor(midi / 12) * 7 + [0, 1, 1, 2, 2, 3, 4, 4, 5, 5, 6, 6][midi % 12];
const white_width = 26;

// The smallest range from a C or F up to an E or B that holds these notes.
function range_of(notes) {
  let low = Math.min(...notes);
  let high = Math.max(...notes);
  while (low % 12 !== 0 && low % 12 !== 5) --low;
  while (high % 12 !== 4 && high % 12 !== 11) ++high;
  return [low, high];
}

function key_shape(midi, low) {
  const edge = white_width * (white_keys_below(midi) - white_keys_below(low));
  return is_black(midi) ? { x: edge - 8, width: 16, height: 62 } : { x: edge, width: white_width, height: 100 };
}

function keyboard(low, high, label) {
  const width = white_width * (white_keys_below(high) - white_keys_below(low) + 1);
  const picture = svg("svg", { class: "keyboard", viewBox: `-1 -1 ${width + 2} 102`, width: width + 2, height: 102 });
  picture.setAttribute("role", "img");
  picture.setAttribute("aria-label", label);
  for (const black of [false, true]) {
    for (let midi = low; midi <= high; ++midi) {
      if (is_black(midi) !== black) continue;
      const shape = key_shape(midi, low);
      picture.append(svg("rect", { ...shape, y: 0, class: black ? "black" : "white", "data-midi": midi }));
    }
  }
  return picture;
}

function draw_note(picture, low, note, hand) {
  const shape = key_shape(note.midi, low);
  const x = shape.x + shape.width / 2;
  const y = is_black(note.midi) ? 46 : 84;
  const half = is_black(note.midi) ? 8 : 11;
  picture.append(
    hand === "right"
      ? svg("circle", { cx: x, cy: y, r: half, class: "right" })
      : svg("rect", { x: x - half, y: y - half, width: 2 * half, height: 2 * half, class: "left" }),
    svg("text", { x, y: y + 4.5, class: `on-${hand}`, "text-anchor": "middle" }, note.finger ? String(note.finger) : ""),
  );
}

const in_words = (notes) => notes.map((n) => n.note + (n.finger ? ` finger ${n.finger}` : "")).join(", ");

function chord_keyboard(chord) {
  const notes = [...chord.left, ...chord.right].map((n) => n.midi);
  if (notes.length === 0) return document.createElement("span");
  const [low, high] = range_of(notes);
  const label = `${chord.symbol}: left hand ${in_words(chord.left)}; right hand ${in_words(chord.right)}`;
  const picture = keyboard(low, high, label);
  for (const note of chord.left) draw_note(picture, low, note, "left");
  for (const note of chord.right) draw_note(picture, low, note, "right");
  return picture;
}

// A keyboard to play by touch, by mouse, or with the arrow keys and Enter.
function playable_keyboard(low, high, play) {
  const picture = keyboard(low, high, "Keyboard to play on; arrow keys move, Enter sounds");
  picture.setAttribute("role", "group");
  picture.classList.add("playable");
  const keys = [...picture.querySelectorAll("rect")];
  keys.sort((a, b) => a.dataset.midi - b.dataset.midi);
  keys.forEach((key, place) => {
    key.setAttribute("role", "button");
    key.setAttribute("tabindex", place === 0 ? "0" : "-1");
    key.addEventListener("pointerdown", () => play(Number(key.dataset.midi)));
    key.addEventListener("keydown", (event) => {
      const to = { ArrowRight: place + 1, ArrowLeft: place - 1, Home: 0, End: keys.length - 1 }[event.key];
      if (event.key === "Enter" || event.key === " ") play(Number(key.dataset.midi));
      else if (to === undefined || !keys[to]) return;
      else {
        key.setAttribute("tabindex", "-1");
        keys[to].setAttribute("tabindex", "0");
        keys[to].focus();
      }
      event.preventDefault();
    });
  });
  return picture;
}

function light(picture, midi) {
  const lit = new Set(midi);
  for (const key of picture.querySelectorAll("rect[data-midi]")) key.classList.toggle("lit", lit.has(Number(key.dataset.midi)));
}
