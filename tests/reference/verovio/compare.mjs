// Reads the program's MusicXML with verovio (npm, a general-purpose engraver, LGPL) and compares what it understood with
// the file: pitches, note values, dots, tuplets, ties, fingers, chord symbols, words sung and written, section marks, bar
// lines, repeats and endings. An element that this script does not know is a failure, so that nothing is left out.
// usage: node compare.mjs PROGRAM [SONG...]      without songs: the library in its own key, and the songs here
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { VerovioToolkit } from 'verovio/esm';
import createVerovioModule from 'verovio/wasm';
import { below, child, children, readXml, textOf, wholeText } from './xml.mjs';

const here = dirname(fileURLToPath(import.meta.url));
const values = { whole: '1', half: '2', quarter: '4', eighth: '8', '16th': '16', '32nd': '32', '64th': '64', '128th': '128', '256th': '256' };
const alterations = { s: 1, f: -1, n: 0, x: 2, ss: 2, ff: -2, '': 0 };

let hiddenRoots = 0;

function expectKnown(node, names, where) {
  for (const each of node.children) {
    if (!names.includes(each.name)) throw new Error(`${where}: this script does not know <${each.name}>`);
  }
}

/// What a measure of MusicXML holds, as lines of text that can be compared.
function measureOfMusicXml(measure, state) {
  const lines = [];
  expectKnown(measure, ['attributes', 'barline', 'backup', 'direction', 'harmony', 'note'], `measure ${measure.attributes.number}`);
  for (const node of measure.children) {
    if (node.name === 'barline') {
      expectKnown(node, ['bar-style', 'repeat', 'ending'], 'barline');
      const repeat = child(node, 'repeat');
      if (repeat) lines.push(`repeat ${repeat.attributes.direction}`);
      const ending = child(node, 'ending');
      if (ending && ending.attributes.type === 'start') state.ending = ending.attributes.number;
      if (!repeat && node.attributes.location === 'right') lines.push(`line ${textOf(node, 'bar-style')}`);
      state.closes = ending && ending.attributes.type !== 'start';
    } else if (node.name === 'attributes') {
      expectKnown(node, ['divisions', 'key', 'time', 'staves', 'clef'], 'attributes');
      if (child(node, 'key')) lines.push(`key ${textOf(node, 'key', 'fifths')}`);
      if (child(node, 'time')) lines.push(`meter ${textOf(node, 'time', 'beats')}/${textOf(node, 'time', 'beat-type')}`);
    } else if (node.name === 'direction') {
      expectKnown(node, ['direction-type', 'staff', 'sound'], 'direction');
      const type = child(node, 'direction-type').children[0];
      if (type.name === 'words') lines.push(`written ${type.text.trim()}`);
      else if (type.name === 'rehearsal') lines.push(`section ${type.text.trim()}`);
      else if (type.name === 'metronome') lines.push(`tempo ${textOf(type, 'beat-unit')}${child(type, 'beat-unit-dot') ? '.' : ''} ${textOf(type, 'per-minute')}`);
      else throw new Error(`this script does not know the direction <${type.name}>`);
    } else if (node.name === 'harmony') {
      const root = textOf(node, 'root', 'root-step');
      const kind = textOf(node, 'kind');
      // verovio 6.3.0 shows the root that stands hidden (text="") in the chord symbol of silence.
      if (kind === 'none') ++hiddenRoots;
      lines.push(`chord ${kind === 'none' ? root : root + sign(textOf(node, 'root', 'root-alter'))}${child(node, 'bass') ? '/' + textOf(node, 'bass', 'bass-step') + sign(textOf(node, 'bass', 'bass-alter')) : ''}`);
    } else if (node.name === 'note') {
      expectKnown(node, ['chord', 'pitch', 'rest', 'duration', 'tie', 'voice', 'type', 'dot', 'accidental', 'time-modification', 'staff', 'notations', 'lyric'], 'note');
      if (child(node, 'rest')?.attributes.measure) {
        lines.push(`staff ${textOf(node, 'staff')}: rest for the bar`);
        continue;
      }
      const tuplet = child(node, 'time-modification');
      const value = values[textOf(node, 'type')] + '.'.repeat(children(node, 'dot').length) +
        (tuplet ? ` ${textOf(tuplet, 'actual-notes')}:${textOf(tuplet, 'normal-notes')}` : '');
      const pitch = child(node, 'pitch');
      const name = pitch ? textOf(pitch, 'step').toLowerCase() + textOf(pitch, 'octave') + ' ' + (textOf(pitch, 'alter') || '0') : 'rest';
      lines.push(`staff ${textOf(node, 'staff')}: ${name} ${value}`);
      for (const tie of children(node, 'tie')) if (tie.attributes.type === 'start') lines.push(`staff ${textOf(node, 'staff')}: tie from ${name}`);
      const finger = textOf(node, 'notations', 'technical', 'fingering');
      if (finger) lines.push(`finger ${finger}`);
      for (const lyric of children(node, 'lyric')) lines.push(`sung ${textOf(lyric, 'text')}`);
    }
  }
  if (state.ending) lines.push(`ending ${state.ending}`);
  if (state.closes) state.ending = '';
  state.closes = false;
  return lines;
}

