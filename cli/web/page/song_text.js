// The text of a song: its lines as the program reads them, and the changes that the page makes in them.

/** @typedef {import("./types.js").Chord} Chord */

/** The column of a character counts what the reader sees, not what JavaScript stores. @param {string} line */
const characters = (line) => [...line];

/**
 * Replaces a part of one line.
 * @param {string} text
 * @param {number} line from 1
 * @param {number} column from 1, in characters
 * @param {number} width in characters
 * @param {string} by
 */
export function replaced(text, line, column, width, by) {
  const lines = text.split("\n");
  const all = characters(lines[line - 1] ?? "");
  lines[line - 1] = all.slice(0, column - 1).join("") + by + all.slice(column - 1 + width).join("");
  return lines.join("\n");
}

/** @param {string} text @param {number} line @param {number} column @param {number} width */
export const part_of = (text, line, column, width) => characters(text.split("\n")[line - 1] ?? "").slice(column - 1, column - 1 + width).join("");

/**
 * Replaces the chords of a bar, where they stand in the text in one piece.
 * @param {string} text
 * @param {Chord[]} chords of the bar
 * @param {string} by
 * @returns {string | null} null where they do not
 */
export function with_bar(text, chords, by) {
  const placed = chords.filter((chord) => chord.line > 0);
  const first = placed[0];
  const last = placed.at(-1);
  if (!first || !last || first.line !== last.line || placed.length !== chords.length) return null;
  const width = last.column + last.width - first.column;
  if (width <= 0) return null;
  return replaced(text, first.line, first.column, width, by);
}

/** The text of a bar as it was written. @param {string} text @param {Chord[]} chords */
export function bar_text(text, chords) {
  const [first, last] = [chords[0], chords.at(-1)];
  if (!first || !last || first.line === 0 || first.line !== last.line) return chords.map((chord) => chord.symbol).join(" ");
  return part_of(text, first.line, first.column, last.column + last.width - first.column);
}

/** A line under a line of bars: its tune, or the syllables of that. @param {string} line */
const is_under_bars = (line) => /^\s*(tune|melody|words|lyrics|w)\s*:/i.test(line);

/** Puts a bar behind the last one. @param {string} text @param {string} symbol */
export function with_next(text, symbol) {
  const end = text.trimEnd();
  const lines = end.split("\n");
  const last = lines.at(-1) ?? "";
  if (is_under_bars(last)) return `${end}\n| ${symbol} |`;
  if (!last.includes("|")) return `${end} ${symbol}`.trim();
  const bars = last.split("|").filter((bar) => bar.trim()).length;
  const closed = last.trimEnd().endsWith("|");
  if (bars >= 4) return `${end}\n| ${symbol} |`;
  return closed ? `${end} ${symbol} |` : `${end} | ${symbol} |`;
}

/**
 * Sets a line of the head ("title", "key", "meter", "tempo"), or takes it away.
 * @param {string} text
 * @param {string} name
 * @param {string} value
 */
export function with_header(text, name, value) {
  const lines = text.split("\n");
  const place = lines.findIndex((line) => line.toLowerCase().startsWith(`${name}:`));
  if (place >= 0) lines.splice(place, 1, ...(value ? [`${name}: ${value}`] : []));
  else if (value) lines.unshift(`${name}: ${value}`);
  return lines.join("\n");
}

/** @param {string} text @param {string} name @returns {string} "" if there is none */
export function header_of(text, name) {
  const line = text.split("\n").find((each) => each.toLowerCase().startsWith(`${name}:`));
  return line ? line.slice(name.length + 1).trim() : "";
}

/**
 * The bar, from 1, that a place of the text is in, counting bar lines; 0 where no bar line is written.
 * @param {string} text
 * @param {number} line
 * @param {number} column
 */
export function bar_at(text, line, column) {
  let bar = 0;
  text.split("\n").slice(0, line).forEach((each, place) => {
    if (!each.includes("|") || is_under_bars(each)) return;
    const upto = place === line - 1 ? characters(each).slice(0, column - 1).join("") : each;
    const pieces = upto.split("|");
    const inside = pieces.slice(1, place === line - 1 ? undefined : -1).filter((piece, i, all) => piece.trim() || i === all.length - 1);
    bar += place === line - 1 ? Math.max(1, inside.length) : each.split("|").filter((piece) => piece.trim()).length;
  });
  return bar;
}

/** The comments that name doubtful bars, as places of the text. @param {string} text @returns {import("./editor.js").Mark[]} */
export const doubt_marks = (text) => text.split("\n").flatMap((line, place) => {
  const found = /# \? bars? [\d, ]*\d/.exec(line);
  return found ? [{ line: place + 1, column: characters(line.slice(0, found.index)).length + 1, width: found[0].length, kind: "dec" }] : [];
});

/** The nearest right words that the program's hint proposes. @param {string | undefined} hint */
export function proposals(hint) {
  const found = /did you mean ([^?]+)\?/.exec(hint ?? "");
  return found ? found[1].split(/,| or /).map((each) => each.trim().replace(/^"|"$/g, "")).filter(Boolean).slice(0, 3) : [];
}
