#include "cli/web/page_lesson.h"

#include <algorithm>

#include "cli/formats/chords_json.h"
#include "cli/formats/exercise_json.h"
#include "cli/web/page_data.h"
#include "progressions/continuation.h"
#include "progressions/exercise.h"
#include "progressions/library.h"
#include "theory/analysis/remarks.h"
#include "theory/songs/header_text.h"
#include "theory/songs/progression_writer.h"

namespace romanesca {
namespace {

int level_in(const OrderedJson& request, int fallback) {
  return static_cast<int>(std::clamp(number_in(request, "level", fallback), 1.0, 8.0));
}

}  // namespace

OrderedJson lesson_analysis(const Placement& song, const OrderedJson& request) {
  const auto level = static_cast<int>(std::clamp(number_in(request, "level", 0), 0.0, 8.0));
  AnalysisReport report = report_on(song.progression, song.analysis, level, levels());
  report.next = continuations(song.analysis, 5);
  OrderedJson json = analysis_json(report).object();
  json.erase("chords");
  return json;
}

OrderedJson lesson_exercises(const OrderedJson& request) {
  ExerciseRequest wanted;
  wanted.level = level(level_in(request, 3));
  wanted.seed = static_cast<std::uint64_t>(std::clamp(number_in(request, "seed", 1), 0.0, 4294967295.0));
  const auto choices = static_cast<int>(std::clamp(number_in(request, "choices", 3), 1.0, 8.0));
  const auto key = parse_written_key(text_in(request, "key"));
  if (key) wanted.key = {key->tonic, key->mode.value_or(Mode::major)};
  if (!text_in(request, "text").empty()) {
    const auto song = song_of(request);
    if (!song) return error_json(song.error());
    wanted.song = song->progression;
    wanted.key = song->key;
    wanted.key_is_free = !key;
  }
  std::vector<Exercise> exercises;
  const auto add = [&](std::optional<ExerciseFamily> family, int count) {
    wanted.family = family;
    wanted.choices = count;
    auto set = set_exercises(wanted);
    if (!set) return set.error();
    for (Exercise& each : *set) {
      const bool there =
          std::any_of(exercises.begin(), exercises.end(), [&](const auto& own) { return own.id == each.id; });
      if (!there && static_cast<int>(exercises.size()) < choices) exercises.push_back(std::move(each));
    }
    return TextError();
  };
  // A level without exercises of the family has others: only an empty set is an error.
  if (wanted.song) static_cast<void>(add(ExerciseFamily::song, 1));
  const TextError error = add(std::nullopt, choices + 1);
  if (exercises.empty()) return error_json(error);
  OrderedJson json{{"exercises", OrderedJson::array()}};
  for (std::size_t i = 0; i < exercises.size(); ++i) {
    OrderedJson each = exercise_json(exercises[i], choice_name(i), false);
    each["text"] = write_progression(exercises[i].shown());
    each["task"] = task_json(exercises[i]);
    json["exercises"].push_back(std::move(each));
  }
  return json;
}

OrderedJson lesson_library() {
  OrderedJson json{{"patterns", OrderedJson::array()}};
  for (const Pattern& pattern : library()) {
    json["patterns"].push_back({{"id", pattern.id},
                                {"chords", pattern.chords},
                                {"mode", to_string(pattern.mode)},
                                {"level", pattern.level},
                                {"says", pattern.description}});
  }
  return json;
}

}  // namespace romanesca
