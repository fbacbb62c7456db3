// What the program says about settings: its chart, its form and its level. Each is asked for once.

/** @typedef {import("./types.js").PlaySettings} PlaySettings */

const most_kept = 24;
const level_rate = 24000; // samples per second, enough to measure loudness, in half the time

/** @param {PlaySettings} settings */
export const band_request = (settings) => ({
  text: settings.text, key: settings.key, mode: settings.mode, style: settings.style, click: settings.click, trade: settings.trade, hands: settings.hands,
  ...(settings.tune ? { tune: settings.tune } : {}),
});

export class SongCache {
  /** @param {import("./engine.js").Engine} engine @param {import("./types.js").PageData} data */
  constructor(engine, data) {
    this.engine = engine;
    this.data = data;
    /** @type {Map<string, Promise<any>>} */
    this.known = new Map();
  }

  /** @template T @param {string} id @param {() => Promise<T>} ask @returns {Promise<T>} */
  once(id, ask) {
    const known = this.known.get(id);
    if (known) return known;
    const answer = ask();
    this.known.set(id, answer);
    answer.catch(() => this.known.delete(id));
    const oldest = this.known.keys().next().value;
    if (this.known.size > most_kept && oldest !== undefined) this.known.delete(oldest);
    return answer;
  }

  /**
   * The chart, or {error}.
   * @param {Pick<PlaySettings, "text" | "key" | "mode" | "hands" | "tune">} settings
   * @returns {Promise<import("./types.js").Song & {error?: import("./types.js").Fault}>}
   */
  song(settings) {
    const level = this.data.level ?? 0; // that ideas are for
    const request = { do: "song", text: settings.text, key: settings.key, mode: settings.mode, hands: settings.hands, level, ...(settings.tune ? { tune: settings.tune } : {}) };
    return this.once(JSON.stringify(request), async () => this.with_words(await this.engine.ask(request), settings.text));
  }

  /** A packet's text has the chords alone; its words stand beside it. @param {any} song @param {string} text */
  with_words(song, text) {
    const { sung } = this.data;
    if (sung && text === this.data.text) song.chords?.forEach((/** @type {import("./types.js").Chord} */ chord, /** @type {number} */ i) => (chord.words = sung[i]));
    return song;
  }

  /** Some bars of the tune on a staff. @param {PlaySettings} settings @param {number} first from 1 @param {number} bars @param {number} verse from 1 @returns {Promise<import("./types.js").TuneLine>} */
  tune(settings, first, bars, verse) {
    const request = { do: "tune", ...band_request(settings), first, bars, verse };
    return this.once(JSON.stringify(request), () => this.engine.ask(request));
  }

  /** @param {PlaySettings} settings @returns {Promise<import("./types.js").Form & {error?: import("./types.js").Fault}>} */
  form(settings) {
    const request = { do: "form", ...band_request(settings) };
    return this.once(JSON.stringify(request), () => this.engine.ask(request));
  }

  /**
   * The gain of a song in a style; another key or tempo does not change it.
   * @param {PlaySettings} settings
   */
  level(settings) {
    const request = { ...band_request(settings), key: "" };
    return this.once(`level ${JSON.stringify(request)}`, () => this.engine.level(request, level_rate));
  }
}
