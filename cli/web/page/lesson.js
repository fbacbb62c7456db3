// The lesson page: write or choose a progression, see its analysis, set an exercise, save a packet.
"use strict";

let patterns = [];
let seed = 1;

function show_error(error) {
  const place = by_id("fault");
  place.replaceChildren();
  by_id("text").setAttribute("aria-invalid", error ? "true" : "false");
  if (!error) return;
  const line = by_id("text").value.split("\n")[error.line - 1];
  place.append(make("p", {}, `${error.message}.${error.hint ? ` ${error.hint}` : ""}`));
  if (line === undefined) return;
  const before = [...line].slice(0, error.column - 1).join("");
  const wrong = [...line].slice(error.column - 1, error.column - 1 + error.width).join("");
  const after = [...line].slice(error.column - 1 + error.width).join("");
  place.append(make("p", { class: "line" }, before, make("mark", {}, wrong || " "), after));
}

function show_analysis(analysis) {
  const place = by_id("analysis");
  place.replaceChildren();
  const list = make("ul");
  for (const pattern of analysis.patterns) list.append(make("li", {}, `${pattern.id}, from bar ${pattern.bar}`));
  for (const remark of analysis.remarks) list.append(make("li", {}, remark.bar ? `Bar ${remark.bar}: ${remark.text}` : remark.text));
  for (const idea of analysis.ideas) list.append(make("li", {}, `To try: ${idea.chords.join(" ")}. ${idea.text}`));
  place.append(list);
}

const typing_pause_ms = 400; // without a key pressed before the text is played
let text_version = 0;
let pause_timer = 0;

// Shows another text, with its mode and task, and plays it unless another text comes within wait_ms.
async function take_text(text, { mode = "", task = null } = {}, wait_ms = 0) {
  Object.assign(state, { text, key: "", style: "", tempo: 0 });
  Object.assign(data, { mode, task });
  answer_shown = false;
  show_task();
  clearTimeout(pause_timer);
  if (await refresh()) pause_timer = setTimeout(change, wait_ms);
}

const typed = () => take_text(by_id("text").value, {}, typing_pause_ms);

// @return whether the text is valid and no other text has come meanwhile
async function refresh() {
  const version = ++text_version;
  data.level = Number(by_id("level").value);
  const answer = await show_song();
  if (version !== text_version) return false;
  show_error(answer.error);
  valid_text = !answer.error;
  show_play();
  if (valid_text) show_analysis(answer.analysis);
  return valid_text;
}

async function set_exercise() {
  const answer = await engine.ask({
    do: "exercise",
    key: song ? song.placed_key : "C major",
    level: Number(by_id("level").value),
    kind: by_id("kind").value,
    seed: seed++,
  });
  const place = by_id("exercise");
  place.replaceChildren();
  if (answer.error) return place.append(make("p", {}, answer.error.message));
  data.exercise = { title: answer.title, goal: answer.goal, steps: answer.steps, caution: answer.caution || "" };
  place.append(...exercise_parts(data.exercise));
  by_id("text").value = answer.text;
  await take_text(answer.text, { task: answer.task });
}

function exercise_parts(exercise) {
  const steps = make("ol");
  for (const step of exercise.steps) steps.append(make("li", {}, step));
  return [make("h3", {}, exercise.title), make("p", {}, exercise.goal), steps, make("p", {}, exercise.caution)];
}

// The HTML of this page, with a packet's data in place of the lesson's.
function packet() {
  const packet_data = {
    kind: "packet",
    text: state.text,
    key: song.placed_key,
    mode: data.mode || "",
    tempo: state.tempo,
    style: state.style,
    hands: data.levels[data.level - 1],
    task: data.task || null,
    exercise: data.exercise || null,
    song: (!data.exercise && song.title) || "",
    greeting: by_id("greeting").value,
    title: by_id("for").value ? `For ${by_id("for").value}` : "To practise",
  };
  const json = JSON.stringify(packet_data).replaceAll("<", "\\u003c");
  const open = original.indexOf('id="data"');
  const from = original.indexOf(">", open) + 1;
  const to = original.indexOf("</" + "script>", from);
  return original.slice(0, from) + json + original.slice(to);
}

function save() {
  const link = URL.createObjectURL(new Blob([packet()], { type: "text/html" }));
  make("a", { href: link, download: "packet.html" }).click();
  setTimeout(() => URL.revokeObjectURL(link), 10000);
}

async function begin_lesson() {
  by_id("lesson").hidden = false;
  by_id("text").value = state.text || "I vi IV V";
  patterns = (await engine.ask({ do: "library" })).patterns;
  by_id("library").append(
    ...patterns.map((each) => make("option", { value: each.id }, `${each.id}: ${each.chords} (level ${each.level})`)),
  );
  by_id("library").addEventListener("change", async () => {
    const pattern = patterns.find((each) => each.id === by_id("library").value);
    if (!pattern) return;
    by_id("text").value = pattern.chords;
    await take_text(pattern.chords, { mode: pattern.mode });
  });
  by_id("text").addEventListener("input", typed);
  by_id("level").addEventListener("change", () => refresh());
  by_id("new-exercise").addEventListener("click", set_exercise);
  by_id("save").addEventListener("click", save);
  await typed();
}

// A packet that was saved from the lesson page has its texts in the data.
if (data.kind === "packet" && data.greeting !== undefined && !by_id("title").dataset.written) {
  by_id("title").textContent = data.title;
  document.title = data.title;
  by_id("song").textContent = data.song || "";
  by_id("words").append(...data.greeting.split("\n").map((line) => make("p", {}, line)));
  if (data.exercise) by_id("words").append(...exercise_parts(data.exercise));
}
