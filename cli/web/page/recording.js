// A recording of a piano: decoded by the browser, heard by the program in a worker of its own. Nothing of it is sent or kept.

/** @typedef {{title: string, tempo: number, meter: string, factor: number, shift: number}} Wanted as the command transcribe takes it */
/**
 * What was heard, or why nothing was.
 * @typedef {{outcome?: string, text: string, bars: number, tempo: number, meter: string, pulses: number, key: string, cents: number,
 *   doubtful: number[]}} HeardChart
 */

export const hearing_rate_hz = 22050; // as in synth/hearing/pitch_spectrum.h
export const longest_recording_s = 15 * 60; // as in cli/studio/recording.h
export const most_bytes = 350e6; // 15 minutes of 48,000 Hz, two channels, 32 bits
const piece = 2 ** 18; // samples that are handed over at once: 12 seconds
const head_ms = 4000; // the longest wait for a file's head

/** Why a recording was not taken. */
export class Refused extends Error {
  /** @param {string} id of the words that say it */
  constructor(id) {
    super(id);
    this.id = id;
  }
}

/** The length that a file's head tells, in seconds; 0 where it does not. @param {HTMLAudioElement} player that has the file */
const told_length = (player) => new Promise((done) => {
  const tell = () => done(Number.isFinite(player.duration) ? player.duration : 0);
  if (player.readyState > 0) return tell();
  player.addEventListener("loadedmetadata", tell);
  player.addEventListener("error", () => done(0));
  setTimeout(() => done(0), head_ms);
});

/**
 * The sound of a file, which the browser resamples. What is too long is refused before it fills the memory, where its head
 * tells so.
 * @param {File} file
 * @param {HTMLAudioElement} player that has the file
 */
export async function decoded(file, player) {
  if (file.size > most_bytes) throw new Refused("rec_large");
  if ((await told_length(player)) > longest_recording_s + 1) throw new Refused("rec_long");
  let sound;
  try {
    sound = await new OfflineAudioContext(1, 1, hearing_rate_hz).decodeAudioData(await file.arrayBuffer());
  } catch {
    throw new Refused("rec_no_sound");
  }
  if (sound.duration > longest_recording_s) throw new Refused("rec_long");
  return sound;
}

/** One channel of a piece: the mean of all. @param {AudioBuffer} sound @param {number} from in samples @param {number} count */
export function mixed(sound, from, count) {
  const values = new Float32Array(count);
  const side = new Float32Array(count);
  for (let channel = 0; channel < sound.numberOfChannels; ++channel) {
    sound.copyFromChannel(side, channel, from);
    for (let i = 0; i < count; ++i) values[i] += side[i] / sound.numberOfChannels;
  }
  return values;
}

/** A recording in a worker, which goes when it is ended. */
export class Recording {
  /** @param {import("./engine.js").Engine} engine */
  constructor(engine) {
    this.engine = engine;
    this.ended = false;
  }

  /** @param {File} file @param {HTMLAudioElement} player that has the file */
  async read(file, player) {
    const sound = await decoded(file, player);
    const channel = this.engine.another_channel();
    if (this.ended) return channel.end();
    this.channel = channel;
    await channel.ready;
    // Piece by piece, so that the page answers between them.
    for (let from = 0; from < sound.length && !this.ended; from += piece) {
      await channel.send({ samples: { count: sound.length, from, values: mixed(sound, from, Math.min(piece, sound.length - from)) } });
    }
  }

  /** @param {Wanted} wanted @returns {Promise<HeardChart>} */
  async chart(wanted) {
    if (!this.channel) throw new Error("no recording");
    return (await this.channel.send({ request: { do: "recording", ...wanted } })).answer;
  }

  end() {
    this.ended = true;
    this.channel?.end();
  }
}
