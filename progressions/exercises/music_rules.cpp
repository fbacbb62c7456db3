#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <set>

#include "progressions/exercise.h"
#include "progressions/exercises/closing.h"
#include "progressions/exercises/loop.h"
#include "progressions/exercises/phrase.h"
#include "progressions/exercises/wording.h"
#include "theory/voicing/hands.h"

namespace romanesca {
namespace {

constexpr int widest_leap = 12;  // of a model melody, in semitones: an octave is still sung (from memory)

bool promised(const Exercise& exercise, std::string_view promise) {
  const ExerciseKind* kind = exercise_kind_named(exercise.id);
  return kind != nullptr && std::find(kind->promises.begin(), kind->promises.end(), promise) != kind->promises.end();
}

/// Chords as roots above the tonic and types: the same in every key.
std::vector<std::pair<int, std::uint32_t>> shape_of(const std::vector<Chord>& chords, PitchClass tonic) {
  std::vector<std::pair<int, std::uint32_t>> shape;
  for (const Chord& chord : chords) {
    shape.emplace_back((chord.root.semitone() - tonic.semitone() + 12) % 12, chord.type.mask());
  }
  return shape;
}

using RowShapes = std::set<std::vector<std::pair<int, std::uint32_t>>>;

/// The library's patterns in a mode, as the loops have them.
const RowShapes& library_rows(Mode mode) {
  static const auto all = [] {
    std::array<RowShapes, all_modes.size()> result;
    for (const Mode each : all_modes) {
      const Key key = key_without_accidentals(each);
      for (const Loop& loop : loops(each)) {
        if (loop.from_library) result[static_cast<std::size_t>(each)].insert(shape_of(loop.chords(key), key.tonic));
      }
    }
    return result;
  }();
  return all[static_cast<std::size_t>(mode)];
}

/// The judge of music. What it knows of an exercise is its data and what its kind promises.
class MusicJudge {
 public:
  explicit MusicJudge(const Exercise& exercise) : exercise_(exercise) {
    const Timeline line = exercise.timeline();
    rows_.resize(std::max<std::size_t>(exercise.progression.sections.size(), 1));
    for (const TimedChord& timed : line.chords) {
      if (!timed.chord) continue;
      rows_[timed.section].push_back(*timed.chord);
      chords_.push_back(*timed.chord);
    }
  }

  std::vector<std::string> judge() {
    if (chords_.empty()) return {};
    finishes();
    asked_is_offered();
    safe();
    shows_home();
    ends();
    inversions();
    other_key();
    is_progression();
    model_chords();
    model_lines();
    return std::move(broken_);
  }

 private:
  void expect(bool kept, std::string_view rule) {
    if (!kept) broken_.push_back(fmt::format("{}: {}", exercise_.id, rule));
  }

  void finishes() {
    if (!promised(exercise_, "finishes")) return;
    const auto& finish = exercise_.claims.finish;
    expect(finish.has_value(), "it does not say where it finishes");
    if (!finish) return;
    expect(*finish == exercise_.key.tonic, "what must sound finished ends on " + to_string(*finish));
    expect(holds(chords_.back(), exercise_.key.tonic), "the last chord does not hold the tonic");
  }

  void asked_is_offered() {
    const auto& notes = exercise_.notes;
    for (const PitchClass note : exercise_.claims.asked) {
      const bool offered = notes.empty() || std::find(notes.begin(), notes.end(), note) != notes.end();
      expect(offered, "asks for a note that is not offered: " + to_string(note));
    }
    const auto& offered = exercise_.claims.offered;
    if (offered.empty() || !exercise_.answer) return;
    for (const auto& place : exercise_.answer->solution) {
      const bool among = std::find(offered.begin(), offered.end(), place.front()) != offered.end();
      expect(among, "the answer is not among what is offered: " + place.front());
    }
  }

  void safe() {
    for (std::size_t i = 0; i < std::min(exercise_.safe.size(), chords_.size()); ++i) {
      for (const PitchClass note : exercise_.safe[i].passing) {
        expect(!clashes(chords_[i], note), "a note to pass through rubs against its chord: " + to_string(note));
      }
    }
    const bool plain = exercise_.key.mode == Mode::major || exercise_.key.mode == Mode::minor;
    expect(exercise_.claims.none_wrong || !plain || exercise_.own_song || !promised(exercise_, "safe"),
           "a drawn sheet of safe notes has one that rubs");
    if (!exercise_.claims.none_wrong) return;
    for (const Chord& chord : chords_) {
      for (const PitchClass note : exercise_.notes) {
        expect(!clashes(chord, note),
               fmt::format("{} is called safe and rubs over {}", to_string(note), to_string(chord)));
      }
    }
  }

