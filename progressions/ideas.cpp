#include "progressions/ideas.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <bit>
#include <optional>

#include "progressions/library.h"
#include "theory/chords/chord_naming.h"

namespace romanesca {
namespace {

constexpr std::size_t phrase_length = 4;

/// The first phrase: the chords the piece begins with, up to four changes in one key.
std::vector<Chord> first_phrase(const Analysis& analysis, Key& key) {
  std::vector<Chord> phrase;
  for (const AnalysedChord& each : analysis.chords) {
    if (!each.timed.chord) continue;
    if (phrase.empty()) key = each.key;
    if (each.key != key || phrase.size() == phrase_length) break;
    const Chord chord = respelled(*each.timed.chord, each.key);
    if (phrase.empty() || phrase.back() != chord) phrase.push_back(chord);
  }
  return phrase;
}

int above_tonic(const Chord& chord, const Key& key) { return (chord.root.semitone() - key.tonic.semitone() + 12) % 12; }

/// Whether two phrases have the same roots, in any order.
bool same_roots(const std::vector<Chord>& a, const std::vector<Chord>& b) {
  const auto roots = [](const std::vector<Chord>& chords) {
    unsigned set = 0;
    for (const Chord& chord : chords) set |= 1U << chord.root.semitone();
    return set;
  };
  return roots(a) == roots(b);
}

class Thinker {
 public:
  Thinker(const Analysis& analysis, const Level& level) : level_(level), phrase_(first_phrase(analysis, key_)) {}

  std::vector<Idea> think() {
    if (phrase_.size() < 2) return {};
    offer(substitution());
    offer(colour());
    if (ideas_.size() > 1) ideas_.pop_back();  // one changed chord is enough
    offer(walking_bass());
    if (ideas_.size() < 2) offer(other_order());
    offer(bridge());
    if (ideas_.size() < 3) offer(other_order());
    if (ideas_.size() > 3) ideas_.resize(3);
    return std::move(ideas_);
  }

 private:
  /// Takes an idea that the level can play and that is none of those before.
  void offer(std::optional<Idea> idea) {
    if (!idea) return;
    for (std::size_t i = 0; i < idea->chords.size(); ++i) {
      const Chord& chord = idea->chords[i];
      const auto next = i + 1 < idea->chords.size() ? std::optional(idea->chords[i + 1]) : std::nullopt;
      const int inversion = chord.bass == chord.root ? 0 : chord.inversion().value_or(3);
      const Origin origin = read_chord(chord, key_, next).origin;
      if (!level_.allows(chord.type) || !level_.allows(origin) || inversion > level_.inversions) return;
    }
    const bool known =
        std::any_of(ideas_.begin(), ideas_.end(), [&](const Idea& other) { return other.kind == idea->kind; });
    if (!known) ideas_.push_back(std::move(*idea));
  }

  /// A chord of the key that shares two notes with one of the phrase and is not in it yet. Not for the first chord.
  [[nodiscard]] std::optional<Idea> substitution() const {
    for (std::size_t i = phrase_.size(); i-- > 1;) {
      const Chord& usual = phrase_[i];
      // No triad replaces the dominant, nor the tonic at an ending.
      if (above_tonic(usual, key_) == 7 || (above_tonic(usual, key_) == 0 && i + 1 == phrase_.size())) continue;
      for (const int degree : {2, 4, 6, 3}) {
        const Chord other = key_.diatonic_chord(degree, 3);
        const bool there =
            std::any_of(phrase_.begin(), phrase_.end(), [&](const Chord& c) { return c.root == other.root; });
        const int common = std::popcount(other.sounding_tones() & usual.sounding_tones());
        if (there || common < 2 || other.type.is_diminished()) continue;
        Idea idea{"substitution", phrase_, {}};
        idea.chords[i] = other;
        constexpr std::array<std::string_view, 5> counts{"", "", "two", "three", "four"};
        idea.text = fmt::format("{} for {}: {} of its notes stay, the colour changes.", to_string(other),
                                to_string(usual), counts[static_cast<std::size_t>(std::min(common, 4))]);
        return idea;
      }
    }
    return std::nullopt;
  }

