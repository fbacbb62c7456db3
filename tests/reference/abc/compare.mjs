// Reads tunes in ABC (the songs here, invented) with abcjs (npm, MIT, a general-purpose reader of that notation) and with
// the program, and compares every note and rest of the bars: letter, octave, accidental, length, tie, and what each verse
// sings there.
// usage: node compare.mjs PROGRAM
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import abcjs from 'abcjs';
import { child, children, readXml, textOf } from '../verovio/xml.mjs';

const here = dirname(fileURLToPath(import.meta.url));
const letters = 'CDEFGAB';
const alterations = { natural: 0, sharp: 1, flat: -1, dblsharp: 2, dblflat: -2 };

/// Lengths are in 1/96 of a whole note.
const noteLine = (pitch, length, tied, sung) => `${pitch} ${length}${tied ? ' tied' : ''}${sung.map((each, verse) => ` ${verse + 1}:${each}`).join('')}`;

/// What abcjs makes of a tune.
function byAbcjs(text) {
  const [tune] = abcjs.parseOnly(text);
  if (tune.warnings) throw new Error(tune.warnings.join('; '));
  const bars = [[]];
  let inKey = {};
  let inBar = {};
  let triplet = 0;
  let tied = null;
  for (const line of tune.lines) {
    if (!line.staff) continue;
    const [staff] = line.staff;
    inKey = Object.fromEntries(staff.key.accidentals.map(({ acc, note }) => [note.toUpperCase(), alterations[acc]]));
    for (const each of staff.voices[0]) {
      if (each.el_type === 'bar') {
        if (bars.at(-1).length > 0) bars.push([]);
        inBar = {};
      }
      if (each.el_type !== 'note') continue;
      if (each.startTriplet) triplet = each.startTriplet;
      const length = Math.round(each.duration * 96 * (triplet ? 2 / 3 : 1));
      if (each.endTriplet) triplet = 0;
      const sung = (each.lyric ?? []).map(({ syllable }) => syllable.trim());
      while (sung.at(-1) === '') sung.pop();
      if (each.rest) {
        bars.at(-1).push(noteLine('rest', length, false, []));
        continue;
      }
      const [{ pitch, accidental, startTie }] = each.pitches;
      const letter = letters[((pitch % 7) + 7) % 7];
      const octave = 4 + Math.floor(pitch / 7);
      if (accidental) inBar[letter + octave] = alterations[accidental];
      const alteration = inBar[letter + octave] ?? inKey[letter] ?? 0;
      const name = `${letter}${octave} ${alteration}`;
      if (tied && tied.name === name && tied.bar === bars.length) {
        // One note inside a bar, as an engraver would write it.
        tied.length += length;
        bars.at(-1)[bars.at(-1).length - 1] = noteLine(name, tied.length, Boolean(startTie), tied.sung);
        if (!startTie) tied = null;
        continue;
      }
      bars.at(-1).push(noteLine(name, length, Boolean(startTie), sung));
      tied = startTie ? { name, length, sung, bar: bars.length } : null;
    }
  }
  return bars.filter((bar) => bar.length > 0);
}

/// What the program made of it, in the MusicXML of its lead sheet.
function byTheProgram(program, path, folder) {
  const file = join(folder, 'tune.musicxml');
  execFileSync(program, ['chart', path, '--out', file, '--quiet'], { stdio: ['ignore', 'ignore', 'inherit'] });
  const part = child(child(readXml(readFileSync(file, 'utf8')), 'score-partwise'), 'part');
  let divisions = 1;
  const bars = [];
  for (const measure of children(part, 'measure')) {
    const bar = [];
    for (const node of measure.children) {
      if (node.name === 'attributes' && child(node, 'divisions')) divisions = Number(textOf(node, 'divisions'));
      if (node.name !== 'note') continue;
      const length = Math.round((Number(textOf(node, 'duration')) / divisions) * 24);
      if (child(node, 'rest')) {
        bar.push(noteLine('rest', length, false, []));
        continue;
      }
      const pitch = `${textOf(node, 'pitch', 'step')}${textOf(node, 'pitch', 'octave')} ${Number(textOf(node, 'pitch', 'alter') || 0)}`;
      const sung = [];
      for (const lyric of children(node, 'lyric')) {
        const verse = Number(lyric.attributes.number ?? 1) - 1;
        while (sung.length < verse) sung.push('');
        sung[verse] = textOf(lyric, 'text');
      }
      bar.push(noteLine(pitch, length, children(node, 'tie').some((tie) => tie.attributes.type === 'start'), sung));
    }
    bars.push(bar);
  }
  return bars;
}

const [program] = process.argv.slice(2);
const folder = mkdtempSync(join(tmpdir(), 'romanesca-abc-'));
let bad = 0;
let notes = 0;
try {
  for (const name of readdirSync(join(here, 'songs')).sort()) {
    const path = join(here, 'songs', name);
    const wanted = byAbcjs(readFileSync(path, 'utf8'));
    const got = byTheProgram(program, path, folder);
    for (let bar = 0; bar < Math.max(wanted.length, got.length); ++bar) {
      const [left, right] = [wanted[bar] ?? [], got[bar] ?? []].map((each) => each.join(' | '));
      notes += wanted[bar]?.length ?? 0;
      if (left === right) continue;
      ++bad;
      console.error(`${name}, bar ${bar + 1}:\n  abcjs    ${left}\n  program  ${right}`);
    }
  }
} finally {
  rmSync(folder, { recursive: true });
}
if (bad > 0 || notes === 0) {
  console.error(`${bad} bars differ.`);
  process.exit(1);
}
console.log(`${notes} notes of ABC are read like abcjs reads them.`);
