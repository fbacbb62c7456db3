#include "cli/web/page_lesson.h"

#include <algorithm>

#include "cli/formats/chords_json.h"
#include "cli/formats/exercise_json.h"
#include "cli/web/page_data.h"
#include "progressions/exercise.h"
#include "progressions/library.h"
#include "theory/analysis/remarks.h"
#include "theory/songs/header_text.h"
#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

int level_in(const OrderedJson& request, int fallback) {
  return static_cast<int>(std::clamp(number_in(request, "level", fallback), 1.0, 8.0));
}

}  // namespace

OrderedJson lesson_analysis(const Placement& song, const OrderedJson& request) {
  const auto level = static_cast<int>(std::clamp(number_in(request, "level", 0), 0.0, 8.0));
  const AnalysisReport report = report_on(song.progression, song.analysis, level, levels());
  return analysis_json(report).object();
}

OrderedJson lesson_exercise(const OrderedJson& request) {
  ExerciseRequest exercise_request;
  exercise_request.level = level(level_in(request, 3));
  exercise_request.seed = static_cast<std::uint64_t>(std::max(number_in(request, "seed", 1), 0.0));
  exercise_request.choices = 1;
  exercise_request.family = parse_exercise_family(text_in(request, "kind"));
  const auto key = parse_written_key(text_in(request, "key"));
  if (key) exercise_request.key = {key->tonic, key->mode.value_or(Mode::major)};
  if (!text_in(request, "text").empty()) {
    const auto song = song_of(request);
    if (!song) return error_json(song.error());
    exercise_request.song = song->progression;
    exercise_request.key = song->key;
    exercise_request.key_is_free = !key;
  }
  const auto set = set_exercises(exercise_request);
  if (!set) return error_json(set.error());
  const Exercise& exercise = set->front();
  OrderedJson json = exercise_json(exercise, "A", false);
  json["text"] = write_progression(exercise.shown());
  json["task"] = task_json(exercise);
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
