// What people see and press.
"use strict";

const data = JSON.parse(data_of("data"));
const original = `<!DOCTYPE html>\n${document.documentElement.outerHTML}`;
const engine = new Engine();
const player = new Player(engine);
const by_id = (id) => document.getElementById(id);

const state = { text: data.text || "", key: data.key || "", tempo: data.tempo || 0, style: data.style || "", out: [], in: [] };
let song = null; // the answer of the program
let lit = -1; // the chord that is heard

function make(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.append(...children);
  return made;
}

function say(text) {
  by_id("news").textContent = text;
}

// Sound --------------------------------------------------------------------------------------------------------------

function request() {
  return {
    text: state.text,
    key: state.key,
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
function follow(made) {
  if (!made) return;
  if (made.error) return say(made.error.message);
  by_id("tempo").value = made.tempo;
  by_id("tempo-number").textContent = Math.round(made.tempo);
  const names = JSON.stringify(made.parts);
  if (names !== last_names) show_parts(made.parts);
  last_names = names;
}

async function change() {
  try {
    follow(await player.change(request()));
  } catch (fault) {
    say(fault.message);
  }
}

async function start_stop() {
  const button = by_id("play");
  if (button.dataset.playing) {
    player.stop();
    delete button.dataset.playing;
    button.textContent = "Play";
    show_chord(-1);
    return;
  }
  button.dataset.playing = "yes";
  button.textContent = "Stop";
  try {
    const made = await player.start(request(), by_id("count-in").checked);
    follow(made);
    if (made.error) throw new Error(made.error.message);
  } catch (fault) {
    delete button.dataset.playing;
    button.textContent = "Play";
    say(fault.message);
  }
}

player.on_round = (round) => {
  const each = Number(by_id("rise").value);
  if (each === 0 || round % each !== 0) return;
  state.tempo = Math.min((state.tempo || song.tempo) + 5, 240);
  change();
};

// The chart ----------------------------------------------------------------------------------------------------------

// Chords of the chart that a loop strikes, by their number there.
function sounding() {
  return song.chords.map((chord, index) => ({ chord, index })).filter(({ chord }) => chord.right.length > 0 || chord.root);
}

function show_chart() {
  const chart = by_id("chart");
  chart.replaceChildren();
  let section = null;
  let rows = null;
  by_id("key-name").textContent = song.placed_key;
  song.chords.forEach((chord, index) => {
    if (section !== chord.section || rows === null) {
      section = chord.section;
      if (section) chart.append(make("h3", {}, section));
      rows = make("ol", { class: "chords" });
      chart.append(rows);
    }
    const hear = make("button", { class: "hear", type: "button", "aria-label": `Hear ${chord.symbol}` }, chord.symbol);
    hear.disabled = chord.right.length === 0;
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
  for (const key of touch.querySelectorAll("rect[data-midi]")) key.setAttribute("aria-label", note_name(Number(key.dataset.midi)));
  fill("style", song.styles.map((style) => ({ value: style.id, says: `${style.id}: ${style.feel}` })), state.style || song.style);
  if (!state.tempo) {
    by_id("tempo").value = song.tempo;
    by_id("tempo-number").textContent = Math.round(song.tempo);
  }
}

function fill(id, choices, chosen) {
  const list = by_id(id);
  list.replaceChildren(...choices.map(({ value, says }) => make("option", { value }, says || value)));
  if (![...list.options].some((option) => option.value === chosen)) list.prepend(make("option", { value: chosen }, chosen));
  list.value = chosen;
}

function show_chord(index) {
  if (index === lit) return;
  if (lit >= 0 && by_id(`chord-${lit}`)) by_id(`chord-${lit}`).removeAttribute("aria-current");
  lit = index;
  const now = song && song.chords[index];
  by_id("now").textContent = now ? now.symbol : "";
  light(touch, now ? [...now.left, ...now.right].map((note) => note.midi) : []);
  if (!now) {
    by_id("next").textContent = "";
    return;
  }
  const all = sounding();
  const place = all.findIndex((each) => each.index === index);
  const next = all[(place + 1) % all.length].chord;
  by_id("next").textContent = `then ${next.symbol}`;
  const card = by_id(`chord-${index}`);
  card.setAttribute("aria-current", "true");
}

function watch() {
  const heard = player.heard();
  if (heard && song) {
    let found = -1;
    heard.made.chords.forEach((chord, index) => {
      if (heard.place >= chord.at && heard.place < chord.until) found = index;
    });
    const all = sounding();
    // A loop in which the band rests for an answer has fewer chords than the chart.
    const same = heard.made.chords.length === all.length;
    const by_symbol = () => all.find(({ chord }) => chord.symbol === heard.made.chords[found].symbol);
    const shown = found < 0 ? undefined : same ? all[found] : by_symbol();
    show_chord(shown ? shown.index : -1);
  }
  requestAnimationFrame(watch);
}

// Keys that people play ----------------------------------------------------------------------------------------------

function note_name(midi) {
  const name = song ? song.names[midi % 12] : "";
  return `${name.replace("#", " sharp").replace(/b$/, " flat")}${Math.floor(midi / 12) - 1}`;
}

const touch = playable_keyboard(36, 83, note_name, (midi) => {
  player.notes([midi]);
});
by_id("touch").append(touch);
by_id("touch").scrollLeft = 12 * white_wide;

async function listen() {
  const held = new Set();
  try {
    const access = await navigator.requestMIDIAccess();
    const hear = async (event) => {
      const [status, midi, force] = event.data;
      if ((status & 0xf0) === 0x90 && force > 0) held.add(midi);
      else if ((status & 0xf0) === 0x80 || (status & 0xf0) === 0x90) held.delete(midi);
      else return;
      light(touch, held);
      const { name } = await engine.ask({ do: "name", midi: [...held], key: song ? song.placed_key : "C major" });
      by_id("played").textContent = name ? `You play ${name}` : "";
    };
    const join = () => access.inputs.forEach((input) => (input.onmidimessage = hear));
    access.onstatechange = join;
    join();
    say(access.inputs.size > 0 ? "Your keyboard is heard." : "No MIDI keyboard is connected yet.");
  } catch {
    say("The browser has not allowed MIDI keyboards.");
  }
}

// Beginning ----------------------------------------------------------------------------------------------------------

async function show_song() {
  const answer = await engine.ask({ do: "song", text: state.text, key: state.key, mode: data.mode || "", level: data.level });
  if (answer.error) return answer;
  song = answer;
  lit = -1;
  show_chart();
  return answer;
}

by_id("play").addEventListener("click", start_stop);
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
    else await show_song();
    by_id("play").disabled = false;
    document.body.dataset.ready = String(Math.round(performance.now()));
  } catch (fault) {
    say(`This browser cannot run the page: ${fault.message}`);
  }
})();
requestAnimationFrame(watch);
