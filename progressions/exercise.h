#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "progressions/level.h"
#include "theory/analysis/cadence.h"
#include "theory/chords/chord_scale.h"
#include "theory/notes/note_event.h"
#include "theory/songs/progression.h"
#include "theory/voicing/hands.h"

namespace romanesca {

/// What an exercise is about. `song` works with the chords of a given song, or of a library pattern where none is
/// given.
enum class ExerciseFamily { improvise, compose, technique, ear, song };
[[nodiscard]] std::string_view to_string(ExerciseFamily family);
[[nodiscard]] std::optional<ExerciseFamily> parse_exercise_family(std::string_view text);
inline constexpr std::size_t exercise_family_count = 5;

/// A kind of exercise: a table in exercises/kinds/, whose first lines explain the fields.
struct ExerciseKind {
  std::string id;  ///< "few-notes"
  ExerciseFamily family = ExerciseFamily::improvise;
  int lowest = 1, highest = 8;  ///< levels it is for
  std::string character;        ///< "playful"; the choices of one set differ in it
  int minutes = 5;
  std::vector<std::string> backings;  ///< styles that may accompany it
  std::string title, goal;
  std::vector<std::string> steps;
  std::string easier, harder, listen;
  std::vector<std::string> twists;    ///< sentences of which one is taken
  std::vector<std::string> promises;  ///< of musical_promises: what its sheets claim, and the judge of music checks
};
/// The claims that a kind can make; the head of exercises/kinds/improvise.toml explains them.
inline constexpr std::array<std::string_view, 7> musical_promises{"finishes",   "safe",       "shows-home", "ends",
                                                                  "inversions", "same-tonic", "progression"};
[[nodiscard]] std::span<const ExerciseKind> exercise_kinds();
/// Exact id, or nothing.
[[nodiscard]] const ExerciseKind* exercise_kind_named(std::string_view id);

/// A note of a rhythm or melody in time.
struct RhythmNote {
  Beats start;  ///< from the beginning of the bar
  Beats length;
  friend bool operator==(const RhythmNote&, const RhythmNote&) = default;
};
struct MelodyNote {
  Beats start;  ///< from the beginning of the piece
  Beats length;
  Pitch pitch;
  friend bool operator==(const MelodyNote&, const MelodyNote&) = default;
};

/// What to set an exercise for. The same request gives the same exercises on every run and machine.
struct ExerciseRequest {
  Key key;      ///< any that can be written but the locrian ones, whose tonic chord is unstable
  Level level;  ///< its limit of accidentals is ignored: the teacher has chosen the key
  std::optional<ExerciseFamily> family;  ///< nothing for all of them
  std::string id;                        ///< one kind only; empty for different ones
  std::uint64_t seed = 1;
  int choices = 3;                  ///< 1 to 8
  std::optional<Progression> song;  ///< the student's own: absolute chords in `key`; made playable at the level first
  CadenceTerms terms = CadenceTerms::british;
  std::string made_simpler;  ///< what was done to the song; set_exercises fills it in
  /// The tune of the song's bars that the sheets have, from the first of them on; set_exercises fills it in.
  std::vector<MelodyNote> tune{};
  /// The song may come first in a nearby key that the level allows: `key` is its own and was not asked for.
  bool key_is_free = false;
  /// Words of earlier answers by ear that were confused, in the order in which to ask for them again.
  std::vector<std::string> confused;
};

/// A line of notes of an exercise: a model to look at and to hear, or an answer in notes.
struct ExerciseTune {
  std::string label;              ///< "question", "round 2"
  std::vector<MelodyNote> notes;  ///< from the beginning of the piece, in its meter; they do not overlap
  bool rhythm_only = false;       ///< its pitches mean nothing: to be written on one line
};

/// A chord as the hands are to play it.
struct ExerciseShape {
  std::string name;  ///< what to call it: "Bb/D, 1st inversion"
  Chord chord;
  HandsChord hands;  ///< a hand without notes does not play
};

/// A term of music that the exercise uses, in plain words.
struct ExplainedWord {
  std::string word, meaning;
};

/// What the sentences of one exercise say as music: held against its notes and chords by the judge of music.
struct ExerciseClaims {
  std::vector<PitchClass> asked;     ///< notes that the sentences tell to play; among `notes` where there are any
  std::optional<PitchClass> finish;  ///< the last note of what has to sound finished
  std::vector<std::string> offered;  ///< chords or roots to choose from; the example answer is among them
  bool none_wrong = false;           ///< says that none of `notes` is wrong
  std::optional<Key> other_key;      ///< the key that the chords are to be moved or changed to
};

/// How an answer is judged.
enum class AnswerRule {
  words,        ///< one of the accepted words or names for each place
  chords,       ///< the accepted chords for each place; letters may differ where the sound is the same
  order,        ///< the chords given, each used once, ending in the cadence asked for
  ending,       ///< chords for the open bars that end in the cadence asked for
  fits_melody,  ///< chords of the key that hold the melody's note, in the open bars
  bass_steps,   ///< the same chords over a bass that goes by step as often as the solution's
  new_harmony,  ///< a chord for each bar that holds its melody note, at least one of them another than before
  rhythm,       ///< the counts on which notes begin, bar by bar (exercises/counts.h)
  bridge,       ///< begins on another chord than the verse, ends on the dominant
};

struct ExerciseAnswer {
  AnswerRule rule = AnswerRule::words;
  std::string asks;                                ///< "Write the missing chord."
  std::vector<std::vector<std::string>> solution;  ///< for each place what is right, the first as the example
  std::vector<std::string> words;                  ///< for AnswerRule::words with few possibilities: all of them
  std::optional<CadenceKind> cadence;              ///< for order and ending
  CadenceTerms terms = CadenceTerms::british;      ///< what it is called
};

/// An exercise as data, independent of page, terminal and sound.
struct Exercise {
  std::string id;  ///< of its kind
  ExerciseFamily family = ExerciseFamily::improvise;
  std::string character;
  int level = 1;
  std::uint64_t seed = 1;  ///< with id, asked_key and level it gives the same exercise again
  Key asked_key;           ///< that of the request
  Key key;                 ///< of its chords: on the same tonic, now and then in another mode, as in a mode vamp

