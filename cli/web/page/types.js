// The shapes of what passes between the page and the program, for the checker of types; nothing here runs.

/** @typedef {{note: string, midi: number, finger?: number}} HandNote */
/**
 * A chord of the chart.
 * @typedef {{section: string, bar: number, beat: number, beats: number, symbol: string, root: string | null,
 *   numeral: string | null, right: HandNote[], left: HandNote[], line: number, column: number, width: number,
 *   held?: boolean, inversion: number, words?: string}} Chord
 */
/** @typedef {{name: string, bar: number, bars: number}} Section bar counts from 1 */
/** @typedef {{line: number, text: string, doubtful?: boolean, otherwise?: string}} SongNote */
/** @typedef {{message: string, hint?: string, line?: number, column?: number, width?: number}} Fault */
/**
 * @typedef {{regions?: {bar: number, key: string}[], cadences: {kind: string, bar: number}[],
 *   patterns: {id: string, bar: number, bars: number}[], remarks: {bar: number, kind: string, text: string}[],
 *   ideas: {kind: string, chords: string[], text: string}[],
 *   next?: {symbol: string, numeral: string, share: number, reason: string}[]}} Analysis
 */
/**
 * The answer to "song".
 * @typedef {{title?: string, chords: Chord[], bars: number, has_tune: boolean, sections: Section[], decisions: SongNote[],
 *   left_out: SongNote[], placed_key: string, meter: string, pulses: number, keys: string[], names: string[],
 *   styles: {id: string, feel: string}[], style: string, tempo: number, doubtful?: number[],
 *   analysis?: Analysis}} Song
 */
/**
 * The answer to "form".
 * @typedef {{style: string, tempo: number, meter: string, pulses: number, key: string,
 *   parts: {name: string, out: boolean}[], bars: {you: boolean, factor: number, pulses?: number, beats?: number}[]}} Form a bar
 *   without pulses (felt beats) and beats (of the lower number) has those of the meter
 */
/**
 * The answer to "tune": bars from 1 (0 is the upbeat), beats from 0; x in the units of `width`.
 * @typedef {{svg: string, width: number, notes: {bar: number, beat: number, x: number, wide: number, word: number}[],
 *   words: {bar: number, beat: number, text: string, joined: boolean}[], verses: number}} TuneLine
 */
/** @typedef {{from: number, to: number}} Region bars from 0; `to` is the bar after the last */
/** @typedef {{out?: boolean, gain?: number}} PartSetting */
/**
 * What is asked of the band. Settings never change; others take their place at a bar line.
 * @typedef {{text: string, mode: string, key: string, style: string, tempo: number, click: boolean, trade: number,
 *   hands: object, parts: Record<string, PartSetting>, hand: "left" | "both" | "right", listen: boolean, rise: number,
 *   once: boolean, wait: boolean, no_chords: boolean, loop: Region | null, tune?: unknown[]}} PlaySettings
 */
/**
 * A bar that sounds or will: `n` counts bars as they are heard, `number` as they were rendered. Times are seconds of the audio clock.
 * @typedef {{n: number, number: number, bar: number, round: number, frame: number, frames: number, at: number, until: number,
 *   tempo: number, settings: PlaySettings, song: Song, form: Form, kind: "count" | "bar" | "rest",
 *   request: object, gain_db: number,
 *   source: AudioBufferSourceNode | null, gain: GainNode | null}} TimedBar
 */
/** @typedef {{notes: number[][], length: number, tempo: number}} Heard */
/**
 * @typedef {{hidden: number[], text: string, asks?: string, solution?: string[], heard?: Heard}} Task
 */
/**
 * @typedef {{id: string, title: string, goal: string, steps: string[], easier?: string, harder?: string,
 *   listen?: string, caution?: string, words?: {word: string, means: string}[], chords?: string[], notes?: string[],
 *   rhythm?: {quarter: number, quarters: number}[], meter?: string, shapes?: {name: string, right: HandNote[],
 *   left: HandNote[]}[], tempo?: number, style?: string, key?: string, text?: string, task?: Task | null}} Exercise
 */
/** @typedef {{day: string, work: string}} Day */
/**
 * What the page was made with.
 * @typedef {{kind: "lesson" | "packet", text: string, title?: string, key?: string, mode?: string, style?: string, tempo?: number,
 *   hands?: object, levels?: object[], level?: number, student?: string, song?: string, sung?: string[], form?: unknown[], tune?: unknown[], words?: string[],
 *   missed?: string[], days?: Day[], exercise?: Exercise | null, task?: Task | null, id?: string}} PageData
 */
/**
 * A song of this browser.
 * @typedef {{id: string, title: string, text: string, key: string, style: string, tempo: number, mode: string,
 *   level: number, changed: number}} StoredSong
 */
/** @typedef {{at: number, midi: number, velocity: number, until: number}} PlayedNote seconds from the take's start */

export {};