  /// Each round holds two neighbours that make a cadence on the tonic: what tells the ear where home is.
  void shows_home() {
    if (!promised(exercise_, "shows-home")) return;
    for (const auto& row : rows_) {
      bool shown = false;
      for (std::size_t i = 1; i < row.size(); ++i) {
        const auto kind = cadence_between(row[i - 1], row[i], exercise_.key);
        shown = shown || kind == CadenceKind::authentic || kind == CadenceKind::plagal ||
                closes_from_seventh(row[i - 1], row[i], exercise_.key);
      }
      expect(shown, "no cadence says where home is: " + with_dashes(row));
    }
  }

  void ends() {
    if (!promised(exercise_, "ends")) return;
    // The last chord may be held for another bar.
    auto phrase = chords_;
    while (phrase.size() > 2 && sound_alike(phrase[phrase.size() - 1], phrase[phrase.size() - 2])) phrase.pop_back();
    const auto ending = ending_of(phrase, exercise_.key);
    expect(ending.has_value(), "it ends in no cadence: " + with_dashes(chords_));
    if (exercise_.answer && exercise_.answer->cadence && exercise_.answer->rule == AnswerRule::order) {
      expect(ending == exercise_.answer->cadence, "it ends in another cadence than it asks for");
    }
  }

  /// As many shapes as the right hand's tones: three of a triad, four of a seventh chord.
  void inversions() {
    if (!promised(exercise_, "inversions")) return;
    std::vector<std::pair<Chord, std::set<int>>> found;
    for (const ExerciseShape& shape : exercise_.shapes) {
      auto place =
          std::find_if(found.begin(), found.end(), [&](const auto& each) { return each.first == shape.chord; });
      if (place == found.end()) place = found.insert(found.end(), {shape.chord, {}});
      place->second.insert(shape.hands.inversion);
    }
    expect(!found.empty(), "there are no shapes");
    for (const auto& [chord, shapes] : found) {
      const std::size_t tones = right_hand_tones(chord).size();
      expect(shapes.size() == tones, fmt::format("{} of {} inversions of {}", shapes.size(), tones, to_string(chord)));
    }
  }

  void other_key() {
    const auto& other = exercise_.claims.other_key;
    if (promised(exercise_, "same-tonic")) {
      expect(other && other->tonic == exercise_.key.tonic, "the other mode is on another tonic");
    }
    if (!other) return;
    expect(other->can_be_written(), "the other key cannot be written: " + to_string(*other));
    if (!exercise_.answer) return;
    for (const auto& place : exercise_.answer->solution) {
      const auto chord = parse_chord(place.front());
      const bool plain = !chord || std::abs(chord->root.alteration()) <= 1;
      expect(plain, "a root needs a double accidental: " + place.front());
    }
  }

  /// In major and minor: what is drawn is a pattern of the library, or changes as songs do, meets its tonic, and
  /// closes.
  void is_progression() {
    const bool plain = exercise_.key.mode == Mode::major || exercise_.key.mode == Mode::minor;
    if (!plain || exercise_.own_song || !promised(exercise_, "progression")) return;
    for (const auto& row : rows_) {
      if (is_library_row(row)) continue;
      const bool meets =
          std::any_of(row.begin(), row.end(), [&](const Chord& chord) { return chord.root == exercise_.key.tonic; });
      expect(meets, "no chord is home: " + with_dashes(row));
      expect(closes(row), "the phrase ends in no cadence: " + with_dashes(row));
      for (std::size_t i = 1; i < row.size(); ++i) {
        expect(songs_go(row[i - 1], row[i], exercise_.key),
               fmt::format("songs hardly go from {} to {} in {}", to_string(row[i - 1]), to_string(row[i]),
                           to_string(exercise_.key)));
      }
    }
  }

