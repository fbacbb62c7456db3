// Writes what the npm package tonal says about chords, scales, keys and numerals, for reference_test.cpp to compare with.
// usage: npm ci && node write_table.mjs [FOLDER]      (default: beside this script)
// Its intervals, chord types, scales and keys are used, with well-formed names only; not its voicings.
import {mkdirSync, writeFileSync} from 'node:fs';
import {dirname, join} from 'node:path';
import {fileURLToPath} from 'node:url';
import {Chord, ChordType, Interval, Key, Note, Progression, Scale} from 'tonal';

const folder = process.argv[2] ?? dirname(fileURLToPath(import.meta.url));
mkdirSync(folder, {recursive: true});
const roots = 'C Db C# D Eb D# E F Gb F# G Ab G# A Bb A# B'.split(' ');
const majors = 'Cb Gb Db Ab Eb Bb F C G D A E B F# C#'.split(' ');
const minors = 'Ab Eb Bb F C G D A E B F# C# G# D# A#'.split(' ');

function write(name, format, rows) {
  const head = ['# source: npm tonal 6.4.3, MIT licence; written by write_table.mjs', '# row: ' + format];
  writeFileSync(join(folder, name), head.concat(rows.map((row) => row.join('\t'))).join('\n') + '\n');
}

// Chord types with their written forms and intervals, then the notes on every root.
const types = ChordType.all().filter((type) => type.aliases.some((alias) => alias !== ''));
write('chord_types.tsv', 'forms | intervals', types.map((type) => [
  type.aliases.filter((alias) => alias !== '' && !alias.includes(' ')).join(' '), type.intervals.join(' ')]));
write('chords.tsv', 'root | form | notes', types.flatMap((type) => roots.map((root) => {
  const form = type.aliases.find((alias) => alias !== '');
  return [root, form, type.intervals.map((interval) => Note.transpose(root, interval)).join(' ')];
})));

const scales = ['ionian', 'dorian', 'phrygian', 'lydian', 'mixolydian', 'aeolian', 'locrian', 'harmonic minor',
  'melodic minor', 'major pentatonic', 'minor pentatonic', 'minor blues', 'major blues'];
write('scales.tsv', 'tonic | scale | notes', scales.flatMap((name) => roots.map((root) =>
  [root, name, Scale.get(root + ' ' + name).notes.join(' ')])));

write('keys.tsv', 'tonic | mode | accidentals | scale | triads | sevenths', [
  ...majors.map((tonic) => {
    const key = Key.majorKey(tonic);
    return [tonic, 'major', key.alteration, key.scale.join(' '), key.triads.join(' '), key.chords.join(' ')];
  }),
  ...minors.map((tonic) => {
    const key = Key.minorKey(tonic);
    return [tonic, 'minor', key.alteration, key.natural.scale.join(' '), key.natural.triads.join(' '),
      key.natural.chords.join(' ')];
  })]);

const numerals = ['I', 'bII', 'ii', 'II', 'bIII', 'iii', 'III', 'IV', 'iv', '#IV', 'V', 'v', 'bVI', 'VI', 'vi', 'bVII',
  'VII', 'vii'].flatMap((degree) => ['', '7', 'maj7'].map((suffix) => degree + suffix))
  // A minor chord with a major seventh has no plain written form.
  .filter((numeral) => !/^[b#]*[iv].*maj7$/.test(numeral));
write('numerals.tsv', 'tonic | numeral | chord | notes', majors.flatMap((tonic) => numerals.map((numeral) => {
  // The package reads lower case as a degree alone; the m of a minor chord must be written.
  const lower = /^[b#]*[iv]/.test(numeral);
  const written = lower ? numeral.replace(/^([b#]*[iv]+)/, '$1m') : numeral;
  const symbol = Progression.fromRomanNumerals(tonic, [written])[0];
  return [tonic, numeral, symbol, Chord.get(symbol).notes.join(' ')];
})));

const steps = '1P 2m 2M 3m 3M 4P 4A 5d 5P 5A 6m 6M 7m 7M 8P 9m 9M 11P 13M'.split(' ');
const pitches = 'CDEFGAB'.split('').flatMap((letter) => ['bb', 'b', '', '#', '##'].map((sign) => letter + sign + '4'));
write('intervals.tsv', 'note | interval | note above | note below', pitches.flatMap((pitch) => steps.map((step) =>
  [pitch, step, Note.transpose(pitch, step), Note.transpose(pitch, Interval.get('-' + step).name)])));

// Names for notes, lowest first: common chords on two roots in every inversion.
const common = ['M', 'm', '7', 'maj7', 'm7', 'dim', 'aug', 'm7b5', 'dim7', '6', 'm6', 'sus4', 'sus2', '7sus4', '9', 'm9',
  'maj9', 'Madd9', '7b9', 'mMaj7'];
write('names.tsv', 'notes | names', ['C', 'F#'].flatMap((root) => common.flatMap((form) => {
  const notes = Chord.get(root + form).notes;
  return notes.map((_, turn) => {
    const turned = [...notes.slice(turn), ...notes.slice(0, turn)];
    return [turned.join(' '), Chord.detect(turned).join(' ')];
  });
})));
