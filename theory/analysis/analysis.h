#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "theory/analysis/cadence.h"
#include "theory/analysis/harmonic_function.h"
#include "theory/analysis/key_finding.h"
#include "theory/songs/progression.h"

namespace romanesca {

/// Where the chords around one stand: indices into the list of all chords, -1 for none. As ChordNeighbours, in small.
struct NeighbourPlaces {
  std::int32_t before = -1, next = -1, after_next = -1, same_root_before = -1, same_root_after = -1;
};

/// A chord of the piece with its place, its key, and its reading in that key. N.C. has no reading.
struct AnalysedChord {
  TimedChord timed;
  Key key;
  std::optional<ChordReading> reading;
  NeighbourPlaces around;
};

/// Something to tell the student: what goes well, what a chord adds, what may be a typing error.
struct Remark {
  /// "key", "pivot", "cadence", "bass", "pedal", "sequence", "borrowed", "applied", "blues", "colour", "spelling",
  /// "slip"
  std::string kind;
  int bar = 0;       ///< 1 and up; 0 for the whole piece
  std::string text;  ///< a sentence for a person
};

/// A progression read as music.
struct Analysis {
  KeyReading keys;
  Timeline timeline;
  std::vector<AnalysedChord> chords;
  std::vector<Cadence> cadences;

  /// The chords around one. @param chord index into chords
  [[nodiscard]] ChordNeighbours around(std::size_t chord) const;
};

/// A chord that is diatonic in the key before a change of key and in the key after it.
struct Pivot {
  std::size_t chord = 0;  ///< index into Analysis::chords: the last chord before the change
  Key from, to;
  Numeral before, after;  ///< what it is in each
};
[[nodiscard]] std::vector<Pivot> find_pivots(const Analysis& analysis);

/// Finds the keys (or takes the given one), labels every chord and finds the cadences.
/// @param key for numerals and numbers the key they are realised in (C where neither this nor the text names one); for
/// absolute chords a key that is taken as stated.
[[nodiscard]] Analysis analyse(const Progression& progression, const std::optional<KeyText>& key = std::nullopt,
                               MinorDegrees style = MinorDegrees::from_major);

/// The key of numerals: the tonic given, with the mode given or the one inferred from the numerals.
[[nodiscard]] Key key_of_numerals(const Progression& progression, const std::optional<KeyText>& key);

}  // namespace romanesca
