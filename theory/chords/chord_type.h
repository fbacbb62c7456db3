#pragma once

#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "theory/notes/interval.h"
#include "theory/notes/short_list.h"
#include "theory/text/embedded_text.h"

namespace romanesca {

/// As many tones as a ChordType can have.
inline constexpr std::size_t most_tones = 25;

/// What a chord is apart from its root: a set of spelled intervals above it, octaves apart not counted.
///
/// The set is a bit mask over the line of fifths from -12 to 12, so a sharp ninth and a minor third, or a flat fifth
/// and a sharp eleventh, stay different. A ninth and a second are the same member: where there is no third, a second or
/// a fourth replaces it and makes a suspension.
class ChordType {
 public:
  constexpr ChordType() noexcept = default;
  constexpr ChordType(std::initializer_list<Interval> tones) noexcept {
    for (const Interval tone : tones) add(tone);
  }

  [[nodiscard]] constexpr bool has(Interval tone) const noexcept { return (mask_ & bit(tone)) != 0; }
  constexpr void add(Interval tone) noexcept { mask_ |= bit(tone); }
  constexpr void remove(Interval tone) noexcept { mask_ &= ~bit(tone); }
  /// Removes @p from if it is there, and adds @p to in any case.
  constexpr void replace(Interval from, Interval to) noexcept {
    remove(from);
    add(to);
  }
  [[nodiscard]] constexpr int size() const noexcept {
    int count = 0;
    for (std::uint32_t rest = mask_; rest != 0; rest &= rest - 1) ++count;
    return count;
  }

  /// The tones from the root up in the order of their names: 1, then the third (or the second and fourth that replace
  /// it), fifth, sixth (where there is no seventh), seventh, ninth, eleventh, thirteenth. Ninths and above are
  /// compound.
  [[nodiscard]] ShortList<Interval, most_tones> tones() const noexcept;

  [[nodiscard]] constexpr bool has_third() const noexcept {
    return has(intervals::minor_third) || has(intervals::major_third);
  }
  [[nodiscard]] constexpr bool has_seventh() const noexcept {
    return has(intervals::minor_seventh) || has(intervals::major_seventh) || has(intervals::diminished_seventh);
  }
  /// Minor third and no major one: written with a lower-case numeral.
  [[nodiscard]] constexpr bool is_minor() const noexcept {
    return has(intervals::minor_third) && !has(intervals::major_third);
  }
  [[nodiscard]] constexpr bool is_diminished() const noexcept {
    return is_minor() && has(intervals::diminished_fifth) && !has(intervals::perfect_fifth);
  }
  [[nodiscard]] constexpr bool is_augmented() const noexcept {
    return has(intervals::major_third) && has(intervals::augmented_fifth) && !has(intervals::perfect_fifth);
  }
  /// Major third and minor seventh: tends to fall a fifth.
  [[nodiscard]] constexpr bool is_dominant() const noexcept {
    return has(intervals::major_third) && has(intervals::minor_seventh);
  }
  /// The third and fifth alone (or what replaces them), without sevenths and above.
  [[nodiscard]] ChordType triad() const noexcept;

  [[nodiscard]] constexpr std::uint32_t mask() const noexcept { return mask_; }
  friend constexpr bool operator==(ChordType, ChordType) noexcept = default;

 private:
  static constexpr std::uint32_t bit(Interval tone) noexcept {
    const int place = tone.fifths() + 12;
    return place >= 0 && place <= 24 ? std::uint32_t{1} << place : 0;
  }
  std::uint32_t mask_ = 0;
};

namespace chord_types {
inline constexpr ChordType major{intervals::unison, intervals::major_third, intervals::perfect_fifth};
inline constexpr ChordType minor{intervals::unison, intervals::minor_third, intervals::perfect_fifth};
inline constexpr ChordType diminished{intervals::unison, intervals::minor_third, intervals::diminished_fifth};
inline constexpr ChordType augmented{intervals::unison, intervals::major_third, intervals::augmented_fifth};
inline constexpr ChordType dominant_seventh{intervals::unison, intervals::major_third, intervals::perfect_fifth,
                                            intervals::minor_seventh};
}  // namespace chord_types

/// A row of chord_types.txt.
struct ChordTypeRow {
  ChordType type;
  std::vector<Interval> tones;  ///< as the row lists them
  std::string symbol;           ///< what is printed after the root; empty for a major triad
  std::string name;             ///< "minor seventh"
};

/// All rows of chord_types.txt, in its order.
[[nodiscard]] std::span<const ChordTypeRow> chord_type_rows();

/// "minor seventh"; for a type without a row its symbol, "7(b9,b13)".
[[nodiscard]] std::string name_of(ChordType type);

/// The data file as compiled in.
[[nodiscard]] std::span<const EmbeddedText> chord_type_texts();

}  // namespace romanesca
