#pragma once

#include <array>

namespace romanesca {

/// The words that a chart on paper has of its own, beside those of the song.
struct PaperWords {
  const char* student;
  const char* teacher;
  const char* date;
  const char* hands;
  const char* left_hand;
  const char* right_hand;
  const char* middle_c;
  const char* fingers;
  const char* bar;
  const char* bars;
  const char* twice;
  const char* times;                ///< with {}, from three on
  const char* as_before;            ///< a section that was printed out before
  const char* as_section;           ///< with {}: like the section of that name
  const char* stop;                 ///< the caution at the foot
  std::array<const char*, 7> keys;  ///< with {} for the tonic, in the order of Mode
  bool small_minor;                 ///< the tonic of a minor key begins with a small letter
};

inline constexpr PaperWords english_words{
    "student",
    "teacher",
    "date",
    "Hands",
    "left hand",
    "right hand",
    "middle C",
    "figures are fingers, 1 is the thumb",
    "bar",
    "bars",
    "twice",
    "{} times",
    "as before",
    "as {}",
    "Stop if a stretch hurts.",
    {"{} major", "{} minor", "{} dorian", "{} phrygian", "{} lydian", "{} mixolydian", "{} locrian"},
    false,
};

inline constexpr PaperWords german_words{
    "Für",
    "Unterricht bei",
    "Datum",
    "Hände",
    "linke Hand",
    "rechte Hand",
    "c¹ (mittleres C)",
    "Zahlen sind Finger, 1 ist der Daumen",
    "Takt",
    "Takte",
    "zweimal",
    "{}-mal",
    "wie vorher",
    "wie {}",
    "Hör auf, wenn ein weiter Griff wehtut.",
    {"{}-Dur", "{}-Moll", "{} dorisch", "{} phrygisch", "{} lydisch", "{} mixolydisch", "{} lokrisch"},
    true,
};

}  // namespace romanesca
