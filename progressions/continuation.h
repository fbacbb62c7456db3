#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "theory/analysis/analysis.h"
#include "theory/text/embedded_text.h"

namespace romanesca {

/// A chord that could come next.
struct Continuation {
  Numeral numeral;
  Chord chord;         ///< in the key where the piece stops
  double share = 0;    ///< how likely it follows here, 0 to 1
  std::string reason;  ///< a sentence for a person
};

/// What could follow the last chord of a piece, the likeliest first: from how often songs go from that chord to each
/// other one (continuations.txt), from the library's patterns that the last chords have begun, and from
/// the chords that the piece has used already. Empty for a piece
/// without chords.
[[nodiscard]] std::vector<Continuation> continuations(const Analysis& analysis, std::size_t most = 5);

/// How usual a continuation is, in a word: "often" from one time in five on, "sometimes" from one in twenty on,
/// else "seldom", which is a surprise. The limits are our own choice. @param share 0 to 1
[[nodiscard]] std::string_view how_usual(double share) noexcept;

/// A chord as continuations.txt counts it: its root above the tonic in semitones, and its kind of triad.
struct ChordStep {
  int above = 0;  ///< 0 to 11
  enum class Kind : std::uint8_t { major, minor, diminished } kind = Kind::major;
  friend bool operator==(const ChordStep&, const ChordStep&) = default;
};
[[nodiscard]] ChordStep step_of(const Chord& chord, PitchClass tonic) noexcept;
/// "bVI", "ii", "viio": counted from the major scale in every mode.
[[nodiscard]] std::string to_string(const ChordStep& step);

/// A line of the file: what follows one chord.
struct ContinuationRow {
  bool minor = false;  ///< in minor keys
  std::string from;
  std::vector<std::pair<std::string, double>> next;  ///< share of all changes from it, 0 to 1, falling
};
[[nodiscard]] const std::vector<ContinuationRow>& continuation_rows();

/// The data file as compiled in.
[[nodiscard]] std::span<const EmbeddedText> continuation_texts();

}  // namespace romanesca
