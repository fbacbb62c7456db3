#include "progressions/pattern_match.h"

#include <algorithm>
#include <optional>

#include "progressions/library.h"

namespace romanesca {
namespace {

/// A chord for comparing: root relative to the first chord of its sequence comes later, here the sounding class.
struct Step {
  int root = 0;
  bool minor = false;
  int bar = 0;         ///< where it begins
  int last_bar = 0;    ///< and the last that it sounds in
  bool on_bar = true;  ///< begins with its bar
};

std::vector<Step> steps_of(const Timeline& timeline) {
  std::vector<Step> steps;
  Beats end;
  for (const TimedChord& timed : timeline.chords) {
    if (!timed.chord) continue;
    const Step step{timed.chord->root.semitone(), timed.chord->type.is_minor(), timed.bar, timed.bar,
                    timed.start == timeline.meter.bar_length() * (timed.bar - 1)};
    const bool same =
        !steps.empty() && steps.back().root == step.root && steps.back().minor == step.minor && end == timed.start;
    end = timed.start + timed.length;
    if (!same) steps.push_back(step);
    steps.back().last_bar = timed.bar;
  }
  return steps;
}

/// The library's patterns as changes of chord, made once.
struct Shape {
  const Pattern* pattern = nullptr;
  std::vector<Step> steps;
  bool loop = false;
};

const std::vector<Shape>& shapes() {
  static const std::vector<Shape> all = [] {
    std::vector<Shape> made;
    for (const Pattern& pattern : library()) {
      Shape shape{&pattern, steps_of(timeline(pattern.progression, {PitchClass{}, pattern.mode})), false};
      std::vector<int> roots;
      for (const Step& step : shape.steps) {
        if (std::find(roots.begin(), roots.end(), step.root) == roots.end()) roots.push_back(step.root);
      }
      const auto& tags = pattern.tags;
      shape.loop = shape.steps.size() == 4 && std::find(tags.begin(), tags.end(), "loop") != tags.end();
      if (roots.size() >= 3) made.push_back(std::move(shape));
    }
    return made;
  }();
  return all;
}

bool pattern_is_family(const std::string& id) {
  return std::any_of(library().begin(), library().end(),
                     [&](const Pattern& other) { return other.family == id && other.id != id; });
}

/// The sounding tonic on which a pattern may be looked for in a key: the key's own, or for a pattern that is at home in
/// both relative keys (it belongs to a family) the relative's.
std::optional<int> tonic_of(const Pattern& pattern, const Key& key) {
  const bool minor_pattern = is_minorish(pattern.mode);
  if (minor_pattern == is_minorish(key.mode)) return key.tonic.semitone();
  const bool in_both = pattern.family != pattern.id || pattern_is_family(pattern.id);
  if (!in_both) return std::nullopt;
  return (key.tonic.semitone() + (minor_pattern ? 9 : 3)) % 12;
}

/// How many steps from @p start agree with the shape on that tonic, turned by @p rotation, going round as often as it
/// does.
std::size_t agreeing_steps(const std::vector<Step>& piece, std::size_t start, const Shape& shape, std::size_t rotation,
                           int tonic) {
  const std::size_t size = shape.steps.size();
  std::size_t count = 0;
  for (; start + count < piece.size(); ++count) {
    const Step& wanted = shape.steps[(rotation + count) % size];
    const Step& heard = piece[start + count];
    if (heard.minor != wanted.minor || (heard.root - wanted.root - tonic) % 12 != 0) break;
  }
  return count - count % size;
}

}  // namespace

std::vector<PatternMatch> match_patterns(const Analysis& analysis) {
  std::vector<PatternMatch> found;
  const std::vector<Step> piece = steps_of(analysis.timeline);
  for (std::size_t start = 0; start < piece.size();) {
    const Shape* best = nullptr;
    std::size_t best_steps = 0;
    std::size_t best_rank = 0;
    const Key& key = analysis.keys.by_bar[static_cast<std::size_t>(piece[start].bar - 1)];
    for (const Shape& shape : shapes()) {
      const bool own_mode = is_minorish(shape.pattern->mode) == is_minorish(key.mode);
      const auto home = tonic_of(*shape.pattern, key);
      if (!home || !piece[start].on_bar) continue;
      const std::size_t rotations = shape.loop ? shape.steps.size() : 1;
      for (std::size_t rotation = 0; rotation < rotations; ++rotation) {
        const std::size_t steps = agreeing_steps(piece, start, shape, rotation, *home);
        const std::size_t rank = rotation + (own_mode ? 0 : 100);
        const bool better = steps > best_steps || (steps == best_steps && steps > 0 && rank < best_rank);
        if (!better) continue;
        best = &shape;
        best_steps = steps;
        best_rank = rank;
      }
    }
    if (best == nullptr) {
      ++start;
      continue;
    }
    const std::size_t after = start + best_steps;
    const int last_bar = piece[after - 1].last_bar;
    found.push_back(
        {best->pattern->family, piece[start].bar, last_bar - piece[start].bar + 1, static_cast<int>(best_rank % 100)});
    start = after;
  }
  return found;
}

}  // namespace romanesca
