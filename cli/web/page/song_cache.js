// What the program says about a wish: its chart, its form and its level. Each is asked for once.

/** @typedef {import("./types.js").Wish} Wish */

const most_kept = 24;
const level_rate = 24000; // samples per second, enough to measure loudness, in half the time

/** @param {Wish} wish */
export const band_request = (wish) => ({
  text: wish.text, key: wish.key, mode: wish.mode, style: wish.style, click: wish.click, trade: wish.trade, hands: wish.hands,
});

export class SongCache {
  /** @param {import("./engine.js").Engine} engine */
  constructor(engine) {
    this.engine = engine;
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
   * @param {Pick<Wish, "text" | "key" | "mode" | "hands">} wish
   * @param {number} [level] that ideas are for
   * @returns {Promise<import("./types.js").Song & {error?: import("./types.js").Fault}>}
   */
  song(wish, level = 0) {
    const request = { do: "song", text: wish.text, key: wish.key, mode: wish.mode, hands: wish.hands, level };
    return this.once(JSON.stringify(request), () => this.engine.ask(request));
  }

  /** @param {Wish} wish @returns {Promise<import("./types.js").Form & {error?: import("./types.js").Fault}>} */
  form(wish) {
    const request = { do: "form", ...band_request(wish) };
    return this.once(JSON.stringify(request), () => this.engine.ask(request));
  }

  /**
   * The gain of a song in a style; another key or tempo does not change it.
   * @param {Wish} wish
   */
  level(wish) {
    const request = { ...band_request(wish), key: "" };
    return this.once(`level ${JSON.stringify(request)}`, () => this.engine.level(request, level_rate));
  }
}