const sign = (alter) => ({ '-2': '\u{1D12B}', '-1': '♭', 0: '', 1: '♯', 2: '\u{1D12A}', '': '' })[alter];

function measureOfMei(measure, ending, tieStarts, first) {
  const lines = [];
  for (const staff of children(measure, 'staff')) {
    const walk = (node, tuplet, chord) => {
      for (const each of node.children) {
        const a = each.attributes;
        if (each.name === 'tuplet') walk(each, ` ${a.num}:${a.numbase}`, null);
        else if (['beam', 'layer'].includes(each.name)) walk(each, tuplet, null);
        else if (each.name === 'chord') walk(each, tuplet, a);
        else if (each.name === 'mRest') lines.push(`staff ${staff.attributes.n}: rest for the bar`);
        else if (each.name === 'rest') lines.push(`staff ${staff.attributes.n}: rest ${a.dur}${'.'.repeat(Number(a.dots ?? 0))}${tuplet}`);
        else if (each.name === 'note') {
          const from = chord ?? a;
          const accid = child(each, 'accid')?.attributes ?? {};
          const alter = alterations[accid['accid.ges'] ?? accid.accid ?? a['accid.ges'] ?? a.accid ?? ''];
          const name = `${a.pname}${a.oct} ${alter}`;
          lines.push(`staff ${staff.attributes.n}: ${name} ${from.dur}${'.'.repeat(Number(from.dots ?? 0))}${tuplet}`);
          if (tieStarts.has(a['xml:id']) || /^[im]/.test(a.tie ?? '')) lines.push(`staff ${staff.attributes.n}: tie from ${name}`);
          for (const verse of below(each, 'verse')) lines.push(`sung ${wholeText(child(verse, 'syl')).trim()}`);
        } else if (each.name === 'verse') lines.push(`sung ${wholeText(child(each, 'syl')).trim()}`);
        else if (!['artic', 'dots', 'accid'].includes(each.name)) throw new Error(`this script does not know MEI's <${each.name}>`);
      }
    };
    walk(staff, '', null);
  }
  for (const each of measure.children) {
    const text = wholeText(each).replace(/\s+/g, ' ').trim();
    if (each.name === 'harm') lines.push(`chord ${text}`);
    else if (each.name === 'dir') lines.push(`written ${text}`);
    else if (each.name === 'reh') lines.push(`section ${text}`);
    else if (each.name === 'fing') lines.push(`finger ${text}`);
    else if (each.name === 'tempo') lines.push(`tempo ${each.attributes['mm.unit'] ?? ''}${'.'.repeat(Number(each.attributes['mm.dots'] ?? 0))} ${each.attributes.mm ?? text}`);
    else if (!['staff', 'mNum', 'tie', 'tupletSpan', 'beamSpan'].includes(each.name)) throw new Error(`this script does not know MEI's <${each.name}> in a measure`);
  }
  const { left, right } = measure.attributes;
  if (left === 'rptstart') lines.push('repeat forward');
  if (right === 'rptend') lines.push('repeat backward');
  else if (right === 'rptboth') lines.push('repeat backward', 'repeat forward');
  else if (right === 'dbl') lines.push('line light-light');
  else if (right === 'end') lines.push('line light-heavy');
  if (ending) lines.push(`ending ${ending}`);
  return [...first, ...lines];
}

