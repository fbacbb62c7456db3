#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "theory/analysis/analysis.h"
#include "theory/text/embedded_text.h"
#include "theory/voicing/hands.h"
#include "theory/voicing/left_hand.h"

namespace romanesca {

/// Chords from outside the key that a level allows; each allows those before it.
enum class ForeignChords { none, applied, borrowed, any };

/// How often the chords of an exercise are struck.
enum class Rhythm { held, halves, beats, free };
/// "strike each chord once and hold it", for a person.
[[nodiscard]] std::string_view description(Rhythm rhythm);

/// What a student of a level can be asked to play: a table of levels.toml, which explains the fields.
struct Level {
  int number = 1;  ///< 1 to 8
  std::string name;
  int accidentals = 0;
  std::vector<ChordType> chords;
  bool all_chords = false;
  int inversions = 0;
  ForeignChords foreign = ForeignChords::none;
  int chords_per_bar = 1;
  LeftHand left = LeftHand::root;
  int span = 7;  ///< semitones
  Rhythm rhythm = Rhythm::held;

  [[nodiscard]] bool allows(ChordType type) const;
  [[nodiscard]] bool allows(Origin origin) const;
  [[nodiscard]] bool allows(const Key& key) const;
};

/// The eight levels, from 1.
[[nodiscard]] std::span<const Level> levels();
/// @param number 1 to 8; others are clamped.
[[nodiscard]] const Level& level(int number);

/// The hands of a student of the level: left hand, span and inversions; without inversions one place for every chord;
/// the rest are the defaults.
[[nodiscard]] HandSettings level_hands(const Level& level);

/// Whether its chords can be played at the level, in any key.
[[nodiscard]] bool chords_fit(const Analysis& analysis, const Level& level);

/// The lowest of these levels at which the piece can be played as it is; the highest if there is no such level.
[[nodiscard]] int level_of(const Analysis& analysis, std::span<const Level> of = levels());

/// Reads a file of levels. @return eight of them, or what is wrong and where.
[[nodiscard]] Parsed<std::vector<Level>> read_levels(const EmbeddedText& file);

/// The data file as compiled in.
[[nodiscard]] std::span<const EmbeddedText> level_texts();

/// The triads of a key that a level can play, for a student to choose from: at first the three main ones, later all but
/// the diminished. In minor the dominant has its leading note.
[[nodiscard]] std::vector<Chord> playable_triads(const Key& key, const Level& level);

}  // namespace romanesca
