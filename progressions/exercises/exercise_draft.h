#pragma once

#include <array>
#include <functional>
#include <map>
#include <string>
#include <vector>

#include "progressions/exercise.h"
#include "progressions/exercises/loop.h"
#include "progressions/exercises/material.h"
#include "progressions/exercises/seed_digits.h"
#include "progressions/exercises/wording.h"
#include "theory/voicing/hands.h"

namespace romanesca {

/// An exercise in the making: what the kinds have in common. A kind takes what it needs, in this order: chords, meter,
/// rhythm, twist; then it says what its sentences need.
class ExerciseDraft {
 public:
  ExerciseDraft(const ExerciseRequest& request, const ExerciseKind& kind, std::uint64_t seed);

  Exercise exercise;
  SeedDigits variation;

  [[nodiscard]] const Level& level() const { return request_.level; }
  [[nodiscard]] const Key& key() const { return exercise.key; }
  [[nodiscard]] CadenceTerms terms() const { return request_.terms; }
  /// Words that were confused before, to be asked for first.
  [[nodiscard]] const std::vector<std::string>& confused() const { return request_.confused; }
  /// The chords taken, one for each entry of the timeline.
  [[nodiscard]] const std::vector<Chord>& chords() const { return chords_; }
  /// Where each begins and how long it lasts.
  [[nodiscard]] const Timeline& timeline() const { return timeline_; }

  /// Takes the song's chords if there is a song, else a loop. @param accept whether a loop is suitable; if the level
  /// has no such loop, any is taken.
  void take_chords(const std::function<bool(const Loop&)>& accept = {});
  /// The tune so far of the song whose chords were taken.
  void take_own_tune();
  /// The major or minor key on the same tonic: for kinds that are about cadences.
  void use_plain_mode();
  /// Takes a loop of four bars in the plain mode: chords of the key, no two neighbours alike, a cadence at the end. The
  /// four kinds of cadence come in turn, as far as the level has loops for them.
  void take_closing_loop();
  /// Where the student's song stops away from its tonic chord: its first bars that come back to it, at least four, or
  /// else all with a bar or two of the tonic chord at the end; an even number of bars.
  void come_home();
  /// Takes a twelve-bar blues on the tonic, major with dominant sevenths or minor, in one of its usual forms, with
  /// meter, rhythm, twist and the notes of its scale. @param ends whether it ends on I; else half of them lead on with
  /// V. @return its chords on I, IV and V
  std::array<Chord, 3> take_twelve_bar_blues(bool ends);
  /// Takes a loop even where there is a song.
  void take_loop(const std::function<bool(const Loop&)>& accept = {});
  /// Takes these chords. @param numerals as they are to be named; empty to have them named in the key.
  void take(Progression progression, const Key& key, std::string numerals = {});
  /// The accepted loops that the level can play in the key's mode; if there is none, any of the level; if a teacher's
  /// own level has none at all, the first of the mode.
  [[nodiscard]] std::vector<const Loop*> possible_loops(const std::function<bool(const Loop&)>& accept = {}) const;

  /// Takes one of the kind's backings, each as likely, and its meter; that of the song if there is one.
  void take_meter();
  /// Takes a rhythm of the level in that meter.
  void take_rhythm();
  /// Takes one of the kind's twists and says it.
  void take_twist();
  /// Style and tempo, from the kind's backings in the meter.
  void take_backing();
  /// Notes, safe notes and hands from the chords.
  void take_notes(const std::string& scale);  ///< a scale by name, on the tonic
  void take_pentatonic();                     ///< the five notes that fit the key's mode
  /// Says {palette}, the triads of the level and what the answer needs beside them, and offers them.
  void offer_chords(const std::vector<Chord>& needed = {});
  void take_safe_notes();
  /// Both hands for each different chord. @param left and right: which of them play
  void take_hands(const HandSettings& settings, bool left, bool right);
  /// Adds a model in the exercise's notes and rhythm to look at and to hear. @param first_bar @param last_bar from 1
  /// @param finish its last note; nothing for a note of the last chord @param like a melody that it begins like
  void add_model(std::string label, int first_bar, int last_bar, std::optional<PitchClass> finish,
                 std::span<const MelodyNote> like = {});
  /// Adds a model of the chords' own notes alone.
  void add_chord_tone_model(std::string label, int first_bar, int last_bar);
  /// The chord of the bar is not shown to the student.
  void hide_bar(int bar);

  /// Fills a word in braces in the kind's sentences; with a capital where the word in braces has one.
  void say(const std::string& word, std::string text);
  /// The sentences with all words filled in.
  [[nodiscard]] Exercise finished();

  /// Hands of the level.
  [[nodiscard]] HandSettings hand_settings() const;
  /// The last chord that begins in or before a bar and the first of one; bars from 1.
  [[nodiscard]] const Chord& chord_in_bar(int bar) const;

 private:
  [[nodiscard]] std::string filled(std::string_view sentence) const;
  [[nodiscard]] bool one_chord_a_bar() const;
  /// The kind's backings that the level may have and in whose meter the chords fit.
  [[nodiscard]] std::vector<const ExerciseBacking*> fitting_backings() const;

  const ExerciseRequest& request_;
  const ExerciseKind& kind_;
  std::vector<Chord> chords_;
  Timeline timeline_;
  const ExerciseBacking* backing_ = nullptr;  ///< what was chosen with the meter
  std::map<std::string, std::string> words_;
};

/// How a kind is made.
struct ExerciseBuilder {
  std::string_view id;
  void (*build)(ExerciseDraft& draft);
};
// One file each.
[[nodiscard]] std::span<const ExerciseBuilder> improvise_builders();
[[nodiscard]] std::span<const ExerciseBuilder> improvise_form_builders();
[[nodiscard]] std::span<const ExerciseBuilder> compose_chord_builders();
[[nodiscard]] std::span<const ExerciseBuilder> compose_melody_builders();
[[nodiscard]] std::span<const ExerciseBuilder> compose_piece_builders();
[[nodiscard]] std::span<const ExerciseBuilder> technique_builders();
[[nodiscard]] std::span<const ExerciseBuilder> technique_chord_builders();
[[nodiscard]] std::span<const ExerciseBuilder> ear_builders();
[[nodiscard]] std::span<const ExerciseBuilder> ear_rhythm_builders();
[[nodiscard]] std::span<const ExerciseBuilder> ear_melody_builders();
[[nodiscard]] std::span<const ExerciseBuilder> ear_chord_builders();
[[nodiscard]] std::span<const ExerciseBuilder> song_builders();
/// All of them, one list for each file.
[[nodiscard]] inline std::array<std::span<const ExerciseBuilder>, 12> all_builders() {
  return {improvise_builders(),     improvise_form_builders(), compose_chord_builders(),   compose_melody_builders(),
          compose_piece_builders(), technique_builders(),      technique_chord_builders(), ear_builders(),
          ear_rhythm_builders(),    ear_melody_builders(),     ear_chord_builders(),       song_builders()};
}

}  // namespace romanesca
