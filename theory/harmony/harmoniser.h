#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "theory/analysis/analysis.h"
#include "theory/harmony/chord_palette.h"
#include "theory/harmony/tune_check.h"
#include "theory/harmony/tune_key.h"
#include "theory/songs/progression.h"
#include "theory/tunes/tune.h"

namespace romanesca {

/// The character of chords for a tune.
enum class HarmonyKind : std::uint8_t {
  plain,      ///< I, IV and V alone; in minor i, iv and V
  of_key,     ///< with the other chords of the key: in major the minor ones
  surprise,   ///< with chords that a listener does not expect
  other_way,  ///< with the chords of the choices before, in other places
  other_key,  ///< in another key that the tune can be heard in
  own,        ///< from the student's own chords, where they fit
  own_slow,   ///< the same, a chord a bar
  own_round,  ///< the student's own chords round and round, a bar each
};
[[nodiscard]] std::string_view to_string(HarmonyKind kind);

/// Chords for a tune.
struct HarmonyChoice {
  HarmonyKind kind = HarmonyKind::plain;
  Progression progression;        ///< absolute chords, as many bars as the tune from bar 1 on, four bars a row
  Analysis analysis;              ///< of it, in the choice's key
  std::vector<OutsideNote> rubs;  ///< long notes that rub against their chord
  std::string reason;             ///< a sentence for a person; what it says is found in the analysis and the tune

  [[nodiscard]] const Key& key() const noexcept { return analysis.keys.main.key; }
};

struct Harmonisation {
  std::vector<TuneKeyGuess> keys;  ///< the likeliest first; one where it was stated
  /// Up to three, which differ. The first fits the tune best.
  std::vector<HarmonyChoice> choices;
};

/// What is asked of the chords for a tune.
struct HarmonyRequest {
  std::optional<KeyText> key;  ///< stated; nothing to find it from the tune
  HarmonyLimits limits;
  std::vector<Chord> own;  ///< the student's own chords, to use these alone; empty for those of the key
  CadenceTerms terms = CadenceTerms::british;
};

/// Chords for a tune: three choices of different character. Which chords fit where is decided by harmony_path; a
/// dominant before the tonic gets its seventh where that is allowed.
/// @param tune with at least one note that ends in bar 1 or later; for another one there are no choices
[[nodiscard]] Harmonisation harmonise(const Tune& tune, const MeterMap& meters, const HarmonyRequest& request = {});

/// The song with the chords of a choice in place of its own, bar by bar as played; bars after the tune's end keep
/// theirs. Its form on paper is given up, as what was written once may have other chords the second time.
[[nodiscard]] Progression with_harmony(Progression song, const HarmonyChoice& choice);

}  // namespace romanesca
