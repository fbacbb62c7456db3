#pragma once

#include <vector>

#include "theory/analysis/key_model.h"
#include "theory/analysis/key_path.h"
#include "theory/chords/key.h"
#include "theory/songs/progression.h"

namespace romanesca {

struct KeyGuess {
  Key key;
  double confidence = 0;  ///< probability, 0 to 1
  /// Of an alternative: the feature of key_model that supports it most against the main key; -1 for none.
  int strongest_feature = -1;
};

/// What key a piece is in, and where it leaves it.
struct KeyReading {
  KeyGuess main;                       ///< the key held longest
  std::vector<KeyGuess> alternatives;  ///< the likeliest other tonic and all above one in a hundred, in that order
  std::vector<Key> by_bar;             ///< for each bar of the timeline
};

/// Finds the key from the chords: each of twelve tonics is rated by the features of key_model over the whole piece and
/// over windows of sixteen bars; each change of key has a cost (Viterbi search over blocks of four bars). Music that
/// comes back at another pitch is heard as the same music in another key. Between a minor key and its relative major
/// the cadences of the minor key decide.
/// @param stated a key that the text names: it is the main key, with the mode heard if the text leaves it open, and the
/// piece may still leave it for a while if it has sixteen bars or more.
/// A piece without any chord is in C major with confidence 0.
/// @param model the weights of the features; tests measure others than the fitted one.
[[nodiscard]] KeyReading find_key(const Timeline& timeline, const std::optional<KeyText>& stated = std::nullopt,
                                  const KeyModel& model = fitted_key_model());

/// The mode that the chords of a stretch make on a tonic: major or minor by its tonic chord (or its third), a church
/// mode where its characteristic tone sounds for a fifth of the time (the lydian fourth: three tenths) and its
/// rival never does.
[[nodiscard]] Mode mode_on(PitchClass tonic, const std::vector<TimedChord>& chords, int first_bar, int last_bar);

}  // namespace romanesca
