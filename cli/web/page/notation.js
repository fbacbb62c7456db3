// Chord symbols and keys as they are printed and as they are spoken, in the page's language.
import { make } from "./dom.js";
import { language } from "./words.js";

const german = language === "de";

/**
 * @typedef {{letter: string, accidental: string, minor: boolean, figures: string, bass: string, bass_accidental: string}} Symbol
 * @param {string} symbol as the program writes it: "Bbmaj7/D"
 * @returns {Symbol | null}
 */
export function parse_symbol(symbol) {
  const found = /^([A-G])(bb|##|b|#)?([^/]*(?:\/9)?[^/]*)(?:\/([A-G])(bb|##|b|#)?)?$/.exec(symbol);
  if (!found) return null;
  const [, letter, accidental = "", quality, bass = "", bass_accidental = ""] = found;
  const minor = /^m(?!aj)/.test(quality);
  return { letter, accidental, minor, figures: minor ? quality.slice(1) : quality, bass, bass_accidental };
}

/** German names: H for B, B for B flat. @param {string} letter @param {string} accidental */
function in_language(letter, accidental) {
  if (!german || letter !== "B") return [letter, accidental];
  if (accidental === "b") return ["B", ""];
  return ["H", accidental];
}

/** @param {string} text with b and # as accidentals only */
export const with_signs = (text) => text.replaceAll("##", "𝄪").replaceAll("#", "♯").replaceAll("b", "♭");

/** @type {Record<string, string>} */
const spoken_signs = german
  ? { "": "", b: "-Be", "#": "-Kreuz", bb: "-Doppel-Be", "##": "-Doppelkreuz" }
  : { "": "", b: " flat", "#": " sharp", bb: " double flat", "##": " double sharp" };
/** @type {[RegExp, string][]} */
const spoken_figures = german
  ? [[/maj/, " groß "], [/dim|o/, " vermindert "], [/ø/, " halbvermindert "], [/aug|\+/, " übermäßig "], [/sus/, " sus "], [/add/, " plus "]]
  : [[/maj/, " major "], [/dim|o/, " diminished "], [/ø/, " half-diminished "], [/aug|\+/, " augmented "], [/sus/, " suspended "], [/add/, " add "]];

/** @param {string} letter @param {string} accidental */
function spoken_note(letter, accidental) {
  const [own, sign] = in_language(letter, accidental);
  return own + spoken_signs[sign];
}

/** "C minor 7", "B flat over D". @param {string} symbol */
export function spoken(symbol) {
  const parts = parse_symbol(symbol);
  if (!parts) return symbol;
  let figures = parts.figures.replace(/b(?=\d)/g, " flat ").replace(/#(?=\d)/g, " sharp ");
  for (const [sign, word] of spoken_figures) figures = figures.replace(sign, word);
  const minor = parts.minor ? (german ? " Moll" : " minor") : "";
  const over = parts.bass ? (german ? " über " : " over ") + spoken_note(parts.bass, parts.bass_accidental) : "";
  return `${spoken_note(parts.letter, parts.accidental)}${minor} ${figures}${over}`.replace(/\s+/g, " ").trim();
}

/** The symbol as plain text with real signs, for titles and labels. @param {string} symbol */
export function printed(symbol) {
  const parts = parse_symbol(symbol);
  if (!parts) return symbol;
  const [letter, accidental] = in_language(parts.letter, parts.accidental);
  const [bass, bass_accidental] = in_language(parts.bass, parts.bass_accidental);
  const over = parts.bass ? `/${bass}${with_signs(bass_accidental)}` : "";
  return `${letter}${with_signs(accidental)}${parts.minor ? "m" : ""}${figures_of(parts)}${over}`;
}

/** @param {Symbol} parts */
const figures_of = (parts) => parts.figures.replace(/b(?=\d)/g, "♭").replace(/#(?=\d)/g, "♯").replace(/dim/, "°");

/** @param {string} accidental */
const sign = (accidental) => (accidental ? make("span.a", {}, with_signs(accidental)) : null);

/** About how wide a symbol is printed, in ems, rather too much than too little. @param {string} symbol */
export function breadth(symbol) {
  const parts = parse_symbol(symbol);
  if (!parts) return 0.7 * symbol.length;
  const note = (/** @type {string} */ accidental) => 0.75 + 0.35 * accidental.length;
  return note(parts.accidental) + (parts.minor ? 0.6 : 0) + 0.36 * parts.figures.length + (parts.bass ? 0.3 + note(parts.bass_accidental) : 0);
}

/**
 * A chord symbol as musicians print it, with its spoken words for a screen reader.
 * @param {string} symbol
 */
export function chord_symbol(symbol) {
  const parts = parse_symbol(symbol);
  if (!parts) return make("span.ch", {}, symbol === "N.C." ? "–" : symbol);
  const [letter, accidental] = in_language(parts.letter, parts.accidental);
  const shown = make("span", { "aria-hidden": "true" }, letter, sign(accidental));
  if (parts.minor) shown.append(make("span.m", {}, "m"));
  if (parts.figures) {
    const figures = make("span.q");
    for (const piece of figures_of(parts).split(/([♭♯])/)) figures.append(/[♭♯]/.test(piece) ? make("span.a", {}, piece) : piece);
    shown.append(figures);
  }
  if (parts.bass) {
    const [bass, bass_accidental] = in_language(parts.bass, parts.bass_accidental);
    shown.append(make("span.b", {}, make("span.sl", {}, "/"), bass, sign(bass_accidental)));
  }
  return make("span.ch", {}, shown, make("span.vh", {}, spoken(symbol)));
}

/** Text in which chords stand in braces: "Make it {Dm}". @param {string} text @returns {(string | HTMLElement)[]} */
export const with_chords = (text) => text.split(/\{([^}]+)\}/).map((piece, place) => (place % 2 ? chord_symbol(piece) : piece));

/** A sentence of the program with real signs in its note and chord names. @param {string} text */
export const signed = (text) => text.replace(/\b([A-G])(bb|##|b|#)(?=$|[^A-Za-z]|m\b|m\d|maj|dim|aug|sus|add)/g, (_, letter, sign) => letter + with_signs(sign));

/** A numeral with real signs and raised figures. @param {string} numeral */
export function numeral_symbol(numeral) {
  const found = /^([b#]*)([ivIV]+)(.*)$/.exec(numeral);
  if (!found) return make("span", {}, numeral);
  const [, accidental, degree, rest] = found;
  const [figures, of] = rest.split(/\/(?=[b#]*[ivIV])/);
  const shown = make("span", {}, sign(accidental), degree);
  if (figures) shown.append(make("sup", {}, figures.replace("o", "°").replace(/b(?=\d)/g, "♭").replace(/#(?=\d)/g, "♯")));
  if (of) shown.append(make("span", {}, "/", sign(of.match(/^[b#]*/)?.[0] ?? ""), of.replace(/^[b#]*/, "")));
  return shown;
}

/** @type {Record<string, string>} */
const german_modes = {
  major: "Dur", minor: "Moll", dorian: "dorisch", phrygian: "phrygisch", lydian: "lydisch", mixolydian: "mixolydisch",
  locrian: "lokrisch",
};

/** Es, As, Fis, H, B. @param {string} letter @param {string} accidental */
function german_tone(letter, accidental) {
  if (letter === "B") return accidental === "b" ? "B" : accidental === "#" ? "His" : "H";
  if (accidental === "#") return `${letter}is`;
  if (accidental === "b") return letter === "E" || letter === "A" ? `${letter}s` : `${letter}es`;
  return letter;
}

/** @param {string} key "Eb major" @returns {{tonic: string, mode: string, whole: string}} to show */
export function key_name(key) {
  const [tonic, mode = "major"] = key.split(" ");
  const [letter, accidental] = [tonic[0], tonic.slice(1)];
  if (german) {
    const tone = german_tone(letter, accidental);
    const name = mode === "minor" ? tone[0].toLowerCase() + tone.slice(1) : tone;
    return { tonic: name, mode: german_modes[mode] ?? mode, whole: `${name}-${german_modes[mode] ?? mode}` };
  }
  const shown = letter + with_signs(accidental);
  return { tonic: shown, mode, whole: `${shown} ${mode}` };
}

/** Semitones above C. @param {string} name "Eb" */
export function pitch_class(name) {
  const letter = [0, 2, 4, 5, 7, 9, 11]["CDEFGAB".indexOf(name[0])];
  const accidental = name.slice(1);
  return (letter + (accidental[0] === "b" ? -accidental.length : accidental.length) + 24) % 12;
}

/** "E flat 4" for MIDI number 63 as Eb; the octave is that of the letter. @param {string} name @param {number} midi */
export function spoken_key(name, midi) {
  const accidental = name.slice(1);
  const alteration = accidental.startsWith("b") ? -accidental.length : accidental.length;
  return `${spoken_note(name[0], accidental)} ${Math.floor((midi - alteration) / 12) - 1}`;
}
/** @param {string} note "Eb4" */
export const spoken_pitch = (note) => spoken_note(note[0], note.slice(1).replace(/-?\d+$/, ""));
