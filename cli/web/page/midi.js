// A MIDI keyboard: which keys are down, and a take of what was played.

const longest_take = 20000; // notes

export class MidiKeyboard {
  constructor() {
    /** @type {Set<number>} */
    this.held = new Set();
    /** @type {import("./types.js").PlayedNote[]} */
    this.take = [];
    /** @type {Map<number, import("./types.js").PlayedNote>} */
    this.sounding = new Map();
    this.clock = () => performance.now() / 1000;
    this.began = 0;
    this.recording = false;
    this.connected = 0;
    this.on_keys = () => {};
    this.on_connection = () => {};
  }

  /** Asks the browser for its keyboards; refused with an error. */
  async connect() {
    const access = await navigator.requestMIDIAccess();
    const listen = () => {
      this.connected = access.inputs.size;
      for (const input of access.inputs.values()) input.onmidimessage = (event) => this.receive(event.data ?? new Uint8Array());
      this.on_connection();
    };
    access.onstatechange = listen;
    listen();
  }

  /** @param {ArrayLike<number>} message a note-on or note-off (MIDI 1.0); others are ignored */
  receive(message) {
    const [status, midi, velocity] = [message[0] & 0xf0, message[1], message[2]];
    if (status === 0x90 && velocity > 0) this.down(midi, velocity);
    else if (status === 0x80 || status === 0x90) this.up(midi);
    else return;
    this.on_keys();
  }

  /** @param {number} midi @param {number} velocity */
  down(midi, velocity) {
    this.held.add(midi);
    if (!this.recording || this.take.length >= longest_take) return;
    const note = { at: this.clock() - this.began, midi, velocity, until: this.clock() - this.began };
    this.take.push(note);
    this.sounding.set(midi, note);
  }

  /** @param {number} midi */
  up(midi) {
    this.held.delete(midi);
    const note = this.sounding.get(midi);
    if (note) note.until = this.clock() - this.began;
    this.sounding.delete(midi);
  }

  begin_take() {
    this.take = [];
    this.sounding.clear();
    this.began = this.clock();
    this.recording = true;
  }

  end_take() {
    for (const midi of [...this.sounding.keys()]) this.up(midi);
    this.recording = false;
  }

  /** The take as what the program plays: start and length in 1/960 of a quarter note at 60 a minute. */
  take_as_heard() {
    const first = this.take[0]?.at ?? 0;
    const ticks = (/** @type {number} */ seconds) => Math.round(seconds * 960);
    const notes = this.take.slice(0, 2000).map((note) => [ticks(note.at - first), Math.max(60, ticks(note.until - note.at)), note.midi, note.velocity]);
    const length = Math.max(960, ...notes.map(([at, long]) => at + long));
    return { notes, length, tempo: 60 };
  }
}

/**
 * Compares keys that are down with what is asked.
 * @param {Set<number>} held
 * @param {import("./keyboard.js").AskedKey[]} asked
 */
export function compare_keys(held, asked) {
  const wanted = new Set(asked.map((key) => key.midi));
  const right = [...held].filter((midi) => wanted.has(midi));
  const wrong = [...held].filter((midi) => !wanted.has(midi));
  const missing = [...wanted].filter((midi) => !held.has(midi));
  return { right, wrong, missing };
}

/**
 * Whether the keys that are down are the asked chord: all its tones, in any octave, and no other.
 * @param {Set<number>} held
 * @param {import("./keyboard.js").AskedKey[]} asked
 */
export function has_chord(held, asked) {
  const tones = new Set(asked.map((key) => key.midi % 12));
  const played = new Set([...held].map((midi) => midi % 12));
  return tones.size > 0 && [...tones].every((tone) => played.has(tone)) && [...played].every((tone) => tones.has(tone));
}
