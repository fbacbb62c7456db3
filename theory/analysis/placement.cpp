#include "theory/analysis/placement.h"

#include <fmt/format.h>

#include <algorithm>

#include "theory/songs/progression.h"

namespace romanesca {
namespace {

TextError cannot_be_written(const Key& key) {
  TextError error;
  error.message = fmt::format("{} cannot be written with seven accidentals", to_string(key));
  error.hint = fmt::format("write \"{}\", the same keys on the piano", to_string(simplest_spelling(key)));
  return error;
}

TextError other_mode(const Key& from, const KeyText& to) {
  const Key meant{to.tonic, from.mode};
  TextError error;
  error.message = fmt::format("these chords are in {}; {} would be another piece, not another key", to_string(from),
                              to_string(Key{to.tonic, *to.mode}));
  error.hint = fmt::format("write \"{}\" to move them as they are", to_string(simplest_spelling(meant)));
  return error;
}

}  // namespace

Parsed<Placement> place_in_key(NamedProgression source, const std::optional<KeyText>& key, MinorDegrees style) {
  Placement placed;
  placed.name = std::move(source.name);
  Progression& progression = source.progression;
  if (progression.notation != Notation::absolute) {
    placed.key = key_of_numerals(progression, key);
    const bool open = !(key ? key : progression.key).value_or(KeyText{}).mode;
    if (open && source.open_mode) placed.key.mode = *source.open_mode;
    if (!placed.key.can_be_written()) return cannot_be_written(placed.key);
    placed.progression = realised(progression, placed.key);
    placed.analysis = analyse(progression, KeyText{placed.key.tonic, placed.key.mode}, style);
    return placed;
  }
  placed.progression = std::move(progression);
  placed.analysis = analyse(placed.progression, std::nullopt, style);
  placed.key = placed.analysis.keys.main.key;
  if (!key) return placed;
  if (key->mode && is_minorish(*key->mode) != is_minorish(placed.key.mode)) {
    // Chords that can be heard in the relative key too are moved from that one: from A minor instead of C major.
    const auto& others = placed.analysis.keys.alternatives;
    const auto relative = std::find_if(others.begin(), others.end(), [&](const KeyGuess& other) {
      return is_minorish(other.key.mode) == is_minorish(*key->mode) && other.key.signature() == placed.key.signature();
    });
    if (placed.progression.key || relative == others.end()) return other_mode(placed.key, *key);
    placed.key = relative->key;
  }
  const Key goal{key->tonic, placed.key.mode};
  if (!goal.can_be_written()) return cannot_be_written(goal);
  const bool named = placed.progression.key.has_value();
  placed.progression = transposed(placed.progression, interval_between(placed.key.tonic, goal.tonic));
  placed.progression.key = KeyText{goal.tonic, goal.mode};
  // The stated key keeps the reading the same; the confidence stays that of the original.
  const double confidence = placed.analysis.keys.main.confidence;
  placed.analysis = analyse(placed.progression, std::nullopt, style);
  if (!named) placed.analysis.keys.main.confidence = confidence;
  placed.key = goal;
  return placed;
}

}  // namespace romanesca
