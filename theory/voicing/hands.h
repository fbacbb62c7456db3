#pragma once

#include <span>
#include <vector>

#include "theory/songs/progression.h"
#include "theory/voicing/fingering.h"
#include "theory/voicing/four_part.h"
#include "theory/voicing/left_hand.h"
#include "theory/voicing/voicing.h"

namespace romanesca {

/// How two hands play a chart.
struct HandSettings {
  VoicingKind voicing = VoicingKind::close;
  /// Under close, root_position and shell; the other kinds lay out both hands.
  LeftHand left = LeftHand::root;
  int span = usual_span;   ///< widest stretch of either hand, in semitones, 5 to 16
  int most_inversion = 3;  ///< of the right hand
  bool loops = false;      ///< the end leads back to the beginning
  /// Close positions of beginners: every chord has one place in the song, in root position (root_positions.h).
  bool one_place = false;
  /// Close positions: the root sounds twice at most. Where the right hand has it too, octaves and broken chords of the
  /// left hand become root and fifth.
  bool spare_doublings = false;
  bool strict_spelling = false;  ///< else as players read it (reading_spelling.h)
};

/// What both hands play for one chord.
struct HandsChord {
  Voicing right;  ///< low to high; empty for N.C.
  Voicing left;
  Fingers right_fingers;  ///< one per note, 1 thumb to 5; empty where no hand can
  Fingers left_fingers;
  /// Of the right hand's shape: the chord's tone that is lowest, 0 root, 1 third, 2 fifth, 3 seventh; -1 for another
  /// tone and for a right hand that does not play. The chord that sounds has the inversion of its bass.
  int inversion = 0;
  /// For each note of the right hand: the finger is there already, from the chord before, and can stay.
  std::vector<bool> stays;
};

/// The hands for a whole piece, with the smallest voice leading in the right, or in four parts by their rules.
struct Hands {
  std::vector<HandsChord> chords;  ///< one per chord of the timeline
  int semitones = 0;               ///< that all right-hand voices move in all; the left hand's where it plays alone
  VoicingKind kind = VoicingKind::close;
  bool loops = false;                    ///< the end leads back to the beginning
  std::vector<BrokenRule> broken_rules;  ///< rules of four-part writing that could not be kept; their chord counts
                                         ///< those of the timeline
};
/// @param keys for each bar, for four-part writing: its leading tones; C major where there is none.
[[nodiscard]] Hands hands_for(const Timeline& timeline, const HandSettings& settings = {},
                              std::span<const Key> keys = {});

}  // namespace romanesca
