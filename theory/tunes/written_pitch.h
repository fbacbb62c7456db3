#pragma once

#include <array>
#include <optional>
#include <string>

#include "theory/notes/pitch.h"

namespace romanesca {

/// Which accidental counts for a letter while the notes of a bar are read or written: that of the key signature, until
/// another one stands in the bar. As in ABC 2.1, section 11.3, where nothing else is said, an accidental counts for its
/// letter in every octave until the bar line.
class BarAccidentals {
 public:
  /// @param signature sharps (positive) or flats (negative), -7 to 7
  explicit BarAccidentals(int signature = 0) : signature_(signature) {}

  /// A bar line.
  void begin_bar() { in_bar_ = {}; }
  /// @param letter 0 to 6 for C to B @param accidental as written before the note: sharps (positive) or flats
  [[nodiscard]] Pitch read(int letter, int octave, std::optional<int> accidental);
  /// The pitch in the letters of ABC 2.1, sections 4.1 and 4.2: "C" is middle C, "c" an octave above, "C," one below;
  /// "^F", "_B", "=F". The accidental is written with every note that is not as in the signature, and where the bar has
  /// had another one, so that the text means the same however far an accidental is taken to count.
  [[nodiscard]] std::string write(Pitch pitch);

 private:
  [[nodiscard]] int of_signature(int letter) const;

  int signature_;
  std::array<std::optional<int>, 7> in_bar_;
};

}  // namespace romanesca
