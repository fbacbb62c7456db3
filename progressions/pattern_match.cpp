#include "progressions/pattern_match.h"

#include <algorithm>
#include <array>
#include <cstdint>
#include <string_view>
#include <utility>

#include "progressions/library.h"
#include "theory/notes/short_list.h"

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
                    timed.start == timeline.meters.start_of(timed.bar)};
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
  bool found_in_relative_key = false;  ///< belongs to a family, which is also found from the relative key
  int bars = 0;                        ///< length of the pattern
  bool may_close = false;              ///< a blues: its last chord leads back, and a last time it stays on the tonic
};

bool pattern_is_family(const std::string& id) {
  return std::any_of(library().begin(), library().end(),
                     [&](const Pattern& other) { return other.family == id && other.id != id; });
}

const std::vector<Shape>& shapes() {
  static const std::vector<Shape> all = [] {
    std::vector<Shape> made;
    for (const Pattern& pattern : library()) {
      Shape shape{&pattern, steps_of(timeline(pattern.progression, {PitchClass{}, pattern.mode}))};
      shape.found_in_relative_key = pattern.family != pattern.id || pattern_is_family(pattern.id);
      std::vector<int> roots;
      for (const Step& step : shape.steps) {
        if (std::find(roots.begin(), roots.end(), step.root) == roots.end()) roots.push_back(step.root);
      }
      const auto& tags = pattern.tags;
      shape.loop = shape.steps.size() == 4 && std::find(tags.begin(), tags.end(), "loop") != tags.end();
      shape.bars = shape.steps.back().last_bar;
      shape.may_close = std::find(tags.begin(), tags.end(), "blues") != tags.end() && shape.steps.size() > 4 &&
                        shape.steps.back().root == 7 && shape.steps[shape.steps.size() - 2].root == 0;
      if (roots.size() >= 3) made.push_back(std::move(shape));
    }
    return made;
  }();
  return all;
}

/// A substitute for a chord in a loop: they share two tones and their place in the phrase (common practice).
struct Substitution {
  int usual, instead;  ///< semitones above the tonic
  bool usual_minor, instead_minor;
  std::string_view says;
};
constexpr std::array<Substitution, 6> substitutions{{{5, 2, false, true, "ii for IV"},
                                                     {2, 5, true, false, "IV for ii"},
                                                     {7, 11, false, true, "viio for V"},
                                                     {0, 4, false, true, "iii for I"},
                                                     {5, 2, true, true, "iio for iv"},
                                                     {10, 7, false, false, "V for bVII"}}};

const Substitution* substitution(const Step& wanted, int wanted_root, const Step& heard, int heard_root) {
  const auto found = std::find_if(substitutions.begin(), substitutions.end(), [&](const Substitution& each) {
    return each.usual == wanted_root && each.usual_minor == wanted.minor && each.instead == heard_root &&
           each.instead_minor == heard.minor;
  });
  return found == substitutions.end() ? nullptr : &*found;
}

/// How long a shape is followed from a step on: whole repetitions, with at most one substitution in each.
struct Agreement {
  std::size_t steps = 0;
  ShortList<std::uint8_t, substitutions.size()> instead;  ///< places in substitutions, each once, in order
  [[nodiscard]] std::size_t worth() const { return steps - 2 * std::min(steps / 2, instead.size()); }
};

/// A shape rotated by so many chords.
struct Candidate {
  const Shape* shape;
  std::size_t rotation;
};

Agreement agreement(const std::vector<Step>& piece, std::size_t start, const Candidate& candidate, int tonic) {
  const std::size_t size = candidate.shape->steps.size();
  Agreement whole;
  Agreement round;
  bool substituted = false;
  std::size_t place = candidate.rotation;
  std::size_t in_round = 0;
  for (std::size_t at = start; at < piece.size(); ++at) {
    const Step& wanted = candidate.shape->steps[place];
    const Step& heard = piece[at];
    const int heard_root = (heard.root - tonic + 12) % 12;
    if (heard.minor != wanted.minor || heard_root != wanted.root) {
      const Substitution* const other = substitution(wanted, wanted.root, heard, heard_root);
      if (other == nullptr || !candidate.shape->loop || substituted || at == start) break;
      substituted = true;
      const auto kind = static_cast<std::uint8_t>(other - substitutions.data());
      if (std::find(round.instead.begin(), round.instead.end(), kind) == round.instead.end()) {
        round.instead.push_back(kind);
      }
    }
    round.steps = at - start + 1;
    place = place + 1 == size ? 0 : place + 1;
    ++in_round;
    // A last chorus without the chord that leads back is whole if it has all of its bars.
    const bool closes = candidate.shape->may_close && round.steps + 1 == size &&
                        heard.last_bar - piece[start].bar + 1 == candidate.shape->bars;
    if (closes) whole = round;
    if (in_round < size) continue;
    in_round = 0;
    whole = round;
    substituted = false;
  }
  return whole;
}

