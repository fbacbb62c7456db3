#include "theory/analysis/key_remarks.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "theory/analysis/regions.h"
#include "theory/chords/numeral_text.h"

namespace romanesca {
namespace {

/// Facts about the chords of a piece that can be a reason for a key.
class KeyFacts {
 public:
  explicit KeyFacts(const Analysis& analysis) {
    const Chord* previous = nullptr;
    double stretch = 0;
    for (const AnalysedChord& each : analysis.chords) {
      if (!each.timed.chord) {
        previous = nullptr;
        continue;
      }
      const Chord& chord = *each.timed.chord;
      const auto root = static_cast<std::size_t>(chord.root.semitone());
      const double length = each.timed.length.quarters();
      const bool stays = previous != nullptr && previous->root.sounds_like(chord.root);
      stretch = stays ? stretch + length : length;
      longest_[root] = std::max(longest_[root], stretch);
      if (previous != nullptr && !stays) motions_[static_cast<std::size_t>(previous->root.semitone())][root] = true;
      (chord.type.is_minor() ? minor_ : major_)[root] = true;
      if (chord.type.is_dominant()) seventh_[root] = true;
      if (first_ == nullptr) first_ = &chord;
      last_ = &chord;
      previous = &chord;
      tones_ |= chord.sounding_tones();
    }
  }

  [[nodiscard]] bool begins_on(PitchClass note) const { return first_ != nullptr && first_->root.sounds_like(note); }
  [[nodiscard]] bool ends_on(PitchClass note) const { return last_ != nullptr && last_->root.sounds_like(note); }
  [[nodiscard]] bool rests_longer_on(PitchClass note, PitchClass other) const {
    return longest_[index(note)] > longest_[index(other)];
  }
  [[nodiscard]] bool moves(PitchClass from, PitchClass to) const { return motions_[index(from)][index(to)]; }
  [[nodiscard]] bool has_seventh_on(PitchClass note) const { return seventh_[index(note)]; }
  [[nodiscard]] bool has_main_chords_of(const Key& key) const {
    return std::all_of(main_degrees.begin(), main_degrees.end(), [&](int degree) {
      const Chord chord = key.diatonic_chord(degree, 3);
      return (chord.type.is_minor() ? minor_ : major_)[index(chord.root)];
    });
  }
  [[nodiscard]] bool scale_holds_all(const Key& key) const { return (tones_ & ~key.sounding_tones()) == 0; }

 private:
  static constexpr std::array main_degrees{1, 4, 5};
  static std::size_t index(PitchClass note) { return static_cast<std::size_t>(note.semitone()); }
  std::array<double, 12> longest_{};
  std::array<std::array<bool, 12>, 12> motions_{};
  std::array<bool, 12> major_{}, minor_{}, seventh_{};
  const Chord* first_ = nullptr;
  const Chord* last_ = nullptr;
  unsigned tones_ = 0;
};

/// A reason for another key that holds: the feature of key_model that supports it most, if it can be said and is so,
/// else the first that is; empty where none is.
std::string reason_for(const KeyGuess& other, const Key& main, const KeyFacts& facts) {
  const PitchClass tonic = other.key.tonic;
  const PitchClass fifth = other.key.degree(5);
  const std::string name = to_string(tonic);
  struct Reason {
    std::array<int, 2> features;
    bool holds;
    std::string text;
  };
  const std::array<Reason, 7> reasons{{
      {{3, 3}, facts.begins_on(tonic), fmt::format("it begins on {}", name)},
      {{5, 5}, facts.ends_on(tonic), fmt::format("it ends on {}", name)},
      {{1, 1},
       facts.rests_longer_on(tonic, main.tonic),
       fmt::format("the music rests longer on {} than on {}", name, to_string(main.tonic))},
      {{8, 10}, facts.moves(fifth, tonic), fmt::format("{} leads to {}", to_string(fifth), name)},
      {{2, 2}, facts.has_main_chords_of(other.key), fmt::format("the three main chords of {} are all there", name)},
      {{9, 9},
       facts.has_seventh_on(main.tonic),
       fmt::format("{} with its seventh sounds like a chord that leads on", to_string(main.tonic))},
      {{-1, -1}, facts.scale_holds_all(other.key), "its scale holds all the notes as well"},
  }};
  const Reason* chosen = nullptr;
  for (const Reason& each : reasons) {
    if (!each.holds) continue;
    const bool strongest = each.features[0] == other.strongest_feature || each.features[1] == other.strongest_feature;
    if (chosen == nullptr || strongest) chosen = &each;
    if (strongest) break;
  }
  return chosen == nullptr ? "" : chosen->text;
}

bool are_relatives(const Key& a, const Key& b) {
  return a.signature() == b.signature() && is_minorish(a.mode) != is_minorish(b.mode);
}

/// The alternative worth a sentence: a likely one, or the relative key where the music begins or ends on its tonic.
const KeyGuess* second_reading(const Analysis& analysis, const KeyFacts& facts) {
  for (const KeyGuess& other : analysis.keys.alternatives) {
    const bool likely = other.confidence > least_confidence_to_mention;
    const bool relative = are_relatives(other.key, analysis.keys.main.key) &&
                          other.confidence > least_confidence_of_relative &&
                          (facts.begins_on(other.key.tonic) || facts.ends_on(other.key.tonic));
    if (likely || relative) return &other;
  }
  return nullptr;
}

std::string text_of(const KeyRegion& region, const Key& from) {
  const int rise = (region.key.tonic.semitone() - from.tonic.semitone() + 12) % 12;
  const std::string_view distance = rise == 1 ? ", a semitone up" : rise == 2 ? ", a tone up" : "";
  std::string text = fmt::format("The music moves to {}{}", to_string(region.key), distance);
  if (!region.how.empty()) text += ": " + region.how;
  return text + ".";
}

}  // namespace

std::vector<Remark> remarks_on_keys(const Analysis& analysis) {
  std::vector<Remark> remarks;
  const KeyFacts facts(analysis);
  if (const KeyGuess* const other = second_reading(analysis, facts)) {
    const std::string reason = reason_for(*other, analysis.keys.main.key, facts);
    remarks.push_back({"key", 0,
                       fmt::format("It can also be heard in {}{}. End on either tonic and listen which one feels like "
                                   "home.",
                                   to_string(other->key), reason.empty() ? "" : ": " + reason)});
  }
  const std::vector<KeyRegion> regions = key_regions(analysis);
  for (std::size_t i = 1; i < regions.size(); ++i) {
    remarks.push_back({"key", regions[i].bar, text_of(regions[i], regions[i - 1].key)});
  }
  return remarks;
}

}  // namespace romanesca
