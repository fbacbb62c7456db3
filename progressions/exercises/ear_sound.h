#pragma once

#include <string>
#include <vector>

#include "progressions/exercise.h"
#include "progressions/exercises/exercise_draft.h"

namespace romanesca {

/// What an ear exercise plays: notes and chords one after another on the piano, with silences between. Gives the
/// exercise its sound and the chords of its key, none of which the student sees.
class EarSound {
 public:
  explicit EarSound(ExerciseDraft& draft) : draft_(draft) {}

  /// Adds chords in close position over their bass, each so long. @param manner 0 struck once; 1 bass, then chord; 2
  /// struck twice; 3 broken upwards; 4 bass, then the chord twice
  void chords(const std::vector<Chord>& row, Beats each, int manner = 0);
  /// Adds a cadence that says where home is: tonic, fourth, fifth, tonic.
  void show_home();
  void note(const Pitch& pitch, Beats length, std::uint8_t velocity = 84);
  void together(const std::vector<Pitch>& pitches, Beats length);
  void rest(Beats length) { now_ += length; }
  /// One bar of the meter's beats, soft and high, the first a little louder: to count in.
  void count_in(const Meter& meter);
  [[nodiscard]] Beats now() const { return now_; }

  /// Ends it. @param row the chords that the exercise is about, or its tonic where it is about single notes
  void finish(const std::vector<Chord>& row, const Meter& meter = {});

 private:
  void strike(const Pitch& pitch, Beats length, std::uint8_t velocity);

  ExerciseDraft& draft_;
  std::vector<NoteEvent> events_;
  Beats now_;
};

/// An answer of words, one for each place. @param all the words there are
[[nodiscard]] ExerciseAnswer answer_in_words(std::string asks, std::vector<std::vector<std::string>> solution,
                                             std::vector<std::string> all);

/// @p count of the choices in an order that the seed decides: those that were confused before come first, then each of
/// the others once before any comes again, and no three in a row are alike.
[[nodiscard]] std::vector<std::size_t> questions_from(ExerciseDraft& draft, std::size_t choices, std::size_t count,
                                                      const std::vector<std::size_t>& confused);

}  // namespace romanesca
