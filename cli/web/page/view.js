// What the user sees and presses.
"use strict";

const data = JSON.parse(data_of("data"));
const original = `<!DOCTYPE html>\n${document.documentElement.outerHTML}`;
const engine = new Engine();
const player = new Player(engine);
const by_id = (id) => document.getElementById(id);

const state = { text: data.text || "", key: data.key || "", tempo: data.tempo || 0, style: data.style || "", out: [], in: [] };
let song = null; // the answer to the last valid "song" request
let last_valid_text = state.text; // the last valid text
let answer_shown = false; // of a task with hidden chords
let valid_text = false; // whether the present text is valid
let lit = -1; // index of the chord that sounds, or -1

function make(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.append(...children);
  return made;
}

function show_message(text) {
  by_id("news").textContent = text;
}

// Sound --------------------------------------------------------------------------------------------------------------

const ear_task = () => (data.task && data.task.heard) || null; // what an ear exercise plays

function request() {
  if (ear_task()) return { do: "heard", ...ear_task(), tempo: state.tempo || ear_task().tempo };
  return {
    do: "loop",
    text: last_valid_text,
    key: state.key,
    mode: data.mode || "",
    style: state.style,
    tempo: state.tempo || undefined,
    out: state.out,
    in: state.in,
    guide: by_id("guide").checked ? "chords" : "",
    click: by_id("click").checked,
    trade: Number(by_id("trade").value),
  };
}

function show_parts(parts) {
  const list = by_id("parts");
  list.replaceChildren();
  for (const part of parts) {
    if (part.name === "guide" || part.name === "click") continue;
    const box = make("input", { type: "checkbox" });
    box.checked = !part.out;
    box.addEventListener("change", () => {
      state.out = state.out.filter((name) => name !== part.name);
      state.in = state.in.filter((name) => name !== part.name);
      (box.checked ? state.in : state.out).push(part.name);
      change();
    });
    list.append(make("label", {}, box, ` ${part.name}`));
  }
}

let last_names = "";
function show_loop(made) {
  if (!made) return;
  if (made.error) return show_message(made.error.message);
  by_id("tempo").value = made.tempo;
  by_id("tempo-number").textContent = Math.round(made.tempo);
  const names = JSON.stringify(made.parts);
  if (names !== last_names) show_parts(made.parts);
  last_names = names;
}

async function change() {
  try {
    show_loop(await player.change(request()));
  } catch (error) {
    show_message(error.message);
  }
}

// Stop can always be pressed; Play needs valid chords.
function show_play() {
  by_id("play").textContent = player.session ? "Stop" : "Play";
  by_id("play").disabled = !player.session && !valid_text;
}

function stop() {
  player.stop();
  show_play();
  show_chord(-1);
}
player.on_end = stop;

async function start_stop() {
  if (player.session) return stop();
  const starting = player.start(request(), by_id("count-in").checked && !ear_task());
  const session = player.session;
  show_play();
  try {
    const made = await starting;
    show_loop(made);
    if (made && made.error) throw new Error(made.error.message);
  } catch (error) {
    if (player.session === session) stop();
    show_message(error.message);
  }
}

player.on_round = (round) => {
  const each = Number(by_id("rise").value);
  if (each === 0 || round % each !== 0) return;
  state.tempo = Math.min((state.tempo || song.tempo) + 5, Number(by_id("tempo").max));
  change();
};

// The chart ----------------------------------------------------------------------------------------------------------

// The chords of the chart that the band plays, with their index in the chart.
function sounding_chords() {
  return song.chords.map((chord, index) => ({ chord, index })).filter(({ chord }) => chord.right.length > 0 || chord.root);
}

