// What this browser keeps: songs, settings, ticks. Where it keeps nothing, the page works all the same.

const prefix = "romanesca.";

/** @type {Map<string, string>} */
const memory = new Map(); // where the browser refuses
let refused = false;

/** Whether what is kept is still there tomorrow. */
export const keeps = () => !refused;

/** @template T @param {string} name @param {T} fallback @returns {T} */
export function recall(name, fallback) {
  try {
    const text = memory.get(name) ?? localStorage.getItem(prefix + name);
    return text === null || text === undefined ? fallback : JSON.parse(text);
  } catch {
    return fallback;
  }
}

/** @param {string} name @param {unknown} value */
export function remember(name, value) {
  const text = JSON.stringify(value);
  try {
    localStorage.setItem(prefix + name, text);
    memory.delete(name);
  } catch {
    refused = true;
    memory.set(name, text);
  }
}

/** @typedef {import("./types.js").StoredSong} StoredSong */

/** @returns {StoredSong[]} the newest first */
export const stored_songs = () => recall("songs", /** @type {StoredSong[]} */ ([])).filter((song) => song && typeof song.text === "string" && typeof song.id === "string");

/** @param {StoredSong} song */
export function store_song(song) {
  remember("songs", [song, ...stored_songs().filter((each) => each.id !== song.id)]);
}

/** @param {string} id */
export function forget_song(id) {
  remember("songs", stored_songs().filter((each) => each.id !== id));
}

export const new_id = () => `${Date.now().toString(36)}${Math.floor(Math.random() * 1e6).toString(36)}`;

/** All songs as the text of one file. */
export const songs_as_file = () => JSON.stringify({ romanesca: "songs", version: 1, songs: stored_songs() }, null, 1);

/**
 * Adds the songs of a file to those here.
 * @param {string} text
 * @returns {number} how many; 0 if the file holds none
 */
export function songs_from_file(text) {
  let file;
  try {
    file = JSON.parse(text);
  } catch {
    return 0;
  }
  if (!file || file.romanesca !== "songs" || !Array.isArray(file.songs)) return 0;
  const here = new Map(stored_songs().map((song) => [song.id, song]));
  let count = 0;
  for (const each of file.songs.slice(0, 2000)) {
    if (!each || typeof each.text !== "string" || each.text.length > 200000) continue;
    const text_of = (/** @type {unknown} */ value) => (typeof value === "string" ? value : "");
    const number_of = (/** @type {unknown} */ value) => (typeof value === "number" && Number.isFinite(value) ? value : 0);
    const song = {
      id: text_of(each.id) || new_id(), title: text_of(each.title), text: each.text, key: text_of(each.key), style: text_of(each.style),
      tempo: number_of(each.tempo), mode: text_of(each.mode), level: number_of(each.level), changed: number_of(each.changed),
    };
    if ((here.get(song.id)?.changed ?? -1) <= song.changed) here.set(song.id, song);
    ++count;
  }
  remember("songs", [...here.values()].sort((a, b) => b.changed - a.changed));
  return count;
}