  std::string title, goal;
  std::vector<std::string> steps;  ///< in order, one or two sentences each
  std::string easier, harder, listen;
  std::string caution;  ///< about strain; empty where there is none
  /// Which chords of a given song the level made simpler: "Am7 is played as Am here." Also the end of the goal.
  std::string made_simpler;
  std::vector<ExplainedWord> words;  ///< at levels 1 to 3, the terms of music in the text
  int minutes = 5;

  Progression progression;          ///< absolute chords with key, meter, tempo and style set
  bool own_song = false;            ///< the chords are those of a song that was given
  std::optional<Key> song_key;      ///< the song's own key, where the sheet has it in an easier one
  std::string numerals;             ///< the same as Roman numerals, one for each chord of the timeline: "I vi IV V"
  std::vector<std::size_t> hidden;  ///< chords of the timeline that the student's page does not show, rising

  std::string scale;                  ///< of `notes`, "minor blues"; empty for notes of the key
  std::vector<PitchClass> notes;      ///< to play with, rising; may be empty
  std::vector<ChordScale> safe;       ///< for each chord of the timeline, where the exercise uses them; else empty
  std::vector<RhythmNote> rhythm;     ///< of one bar; may be empty
  std::vector<MelodyNote> melody;     ///< given notes: a melody, a guide-tone line; may be empty
  std::string melody_name;            ///< "Snow on the Gate, so far": where they are the student's own; else empty
  std::vector<ExerciseShape> shapes;  ///< what the hands play; may be empty
  std::vector<ExerciseTune> models;   ///< examples in notes, or, where models_are_answers, what was heard
  bool models_are_answers = false;    ///< only the teacher's page shows the models
  int writing_bars = 0;               ///< bars of an empty staff to write in; 0 for none
  bool writes_own_chords = false;     ///< over that staff: places for chords, instead of the progression's

  ExerciseClaims claims;

  std::vector<NoteEvent> heard;  ///< ear exercises: what is to be played to the student, part 0, quarter notes
  Beats heard_length;

  std::optional<ExerciseAnswer> answer;

  [[nodiscard]] Timeline timeline() const { return romanesca::timeline(progression, key); }
  /// The progression as the student may see and hear it: N.C. for what is hidden.
  [[nodiscard]] Progression shown() const;
  /// `notes` on a keyboard, rising from the first one at or above middle C.
  [[nodiscard]] Voicing keyboard_notes() const;
};

/// Sets exercises: `choices` of them, each of another kind and, as far as the level has enough, of another character.
/// With `id`, of that kind with this seed and the ones after it. A given song replaces the chord loop of
/// every kind that works with one.
/// @return what is wrong, without a place, for an unknown id, one that is not for this level, or a locrian key.
[[nodiscard]] Parsed<std::vector<Exercise>> set_exercises(const ExerciseRequest& given);

/// Something heard that was taken for something else, in the words of the answer: "m3" taken for "M3".
struct Confusion {
  std::string was, taken_for;
  friend bool operator==(const Confusion&, const Confusion&) = default;
};

/// What an answer gets right and what not yet.
struct ExerciseCheck {
  bool right = false;
  std::vector<std::string> holds;    ///< sentences
  std::vector<std::string> not_yet;  ///< sentences; empty when right
  std::vector<std::string> to_hear;  ///< what it sounds like, right or wrong: its bass line; what was taken for what
  std::vector<Confusion> confused;   ///< of answers in words: each wrong place whose word is one of the possible
  std::string encouragement;         ///< a sentence to end with
};

/// Checks a typed answer: words, note names or chords, separated by blanks, commas or bar lines.
/// @return what cannot be read, or that the exercise has no right or wrong answer.
[[nodiscard]] Parsed<ExerciseCheck> check_answer(const Exercise& exercise, std::string_view answer);

/// The broken rules of an exercise, a sentence each; judged from the exercise alone and not from how it was made.
[[nodiscard]] std::vector<std::string> broken_rules(const Exercise& exercise, const Level& level);

/// The same for the music: what the sheet claims is true of its notes and chords, what is drawn is a progression, what
/// is given as a model is a melody. A sentence each; the sources of the rules stand in exercises/music_rules.cpp.
[[nodiscard]] std::vector<std::string> broken_music_rules(const Exercise& exercise);

/// The data files as compiled in.
[[nodiscard]] std::span<const EmbeddedText> exercise_kind_texts();

/// "A", "B" ... for the place of an exercise in its set.
[[nodiscard]] inline std::string choice_name(std::size_t place) {
  return std::string(1, static_cast<char>('A' + place));
}

}  // namespace romanesca
