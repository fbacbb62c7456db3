// Which bar follows which: the whole song or a region of it, round after round.

/** @typedef {{bar: number, round: number}} Place bar from 0 */

/**
 * @param {import("./types.js").Region | null} loop
 * @param {number} bars of the song
 * @returns {import("./types.js").Region}
 */
export function region_of(loop, bars) {
  if (!loop || loop.from >= bars || loop.to <= loop.from) return { from: 0, to: bars };
  return { from: Math.max(0, loop.from), to: Math.min(loop.to, bars) };
}

/**
 * The place after this one; null after the last if it goes once only.
 * @param {Place} place
 * @param {import("./types.js").PlaySettings} settings
 * @param {number} bars of the song
 * @returns {Place | null}
 */
export function place_after(place, settings, bars) {
  const region = region_of(settings.loop, bars);
  const next = place.bar + 1;
  // A region that lies elsewhere is entered at its beginning.
  if (next >= region.from && next < region.to) return { bar: next, round: place.round };
  if (next === region.to && settings.once) return null;
  const inside = place.bar >= region.from && place.bar < region.to;
  return { bar: region.from, round: inside ? place.round + 1 : 0 };
}

export const slowest = 20;
export const fastest = 400;

/**
 * The tempo of a round, which rises from round to round if that is asked for.
 * @param {import("./types.js").PlaySettings} settings
 * @param {number} own tempo of the song
 * @param {number} round from 0
 */
export function tempo_of_round(settings, own, round) {
  return Math.min(fastest, Math.max(slowest, (settings.tempo || own) + settings.rise * round));
}

/**
 * What differs between two settings, as names of their members.
 * @param {import("./types.js").PlaySettings} one
 * @param {import("./types.js").PlaySettings} other
 * @returns {string[]}
 */
export function differences(one, other) {
  const names = /** @type {(keyof import("./types.js").PlaySettings)[]} */ (Object.keys(one));
  return names.filter((name) => JSON.stringify(one[name]) !== JSON.stringify(other[name]));
}