/// Tempo and the exact letters of a chord's suffix are written differently by both; they are brought to one form.
function normal(line) {
  if (line.startsWith('tempo ')) return line.replace(/quarter/, '4').replace(/half/, '2').replace(/eighth/, '8').replace(/(\.\d*?)0+$/, '$1');
  if (!line.startsWith('chord ')) return line;
  const text = line.slice(6).replaceAll('b', '♭').replaceAll('#', '♯');
  const root = text.match(/^[A-G][♭♯]*/)?.[0] ?? text;
  const bass = text.match(/\/([A-G][♭♯]*)$/)?.[1];
  return `chord ${root}${bass ? '/' + bass : ''}`;
}

function compare(toolkit, xml, what) {
  if (!toolkit.loadData(xml)) throw new Error(`${what}: verovio cannot read it`);
  const mei = readXml(toolkit.getMEI());
  const tieStarts = new Set(below(mei, 'tie').map((tie) => tie.attributes.startid?.slice(1)));
  const read = [];
  const collect = (node, ending, waiting) => {
    for (const each of node.children) {
      if (each.name === 'scoreDef') {
        const key = below(each, 'keySig')[0]?.attributes.sig;
        const meter = below(each, 'meterSig')[0]?.attributes;
        if (key !== undefined) waiting.push(`key ${key === '0' ? 0 : key.endsWith('s') ? parseInt(key, 10) : -parseInt(key, 10)}`);
        if (meter) waiting.push(`meter ${meter.count}/${meter.unit}`);
      } else if (each.name === 'measure') {
        read.push(measureOfMei(each, ending, tieStarts, waiting.splice(0)));
      } else {
        collect(each, each.name === 'ending' ? each.attributes.n : ending, waiting);
      }
    }
  };
  collect(below(mei, 'score')[0], '', []);
  const state = { ending: '', closes: false };
  const written = below(readXml(xml), 'measure').map((measure) => measureOfMusicXml(measure, state));
  if (written.length !== read.length) throw new Error(`${what}: ${written.length} measures written, ${read.length} read`);
  let facts = 0;
  written.forEach((lines, i) => {
    const ours = lines.map(normal).sort();
    const theirs = read[i].map(normal).sort();
    facts += ours.length;
    if (ours.join('\n') === theirs.join('\n')) return;
    const only = (a, b) => a.filter((line) => !b.includes(line)).join('; ') || '(the same, in another number)';
    throw new Error(`${what}, measure ${i + 1}:\n  written: ${only(ours, theirs)}\n  read:    ${only(theirs, ours)}`);
  });
  return facts;
}

const [program, ...given] = process.argv.slice(2);
if (!program) throw new Error('usage: node compare.mjs PROGRAM [SONG...]');
const run = (...words) => execFileSync(program, words, { encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] });
const songs = given.length > 0 ? given : [
  ...JSON.parse(run('progressions', '--json')).progressions.map((each) => each.id),
  ...readdirSync(join(here, 'songs')).map((name) => join(here, 'songs', name)),
];
const folder = mkdtempSync(join(tmpdir(), 'verovio-'));
const toolkit = new VerovioToolkit(await createVerovioModule());
let facts = 0;
let wrong = 0;
for (const song of songs) {
  const file = join(folder, 'song.musicxml');
  try {
    run('chart', song, '--out', file);
    facts += compare(toolkit, readFileSync(file, 'utf8'), song);
  } catch (error) {
    ++wrong;
    console.error(error.message);
  }
}
rmSync(folder, { recursive: true });
console.log(`${songs.length} songs, ${facts} facts compared, ${wrong} songs differ; ${hiddenRoots} times "N.C." was read as its hidden root`);
process.exit(wrong > 0 ? 1 : 0);
