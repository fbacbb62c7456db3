#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <memory>

#include "cli/commands/command_table.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/formats/exercise_json.h"
#include "cli/formats/exercise_musicxml.h"
#include "cli/formats/exercise_text.h"
#include "cli/formats/paper/exercise_drawing.h"
#include "cli/formats/paper/paint.h"
#include "cli/formats/paper/unit_booklet.h"
#include "cli/formats/unit_text.h"
#include "cli/options.h"
#include "cli/studio/ear_record.h"
#include "cli/studio/file_io.h"
#include "cli/studio/own_settings.h"
#include "cli/studio/record/store.h"
#include "progressions/exercises/wording.h"
#include "progressions/unit.h"

namespace romanesca {
namespace {

struct ExerciseOptions {
  CommonOptions common;
  CadenceTermsOption terms;
  std::string family, id, choice, check, unit, student, date, paper = "a4";
  int level = 1;
  int choices = 0;  ///< 0 for the usual number
  std::uint64_t seed = 1;
  bool list = false, levels = false, answers = false, large = false, model = false;
  bool kept_song = false;  ///< common.progression is the text of the student's newest song
};

const std::vector<std::string> drawn_endings{"pdf", "png", "svg"};
const std::vector<std::string> sound_endings{"wav", "flac", "mid"};

bool is_one_of(const std::string& ending, const std::vector<std::string>& endings) {
  return std::find(endings.begin(), endings.end(), ending) != endings.end();
}

std::optional<ExerciseFamily> family_given(const std::string& word) {
  if (word.empty()) return std::nullopt;
  const auto family = parse_exercise_family(word);
  if (!family) {
    throw Failure(ExitStatus::wrong_input, fmt::format("--kind: unknown value \"{}\"", word),
                  "choose improvise, compose, technique, ear or song");
  }
  return family;
}

void list_kinds(const ExerciseOptions& options, Console& console) {
  const auto family = family_given(options.family);
  std::vector<const ExerciseKind*> kinds;
  for (const ExerciseKind& kind : exercise_kinds()) {
    if (!family || kind.family == *family) kinds.push_back(&kind);
  }
  std::stable_sort(kinds.begin(), kinds.end(),
                   [](const ExerciseKind* a, const ExerciseKind* b) { return a->family < b->family; });
  write_output(options.common.json ? kinds_json(kinds) : kinds_text(kinds, console.width), std::nullopt, console);
}

/// The unit that was asked for, or null for none. Throws Failure, which names the units, for an unknown one.
const Unit* unit_given(const ExerciseOptions& options) {
  if (options.unit.empty()) return nullptr;
  const Unit* unit = unit_named(options.unit);
  if (unit == nullptr) {
    std::vector<std::string> names;
    for (const Unit& each : units()) names.push_back(each.id);
    throw Failure(ExitStatus::wrong_input, fmt::format("--unit: there is no \"{}\"", options.unit),
                  fmt::format("they are {}", listed(names)));
  }
  return unit;
}

ExerciseRequest request_of(const ExerciseOptions& options, Console& console) {
  ExerciseRequest request;
  request.level = value_or_throw(own_level("--level", options.level, console.configuration));
  request.family = family_given(options.family);
  request.id = options.id;
  request.seed = options.seed;
  request.terms = options.terms.checked(console);
  request.choices = options.choices != 0 ? options.choices : options.id.empty() ? 3 : 1;
  if (request.choices < 1 || request.choices > 8) {
    throw Failure(ExitStatus::wrong_input, fmt::format("--choices: {} is out of range", request.choices),
                  "choose 1 to 8");
  }
  const auto key = options.common.key_given(console);
  if (key) request.key = {key->tonic, key->mode.value_or(Mode::major)};
  if (!options.common.progression.empty()) {
    const Placement placed = options.common.placed(console);
    request.song = placed.progression;
    request.key = placed.key;
    request.key_is_free = !key;
  }
  return request;
}

/// The set, or the one of it that was asked for.
std::vector<Exercise> chosen(const ExerciseOptions& options, Console& console) {
  if (const Unit* unit = unit_given(options)) {
    return value_or_throw(unit_sheets(*unit, value_or_throw(own_levels(console.configuration)), options.seed));
  }
  ExerciseRequest request = request_of(options, console);
  if (!options.student.empty()) {
    Store store = value_or_throw(Store::open(console.data));
    const Student student = value_or_throw(student_named(store, options.student));
    request.confused = confused_words(value_or_throw(store.history(student.id)), request.id);
  }
  std::vector<Exercise> set = value_or_throw(set_exercises(request));
  if (options.choice.empty()) return set;
  for (std::size_t i = 0; i < set.size(); ++i) {
    if (options.choice == choice_name(i)) return {std::move(set[i])};
  }
  throw Failure(ExitStatus::wrong_input, fmt::format("--choice: there is no {}", options.choice),
                set.size() == 1 ? "it is A" : fmt::format("it is A to {}", choice_name(set.size() - 1)));
}

/// A step of the student's own piece, without a song: takes the one that the record keeps, and tells which.
void take_kept_song(ExerciseOptions& options, Console& console) {
  const bool own_piece = options.id.starts_with("piece-");
  if (!own_piece || options.student.empty() || !options.common.progression.empty()) return;
  Store store = value_or_throw(Store::open(console.data));
  const Student student = value_or_throw(student_named(store, options.student));
  const std::vector<SongVersion> songs = value_or_throw(store.songs(student.id));
  if (songs.empty()) return;
  const SongVersion* newest = &songs.front();
  for (const SongVersion& song : songs) {
    if (!(song.date < newest->date)) newest = &song;
  }
  options.common.progression = newest->text;
  options.common.quiet = true;  // what there was to tell was told when it was kept
  options.kept_song = true;
  console.err << fmt::format("romanesca: with {}, version {}, of {}; another song: give its file\n", newest->title,
                             newest->version, student.profile.name);
}

const Exercise& only_one(const std::vector<Exercise>& exercises, const std::string& option) {
  if (exercises.size() == 1) return exercises.front();
  throw Failure(ExitStatus::wrong_input,
                fmt::format("{} is for one exercise, and there are {}", option, exercises.size()),
                "choose one with --choice A");
}

/// The answer as typed, or from the file of that name.
std::string answer_given(const std::string& argument) {
  std::error_code ignored;
  const bool file = argument.size() < 4096 && std::filesystem::is_regular_file(argument, ignored);
  return file ? value_or_throw(read_text_file(argument)) : argument;
}

/// What to type for the sound of an exercise.
std::string sound_command(const Exercise& exercise, const ExerciseOptions& options) {
  const std::string& song = options.common.progression;
  const std::string source = song.empty()        ? ""
                             : options.kept_song ? fmt::format("--student \"{}\" ", options.student)
                                                 : fmt::format("\"{}\" ", song);
  return fmt::format("romanesca exercise {}--id {} --key \"{}\" --level {} --seed {} --out {}.wav", source, exercise.id,
                     to_string(exercise.asked_key), exercise.level, exercise.seed, exercise.id);
}

std::string text_of(const std::vector<Exercise>& exercises, const ExerciseOptions& options, int width) {
  const Unit* unit = unit_given(options);
  const std::vector<int> weeks = unit != nullptr ? weeks_of_sheets(*unit) : std::vector<int>();
  std::string text = unit != nullptr ? unit_text(*unit, exercises, width) : "";
  for (std::size_t i = 0; i < exercises.size(); ++i) {
    if (!text.empty()) text += "\n" + std::string(static_cast<std::size_t>(width), '-') + "\n\n";
    if (unit != nullptr) text += week_heading(*unit, weeks[i]) + "\n\n";
    const bool named = exercises.size() > 1 && unit == nullptr;
    text += exercise_text(exercises[i],
                          {named ? choice_name(i) : "", options.answers, sound_command(exercises[i], options), width});
  }
  return text;
}

/// Checks the answer, and writes down for the student what it got right and what was confused.
void run_check(const ExerciseOptions& options, const Exercise& exercise, Console& console) {
  const ExerciseCheck check = value_or_throw(check_answer(exercise, answer_given(options.check)));
  std::string text = options.common.json ? check_json(check) : check_text(check, console.width);
  if (!options.student.empty()) {
    Store store = value_or_throw(Store::open(console.data));
    const Student student = value_or_throw(student_named(store, options.student));
    const Entry entry = value_or_throw(store.note(student.id, entry_of_check(exercise, check, console.today)));
    if (!options.common.json)
      text += fmt::format("Written down for {} as number {}.\n", student.profile.name, entry.number);
  }
  write_output(text, std::nullopt, console);
}

void run_exercise(ExerciseOptions options, Console& console) {
  if (options.list) return list_kinds(options, console);
  if (options.levels) {
    return write_output(options.common.json ? level_steps_json() : level_steps_text(console.width), std::nullopt,
                        console);
  }
  const auto file = options.common.out_given({"pdf", "png", "svg", "txt", "json", "musicxml", "wav", "flac", "mid"});
  const std::string ending = file ? ending_of(*file) : "";
  PaperSettings paper = paper_named(options.paper);
  paper.large = options.large;
  take_kept_song(options, console);
  const std::vector<Exercise> exercises = chosen(options, console);
  if (!options.check.empty()) {
    return run_check(options, only_one(exercises, "--check"), console);
  }
  const Unit* unit = unit_given(options);
  const auto json = [&] {
    return unit != nullptr ? unit_json(*unit, exercises, options.answers) : exercises_json(exercises, options.answers);
  };
  if (options.common.json) write_output(json(), std::nullopt, console);
  if (is_one_of(ending, sound_endings)) {
    const std::string line = export_exercise_audio(only_one(exercises, "a sound"), *file, console, options.model);
    if (!options.common.json) write_output(line, std::nullopt, console);
  } else if (is_one_of(ending, drawn_endings)) {
    const Drawing drawing = unit != nullptr ? unit_booklet(*unit, exercises, options.answers, paper)
                                            : exercise_drawing(exercises, options.answers, paper);
    write_output(painted(drawing, ending), file, console);
  } else if (ending == "musicxml") {
    const std::string score = exercise_musicxml(only_one(exercises, "a score"), options.answers);
    if (score.empty()) {
      throw Failure(ExitStatus::wrong_input, fmt::format("{} has no notes to write", exercises.front().id),
                    "with --answers there may be some; its chords: romanesca chart");
    }
    write_output(score, file, console);
  } else if (ending == "json") {
    write_output(json(), file, console);
  } else if (file || !options.common.json) {
    constexpr int usual_width = 80;
    write_output(text_of(exercises, options, file ? usual_width : console.width), file, console);
  }
}

}  // namespace

std::function<void()> set_up_exercise(OptionParser& parser, Console& console) {
  auto options = std::make_shared<ExerciseOptions>();
  parser
      .add_option("progression", options->common.progression,
                  "the student's own song, for exercises that work with chords: chords, a file or a library id")
      .value_name("PROGRESSION");
  options->common.add_key(parser);
  options->common.add_from(parser);
  parser.add_option("--level", options->level, "level of the student, 1 to 8; 1 without it").value_name("N");
  parser.add_option("--kind", options->family, "improvise, compose, technique, ear or song; all of them without it")
      .value_name("KIND");
  parser.add_option("--id", options->id, "one exercise by its name (--list)").value_name("NAME");
  parser.add_option("--seed", options->seed, "another number, other exercises; the same one gives the same again")
      .value_name("N")
      .check_seed();
  parser.add_option("--choices", options->choices, "how many to choose from, 1 to 8; 3 without it")
      .value_name("N")
      .refuse_zero("choose 1 to 8");
  parser.add_option("--choice", options->choice, "only this one of the choices: A, B, C").value_name("LETTER");
  parser.add_flag("--list", options->list, "all exercises with their levels");
  parser.add_flag("--levels", options->levels, "what each level adds: harmony, hands, rhythm, ear, form");
  parser.add_option("--unit", options->unit, "a first term as one booklet: beginner, teenager or adult")
      .value_name("NAME");
  parser
      .add_option("--student", options->student,
                  "asks again what this student confused, writes down what --check finds; in the steps of a piece "
                  "(--id piece-...) the song that was kept last")
      .value_name("NAME");
  parser.add_flag("--model", options->model, "in the sound, the models play over the band");
  parser.add_flag("--answers", options->answers, "with the answer key, for the teacher");
  parser.add_option("--check", options->check, "an answer, or a file with one: what holds, and what does not yet")
      .value_name("ANSWER");
  parser.add_option("--paper", options->paper, "a4 or letter, for .pdf, .svg and .png").value_name("SIZE");
  parser.add_flag("--large", options->large, "large print");
  options->terms.add(parser);
  options->common.add_out(
      parser, ".pdf, .svg, .png, .txt or .json; .musicxml for the notes of one; .wav, .flac or .mid for its sound");
  options->common.add_json(parser);
  return [options, &console] { run_exercise(*options, console); };
}

}  // namespace romanesca
