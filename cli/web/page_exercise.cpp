#include "cli/web/page_exercise.h"

#include "cli/web/page_song.h"
#include "theory/header_text.h"

namespace romanesca {

Parsed<std::vector<Exercise>> page_exercises(const PageRequest& request) {
  ExerciseRequest wanted;
  wanted.level = level(request.whole("level", 1, 1, 8));
  wanted.family = parse_exercise_family(request.text("kind"));
  wanted.id = request.text("id");
  constexpr double most_seed = 1e15;  // exact in JavaScript
  const double seed = request.number("seed", 1);
  wanted.seed = seed >= 0 && seed <= most_seed ? static_cast<std::uint64_t>(seed) : 1;
  wanted.choices = request.whole("choices", wanted.id.empty() ? 3 : 1, 1, 8);
  if (!request.text("text").empty()) {
    Parsed<PlacedProgression> placed = page_song(request);
    if (!placed) return placed.error();
    wanted.key = placed->key;
    wanted.song = std::move(placed->progression);
  } else if (const std::string key = request.text("key"); !key.empty()) {
    const std::optional<KeyText> read = parse_written_key(key);
    if (!read) return unplaced_error(key_fault(key).message, key_fault(key).hint);
    wanted.key = {read->tonic, read->mode.value_or(Mode::major)};
  }
  return set_exercises(wanted);
}

}  // namespace romanesca