constexpr std::size_t chord_kinds = 24;  // twelve roots above the tonic, major or minor

std::size_t kind_of(int above_tonic, bool minor) {
  const int kind = above_tonic * 2 + (minor ? 1 : 0);
  return static_cast<std::size_t>(kind);
}

/// The shapes and rotations that can agree with two chords, in the order of the library.
const std::vector<Candidate>& candidates_from(const Step& first, const Step& second, int tonic) {
  static const auto by_two = [] {
    std::array<std::vector<Candidate>, chord_kinds * chord_kinds> index;
    for (const Shape& shape : shapes()) {
      for (std::size_t rotation = 0; rotation < (shape.loop ? shape.steps.size() : 1); ++rotation) {
        const std::size_t begins = kind_of(shape.steps[rotation].root, shape.steps[rotation].minor) * chord_kinds;
        const Step& next = shape.steps[(rotation + 1) % shape.steps.size()];
        index[begins + kind_of(next.root, next.minor)].push_back({&shape, rotation});
        for (const Substitution& each : substitutions) {
          if (shape.loop && each.usual == next.root && each.usual_minor == next.minor)
            index[begins + kind_of(each.instead, each.instead_minor)].push_back({&shape, rotation});
        }
      }
    }
    return index;
  }();
  const auto kind = [&](const Step& step) { return kind_of((step.root - tonic + 12) % 12, step.minor); };
  return by_two[kind(first) * chord_kinds + kind(second)];
}

}  // namespace

std::vector<PatternMatch> match_patterns(const Analysis& analysis) {
  std::vector<PatternMatch> found;
  const std::vector<Step> piece = steps_of(analysis.timeline);
  for (std::size_t start = 0; start < piece.size();) {
    const Pattern* best = nullptr;
    Agreement best_agreement;
    std::size_t best_rotation = 0;
    std::size_t best_rank = 0;
    const Key& key = analysis.keys.by_bar[static_cast<std::size_t>(piece[start].bar - 1)];
    const int own = key.tonic.semitone();
    const int relative = (own + (is_minorish(key.mode) ? 3 : 9)) % 12;
    for (const int tonic : {own, relative}) {
      if (!piece[start].on_bar || start + 1 == piece.size()) break;
      for (const Candidate& candidate : candidates_from(piece[start], piece[start + 1], tonic)) {
        const Shape& shape = *candidate.shape;
        const bool own_mode = is_minorish(shape.pattern->mode) == is_minorish(key.mode);
        if (own_mode != (tonic == own) || (!own_mode && !shape.found_in_relative_key)) continue;
        const Agreement here = agreement(piece, start, candidate, tonic);
        const std::size_t rank = candidate.rotation + (own_mode ? 0 : 100);
        const bool better = here.worth() > best_agreement.worth() ||
                            (here.steps > 0 && here.worth() == best_agreement.worth() && rank < best_rank);
        if (!better) continue;
        best = shape.pattern;
        best_agreement = here;
        best_rotation = candidate.rotation;
        best_rank = rank;
      }
    }
    if (best == nullptr) {
      ++start;
      continue;
    }
    const std::size_t after = start + best_agreement.steps;
    const int last_bar = piece[after - 1].last_bar;
    PatternMatch match{
        best->family, piece[start].bar, last_bar - piece[start].bar + 1, static_cast<int>(best_rotation), {}};
    for (const std::uint8_t kind : best_agreement.instead) match.instead.emplace_back(substitutions[kind].says);
    found.push_back(std::move(match));
    start = after;
  }
  return found;
}

}  // namespace romanesca
