#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>
#include <utility>
#include <vector>

#include "theory/songs/progression.h"

namespace romanesca {

/// What the key finder hears of a chord: pitch classes without their spelling.
struct HeardChord {
  int bar = 0;              ///< from the first chord's bar
  double offset = 0;        ///< bars from that bar's line, 0 to 1
  double length = 0;        ///< bars, more than 0
  int root = 0;             ///< 0 to 11
  bool minor = false;       ///< minor third; a chord without a third counts as major
  bool dominant = false;    ///< major third and minor seventh
  bool sounds = true;       ///< false for N.C.
  std::uint16_t tones = 0;  ///< bit set of the sounding classes
};

inline constexpr std::size_t evidence_count = 20;
/// How strongly each of these features supports one tonic, in the order of evidence_names().
using Evidence = std::array<double, evidence_count>;

/// A piece chord by chord, from which the features of any range of its bars are computed.
class HeardPiece {
 public:
  /// N.C. before the first chord is left out.
  explicit HeardPiece(const Timeline& timeline);

  [[nodiscard]] const std::vector<HeardChord>& chords() const noexcept { return chords_; }
  /// The chords that begin in a bar.
  [[nodiscard]] std::span<const HeardChord> chords_of(int bar) const noexcept;
  [[nodiscard]] int bars() const noexcept { return static_cast<int>(bars_.size()); }
  /// The bars of the section that a bar belongs to: its first, and the first after it. A part of fewer than four bars
  /// belongs to the section before.
  [[nodiscard]] std::pair<int, int> section_around(int bar) const noexcept;

  /// The piece with each bar moved down by that many semitones.
  [[nodiscard]] HeardPiece moved_back(const std::vector<int>& semitones) const;

  /// The features of each of the twelve tonics in the bars from @p first to before @p end; all 0 where nothing sounds.
  [[nodiscard]] std::array<Evidence, 12> evidence(int first, int end) const;

 private:
  struct Bar {
    std::size_t first_chord = 0;  ///< index into chords_
    std::uint64_t content = 0;    ///< its chords as one number
    std::uint64_t passage = 0;    ///< this bar and the next three as one number; 0 where they are all alike
    int downbeat = -1;            ///< root on its first beat; -1 for none
  };
  struct Statistics;

  void index_bars();
  void find_sections(const Timeline& timeline, int first_bar);
  void count_durations(int first, int end, Statistics& s) const;
  void count_repeats(int first, int end, Statistics& s) const;

  std::vector<HeardChord> chords_;
  std::vector<Bar> bars_;
  std::vector<int> section_starts_;  ///< bars, rising, from 0
};

/// The weight of each feature. P(tonic) = softmax over the twelve tonics of the weighted sum.
struct KeyModel {
  Evidence song{};    ///< for a whole piece
  Evidence window{};  ///< for a window of sixteen bars
};

/// The one that the program uses. tests/fitting/key_weights finds its numbers and measures them.
[[nodiscard]] const KeyModel& fitted_key_model() noexcept;

/// The features in words, in the order of Evidence.
[[nodiscard]] std::span<const std::string_view, evidence_count> evidence_names() noexcept;

/// Log probabilities of the twelve tonics; all equal where nothing sounds.
[[nodiscard]] std::array<double, 12> tonic_log_probabilities(const std::array<Evidence, 12>& evidence,
                                                             const Evidence& weights) noexcept;

}  // namespace romanesca