  /// Ends in a cadence, or turns round into its first chord by one: a loop's end is also its way back.
  [[nodiscard]] bool closes(const std::vector<Chord>& row) const {
    if (ending_of(row, exercise_.key)) return true;
    const auto round = cadence_between(row.back(), row.front(), exercise_.key);
    return round == CadenceKind::authentic || round == CadenceKind::plagal ||
           closes_from_seventh(row.back(), row.front(), exercise_.key) ||
           (row.size() > 1 && closes_from_seventh(row[row.size() - 2], row.back(), exercise_.key));
  }

  [[nodiscard]] bool is_library_row(const std::vector<Chord>& row) const {
    const auto half = static_cast<std::ptrdiff_t>(row.size() / 2);
    const std::vector<Chord> first(row.begin(), row.begin() + half);
    const bool twice = row.size() % 2 == 0 && std::equal(first.begin(), first.end(), row.begin() + half);
    return library_rows(exercise_.key.mode).contains(shape_of(twice ? first : row, exercise_.key.tonic)) ||
           library_rows(exercise_.key.mode).contains(shape_of(row, exercise_.key.tonic));
  }

  /// An example answer in chords: no chord twice in a row, unless it was so before.
  void model_chords() {
    if (!exercise_.answer || exercise_.answer->rule == AnswerRule::words ||
        exercise_.answer->rule == AnswerRule::rhythm) {
      return;
    }
    const auto& solution = exercise_.answer->solution;
    for (std::size_t i = 1; i < solution.size(); ++i) {
      const bool repeats = solution[i].front() == solution[i - 1].front();
      const bool before = i < chords_.size() && chords_[i].root == chords_[i - 1].root;
      expect(!repeats || before, "the example stands still: " + solution[i].front());
    }
  }

  /// A model uses the notes that are offered, moves, does not leap wider than an octave, and ends where it is to end.
  void model_line(const ExerciseTune& model) {
    expect(!model.notes.empty(), "a model is empty: " + model.label);
    if (model.notes.empty() || model.rhythm_only) return;
    const auto& offered = exercise_.notes;
    int low = 127;
    int high = 0;
    for (std::size_t i = 0; i < model.notes.size(); ++i) {
      const Pitch& pitch = model.notes[i].pitch;
      low = std::min(low, pitch.midi());
      high = std::max(high, pitch.midi());
      const bool among = offered.empty() || std::find(offered.begin(), offered.end(), pitch.name()) != offered.end();
      expect(among, "a model uses a note that is not offered: " + to_string(pitch));
      if (i == 0) continue;
      expect(std::abs(pitch.midi() - model.notes[i - 1].pitch.midi()) <= widest_leap, "a model leaps too far");
      const bool stands = i > 1 && pitch == model.notes[i - 1].pitch && pitch == model.notes[i - 2].pitch;
      expect(!stands, "a model stands still on " + to_string(pitch));
    }
    expect(low < high || model.notes.size() < 3, "a model has one note only: " + model.label);
    const MelodyNote& end = model.notes.back();
    const bool last = end.start + end.length >= exercise_.timeline().length();
    if (last && exercise_.claims.finish && promised(exercise_, "finishes")) {
      expect(model.notes.back().pitch.name() == *exercise_.claims.finish, "the model does not finish");
    }
  }

  /// A given melody: no note three times in a row where every note has a chord of its own, and no leap
  /// wider than an octave. A thread of guide tones may stay: its common tones are the point.
  void model_lines() {
    for (const ExerciseTune& model : exercise_.models) model_line(model);
    const auto& line = exercise_.melody;
    for (std::size_t i = 1; i < line.size(); ++i) {
      expect(std::abs(line[i].pitch.midi() - line[i - 1].pitch.midi()) <= widest_leap, "the melody leaps too far");
      const bool stands = i > 1 && line[i].pitch == line[i - 1].pitch && line[i].pitch == line[i - 2].pitch;
      expect(!stands || exercise_.id == "guide-tone-line", "the melody stands still on " + to_string(line[i].pitch));
    }
  }

  const Exercise& exercise_;
  std::vector<std::vector<Chord>> rows_;  ///< the chords of each section
  std::vector<Chord> chords_;
  std::vector<std::string> broken_;
};

}  // namespace

std::vector<std::string> broken_music_rules(const Exercise& exercise) { return MusicJudge(exercise).judge(); }

}  // namespace romanesca
