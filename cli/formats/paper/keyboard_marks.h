#pragma once

#include <span>
#include <vector>

#include "cli/formats/engraving/marks.h"
#include "cli/formats/paper/paper_words.h"
#include "theory/voicing/hands.h"

namespace romanesca {

/// A range of keys and their size: one for all pictures that stand together, so that they can be compared.
struct KeyboardScale {
  int low = 60, high = 71;  ///< MIDI numbers of white keys
  double key = 8;           ///< width of a white key, in points
  double figure = 8;        ///< size of the fingers

  /// The keys that any of the hands plays, widened to white keys. @param whole from a C or F to an E or B, for few keys
  [[nodiscard]] static KeyboardScale around(std::span<const HandsChord* const> hands, bool whole);

  [[nodiscard]] int white_keys() const;
  [[nodiscard]] double width() const { return key * white_keys(); }
  /// Of the keys; narrow ones are longer, so that what stands on them has room.
  [[nodiscard]] double height() const { return key * (key < 7 ? 5.6 : 4.3); }
  /// Over the keys, for the right hand's fingers, and under them, for middle C and the left hand's.
  [[nodiscard]] double above() const { return figure + 1; }
  [[nodiscard]] double below() const;
};

/// Adds a piece of keyboard with both hands on it: the right hand's notes as discs with fingers over the keys, the left
/// hand's as hollow squares with fingers under them, a triangle under middle C.
/// @param x @param y of the upper left corner of the keys
void add_keyboard(std::vector<Mark>& marks, double x, double y, const KeyboardScale& scale, const HandsChord& chord);

/// Names of keys under them, for beginners: each with its signs. Not for a keyboard with a left hand.
void add_key_names(std::vector<Mark>& marks, double x, double y, const KeyboardScale& scale, const Voicing& notes);

/// The same disc, square and triangle with their meaning, in one line. @return the width.
double add_hands_legend(std::vector<Mark>& marks, double x, double baseline, double size, const PaperWords& words);

}  // namespace romanesca