function show_chart() {
  const chart = by_id("chart");
  chart.replaceChildren();
  let section = null;
  let rows = null;
  by_id("key-name").textContent = song.placed_key;
  const hidden = new Set(data.task && !answer_shown ? data.task.hidden : []);
  song.chords.forEach((chord, index) => {
    if (section !== chord.section || rows === null) {
      section = chord.section;
      if (section) chart.append(make("h3", {}, section));
      rows = make("ol", { class: "chords" });
      chart.append(rows);
    }
    if (hidden.has(index)) {
      const box = make("span", { class: "open", role: "img", "aria-label": "an empty box: to be found" });
      rows.append(make("li", { id: `chord-${index}` }, make("span", { class: "bar" }, `bar ${chord.bar}`), box));
      return;
    }
    const hear = make("button", { class: "hear", type: "button", "aria-label": `Hear ${chord.symbol}` }, chord.symbol);
    hear.disabled = chord.left.length + chord.right.length === 0;
    hear.addEventListener("click", () => player.notes([...chord.left, ...chord.right].map((n) => n.midi)));
    rows.append(
      make(
        "li",
        { id: `chord-${index}` },
        make("span", { class: "bar" }, `bar ${chord.bar}`),
        hear,
        make("span", { class: "numeral" }, chord.numeral || ""),
        chord_keyboard(chord),
      ),
    );
  });
  fill("key", song.keys.map((value) => ({ value })), song.placed_key);
  name_keys(null);
  fill("style", song.styles.map((style) => ({ value: style.id, label: `${style.id}: ${style.feel}` })), state.style || song.style);
  const tempo = state.tempo || (ear_task() || song).tempo;
  by_id("tempo").value = tempo;
  by_id("tempo-number").textContent = Math.round(tempo);
}

// A task with hidden chords: its question and answer. An ear exercise has no controls of the band.
function show_task() {
  const { task } = data;
  by_id("task").hidden = !task;
  by_id("band").hidden = by_id("parts").hidden = by_id("count-in").parentElement.hidden = Boolean(ear_task());
  by_id("player-head").textContent = ear_task() ? "Listen" : "Play along";
  if (!task) return;
  by_id("asks").textContent = task.asks || "Some chords are to be found.";
  by_id("answer").textContent = answer_shown ? "Hide the answer" : "Show the answer";
  const words = (task.solution || []).join(", ");
  by_id("solution").textContent = answer_shown && words ? `The answer: ${words}` : "";
}

async function show_answer() {
  answer_shown = !answer_shown;
  show_task();
  await show_song();
  change();
}

function fill(id, choices, chosen) {
  const list = by_id(id);
  list.replaceChildren(...choices.map(({ value, label }) => make("option", { value }, label || value)));
  if (![...list.options].some((option) => option.value === chosen)) list.prepend(make("option", { value: chosen }, chosen));
  list.value = chosen;
}

function show_chord(index) {
  if (index === lit) return;
  if (lit >= 0 && by_id(`chord-${lit}`)) by_id(`chord-${lit}`).removeAttribute("aria-current");
  lit = index;
  const now = song && song.chords[index];
  by_id("now").textContent = now ? now.symbol : "";
  name_keys(now);
  light(touch, now ? [...now.left, ...now.right].map((note) => note.midi) : []);
  if (!now) {
    by_id("next").textContent = "";
    return;
  }
  const all = sounding_chords();
  const place = all.findIndex((each) => each.index === index);
  const next = all[(place + 1) % all.length].chord;
  by_id("next").textContent = `then ${next.symbol}`;
  const card = by_id(`chord-${index}`);
  card.setAttribute("aria-current", "true");
}

function show_position() {
  const position = player.position();
  if (position && song) {
    let found = -1;
    position.made.chords.forEach((chord, index) => {
      if (position.place >= chord.at && position.place < chord.until) found = index;
    });
    const all = sounding_chords();
    // In call and answer the band rests for the answer, so the loop has fewer chords than the chart.
    const same = position.made.chords.length === all.length;
    const by_symbol = () => all.find(({ chord }) => chord.symbol === position.made.chords[found].symbol);
    const shown = found < 0 ? undefined : same ? all[found] : by_symbol();
    show_chord(shown ? shown.index : -1);
  }
  requestAnimationFrame(show_position);
}

// Keys that the user plays -------------------------------------------------------------------------------------------