  /// The minor chord on the fourth degree of a major key; the major one in minor.
  [[nodiscard]] std::optional<Idea> colour() const {
    for (std::size_t i = 0; i < phrase_.size(); ++i) {
      const Chord& usual = phrase_[i];
      if (above_tonic(usual, key_) != 5) continue;
      const bool minor = usual.type.is_minor();
      if (minor != is_minorish(key_.mode) || !usual.type.has_third()) continue;
      Idea idea{"colour", phrase_, {}};
      idea.chords[i] = Chord::on(usual.root, minor ? chord_types::major : chord_types::minor);
      const PitchClass third = usual.root + (minor ? intervals::minor_third : intervals::major_third);
      const PitchClass other = usual.root + (minor ? intervals::major_third : intervals::minor_third);
      idea.text = fmt::format("{} for {}: {} becomes {}, a {} colour.", to_string(idea.chords[i]), to_string(usual),
                              to_string(third), to_string(other), minor ? "brighter" : "darker");
      return idea;
    }
    return std::nullopt;
  }

  /// A first inversion between two chords whose roots lie a third apart or more, so that the bass goes by step.
  [[nodiscard]] std::optional<Idea> walking_bass() const {
    for (std::size_t i = 1; i < phrase_.size(); ++i) {
      const Chord& here = phrase_[i];
      if (here.bass != here.root) continue;
      Chord inverted = here;
      inverted.bass = here.tones()[1];
      const auto step = [](PitchClass from, PitchClass to) {
        const int up = (to.semitone() - from.semitone() + 12) % 12;
        return up == 1 || up == 2 || up >= 10;
      };
      const Chord& next = phrase_[(i + 1) % phrase_.size()];
      if (!step(phrase_[i - 1].bass, inverted.bass) || !step(inverted.bass, next.bass)) continue;
      Idea idea{"bass", phrase_, {}};
      idea.chords[i] = inverted;
      idea.text = fmt::format("{} for {}: the bass walks by step, {} {} {}.", to_string(inverted), to_string(here),
                              to_string(phrase_[i - 1].bass), to_string(inverted.bass), to_string(next.bass));
      return idea;
    }
    return std::nullopt;
  }

  /// The same chords, begun on another one: not on the tonic if they begin there, else on the tonic.
  [[nodiscard]] std::optional<Idea> other_order() const {
    if (phrase_.size() < 3 || phrase_.front() == phrase_.back()) return std::nullopt;
    const bool begins_on_tonic = above_tonic(phrase_.front(), key_) == 0;
    for (std::size_t turn = phrase_.size() - 1; turn > 0; --turn) {
      Idea idea{"order", phrase_, {}};
      std::rotate(idea.chords.begin(), idea.chords.begin() + static_cast<std::ptrdiff_t>(turn), idea.chords.end());
      const int first = above_tonic(idea.chords.front(), key_);
      if (begins_on_tonic ? first == 7 || first == 0 : first != 0) continue;
      idea.text = begins_on_tonic ? "The same chords, begun away from home: the first bar already asks for more."
                                  : "The same chords, begun at home: calmer, good for a verse.";
      return idea;
    }
    return std::nullopt;
  }

  /// A pattern of the library that does not begin on the tonic and ends on the dominant, or at least not on the tonic.
  [[nodiscard]] std::optional<Idea> bridge() const {
    for (const bool on_dominant : {true, false}) {
      for (const Pattern& pattern : library()) {
        if (pattern.mode != key_.mode || pattern.level > level_.number) continue;
        Idea idea{"bridge", {}, {}};
        for (const TimedChord& timed : timeline(pattern.progression, key_).chords) {
          if (timed.chord && (idea.chords.empty() || idea.chords.back() != *timed.chord))
            idea.chords.push_back(*timed.chord);
        }
        if (idea.chords.size() < 3 || idea.chords.size() > 8 || same_roots(idea.chords, phrase_)) continue;
        const int first = above_tonic(idea.chords.front(), key_);
        const int last = above_tonic(idea.chords.back(), key_);
        if (first == 0 || first == above_tonic(phrase_.front(), key_) || last == 0 || (last == 7) != on_dominant)
          continue;
        idea.text = fmt::format("For a bridge: it begins on {} and {} ({} in the library).",
                                to_string(idea.chords.front()), on_dominant ? "leads back" : "stays open", pattern.id);
        return idea;
      }
    }
    return std::nullopt;
  }

  const Level& level_;
  Key key_;
  std::vector<Chord> phrase_;
  std::vector<Idea> ideas_;
};

}  // namespace

std::vector<Idea> ideas_for(const Analysis& analysis, const Level& level) { return Thinker(analysis, level).think(); }

}  // namespace romanesca
