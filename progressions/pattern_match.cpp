#include "progressions/pattern_match.h"

#include <algorithm>

#include "progressions/library.h"

namespace romanesca {
namespace {

/// A chord for comparing: root relative to the first chord of its sequence comes later, here the sounding class.
struct Step {
  int root = 0;
  bool minor = false;
  int bar = 0;
};

std::vector<Step> steps_of(const Timeline& timeline) {
  std::vector<Step> steps;
  for (const TimedChord& timed : timeline.chords) {
    if (!timed.chord || timed.held) continue;
    const Step step{timed.chord->root.semitone(), timed.chord->type.is_minor(), timed.bar};
    const bool same = !steps.empty() && steps.back().root == step.root && steps.back().minor == step.minor;
    if (!same) steps.push_back(step);
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

/// How many steps from @p start agree with the shape, turned by @p rotation, going round as often as it does.
std::size_t agreeing_steps(const std::vector<Step>& piece, std::size_t start, const Shape& shape, std::size_t rotation) {
  const std::size_t size = shape.steps.size();
  const int shift = piece[start].root - shape.steps[rotation % size].root;
  std::size_t count = 0;
  for (; start + count < piece.size(); ++count) {
    const Step& wanted = shape.steps[(rotation + count) % size];
    const Step& heard = piece[start + count];
    if (heard.minor != wanted.minor || (heard.root - wanted.root - shift) % 12 != 0) break;
  }
  return count - count % size;
}

}  // namespace

std::vector<PatternMatch> match_patterns(const Analysis& analysis) {
  std::vector<PatternMatch> found;
  const std::vector<Step> piece = steps_of(analysis.timeline);
  const bool minor_key = is_minorish(analysis.keys.main.key.mode);
  for (std::size_t start = 0; start < piece.size();) {
    const Shape* best = nullptr;
    std::size_t best_steps = 0;
    std::size_t best_rank = 0;
    for (const Shape& shape : shapes()) {
      const std::size_t rotations = shape.loop ? shape.steps.size() : 1;
      for (std::size_t rotation = 0; rotation < rotations; ++rotation) {
        const std::size_t steps = agreeing_steps(piece, start, shape, rotation);
        const std::size_t rank = rotation + (is_minorish(shape.pattern->mode) == minor_key ? 0 : 100);
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
    const int last_bar = after < piece.size() ? std::max(piece[after].bar - 1, piece[after - 1].bar) : analysis.timeline.bars;
    found.push_back({best->pattern->family, piece[start].bar, last_bar - piece[start].bar + 1,
                     static_cast<int>(best_rank % 100)});
    start = after;
  }
  return found;
}

}  // namespace romanesca