const spoken_accidentals = { "": "", "#": "sharp ", b: "flat ", "##": "double sharp ", bb: "double flat " };

// "C flat 5" for MIDI number 71 as Cb. The octave is that of the letter (scientific pitch notation).
function spoken_name(name, midi) {
  const accidental = name.slice(1);
  const alteration = accidental.startsWith("b") ? -accidental.length : accidental.length;
  return `${name[0]} ${spoken_accidentals[accidental]}${Math.floor((midi - alteration) / 12) - 1}`;
}

// Labels the keys: as the present chord spells them, else as the song's key does, white keys by their letter.
function name_keys(chord) {
  const names = song ? [...song.names] : ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"];
  for (const note of chord ? [...chord.left, ...chord.right] : []) names[note.midi % 12] = note.note.replace(/-?\d+$/, "");
  for (const key of touch.querySelectorAll("rect[data-midi]")) {
    const midi = Number(key.dataset.midi);
    key.setAttribute("aria-label", spoken_name(names[midi % 12], midi));
  }
}

const touch = playable_keyboard(36, 83, (midi) => {
  player.notes([midi]);
});
name_keys(null);
by_id("touch").append(touch);
by_id("touch").scrollLeft = 12 * white_width;

async function listen() {
  const held = new Set();
  try {
    const access = await navigator.requestMIDIAccess();
    const on_message = async (event) => {
      const [status, midi, velocity] = event.data;
      if ((status & 0xf0) === 0x90 && velocity > 0) held.add(midi);
      else if ((status & 0xf0) === 0x80 || (status & 0xf0) === 0x90) held.delete(midi);
      else return;
      light(touch, held);
      const { name } = await engine.ask({ do: "name", midi: [...held], key: song ? song.placed_key : "C major" });
      by_id("played").textContent = name ? `You play ${name}` : "";
    };
    const connect_inputs = () => access.inputs.forEach((input) => (input.onmidimessage = on_message));
    access.onstatechange = connect_inputs;
    connect_inputs();
    show_message(access.inputs.size > 0 ? "Your keyboard is heard." : "No MIDI keyboard is connected yet.");
  } catch {
    show_message("The browser has not allowed MIDI keyboards.");
  }
}

// Start --------------------------------------------------------------------------------------------------------------

async function show_song() {
  const text = data.task && answer_shown ? data.task.text : state.text;
  const hands = data.levels ? data.levels[data.level - 1] : data.hands;
  const answer = await engine.ask({ do: "song", text, key: state.key, mode: data.mode || "", level: data.level, hands });
  if (answer.error) return answer;
  song = answer;
  last_valid_text = text;
  lit = -1;
  show_chart();
  return answer;
}

by_id("play").addEventListener("click", start_stop);
by_id("answer").addEventListener("click", show_answer);
by_id("tempo").addEventListener("input", () => (by_id("tempo-number").textContent = by_id("tempo").value));
by_id("tempo").addEventListener("change", () => {
  state.tempo = Number(by_id("tempo").value);
  change();
});
by_id("volume").addEventListener("input", () => player.set_volume(Number(by_id("volume").value)));
by_id("style").addEventListener("change", () => {
  state.style = by_id("style").value;
  change();
});
by_id("key").addEventListener("change", async () => {
  state.key = by_id("key").value;
  change();
  await show_song();
});
for (const id of ["guide", "click", "trade"]) by_id(id).addEventListener("change", change);
by_id("print").addEventListener("click", () => print());
if (navigator.requestMIDIAccess) {
  by_id("midi").hidden = false;
  by_id("midi").addEventListener("click", listen);
}

const ready = (async () => {
  try {
    await engine.start();
    if (data.kind === "lesson") await begin_lesson();
    else {
      show_task();
      valid_text = !(await show_song()).error;
      show_play();
    }
    document.body.dataset.ready = String(Math.round(performance.now()));
  } catch (error) {
    show_message(`This browser cannot run the page: ${error.message}`);
  }
})();
requestAnimationFrame(show_position);
