#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>

#include "progressions/exercise.h"
#include "progressions/exercises/closing.h"
#include "progressions/exercises/material.h"
#include "theory/notes/scale.h"

namespace romanesca {
namespace {

constexpr std::size_t most_words_in_sentence = 24;  // a ten-year-old reads it in one breath (our choice, no source)
constexpr std::size_t most_words_for_beginners = 20;

std::size_t longest_sentence(std::string_view text) {
  std::size_t longest = 0;
  std::size_t words = 0;
  bool in_word = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    const bool blank = c == ' ';
    if (!blank && !in_word) ++words;
    in_word = !blank;
    const bool ends = (c == '.' || c == '?' || c == '!' || c == ':') && (i + 1 == text.size() || text[i + 1] == ' ');
    if (ends) words = 0;
    longest = std::max(longest, words);
  }
  return longest;
}

class Judge {
 public:
  Judge(const Exercise& exercise, const Level& level)
      : exercise_(exercise), level_(level), timeline_(exercise.timeline()) {}

  std::vector<std::string> judge() {
    text();
    chords();
    time();
    notes();
    hands();
    sound();
    answer();
    return std::move(broken_);
  }

 private:
  void expect(bool kept, std::string_view rule) {
    if (!kept) broken_.push_back(fmt::format("{}: {}", exercise_.id, rule));
  }

  void text() {
    const Exercise& e = exercise_;
    std::vector<std::string> all{e.title, e.goal, e.easier, e.harder, e.listen};
    all.insert(all.end(), e.steps.begin(), e.steps.end());
    if (e.answer) all.push_back(e.answer->asks);
    const std::size_t most = e.level <= 3 ? most_words_for_beginners : most_words_in_sentence;
    for (const std::string& sentence : all) {
      expect(!sentence.empty(), "a text is missing");
      expect(sentence.find_first_of("{}") == std::string::npos, "a brace is left: " + sentence);
      expect(longest_sentence(sentence) <= most, "a sentence is too long: " + sentence);
      if (e.level > 3) continue;
      for (const ExplainedWord& word : words_to_explain(sentence)) {
        const bool explained = std::any_of(e.words.begin(), e.words.end(),
                                           [&](const ExplainedWord& each) { return each.word == word.word; });
        expect(explained, "a word is not explained: " + word.word);
      }
    }
    expect(e.steps.size() >= 3 && e.steps.size() <= 6, "three to six steps");
    expect(e.minutes >= 2 && e.minutes <= 20, "minutes are 2 to 20");
  }

  void chords() {
    const Analysis analysis = analyse(exercise_.progression, KeyText{exercise_.key.tonic, exercise_.key.mode});
    expect(chords_fit(analysis, level_), "a chord is beyond the level: " + exercise_.numerals);
    expect(!timeline_.chords.empty(), "there are no chords");
    expect(exercise_.key.can_be_written(), "the key cannot be written");
    for (const TimedChord& timed : timeline_.chords) {
      expect(timed.chord.has_value(), "a chord is missing");
      if (timed.chord) expect(std::abs(timed.chord->root.alteration()) <= 2, "a root cannot be spelled");
    }
  }

  void time() {
    const Meter meter = exercise_.progression.meter();
    expect(!exercise_.progression.style.empty() && exercise_.progression.tempo_bpm.has_value(), "there is no backing");
    Beats end;
    for (const RhythmNote& note : exercise_.rhythm) {
      expect(note.start >= end && note.length > Beats(), "rhythm notes overlap");
      end = note.start + note.length;
    }
    expect(end <= meter.bar_length(), "the rhythm is longer than a bar");
    end = Beats();
    for (const MelodyNote& note : exercise_.melody) {
      expect(note.start >= end && note.length > Beats(), "melody notes overlap");
      end = note.start + note.length;
    }
    expect(end <= timeline_.length(), "the melody is longer than the chords");
  }

  void notes() {
    const auto scale = scale_named(exercise_.scale);
    expect(exercise_.scale.empty() || scale.has_value(), "the scale is not known");
    for (const PitchClass note : exercise_.notes) {
      const auto own = scale ? scale->from(exercise_.key.tonic) : std::vector<PitchClass>();
      const bool in = scale ? std::find(own.begin(), own.end(), note) != own.end() : exercise_.key.contains(note);
      expect(in, "a note is outside the key: " + to_string(note));
      expect(std::abs(note.alteration()) <= 2, "a note cannot be spelled");
    }
    expect(exercise_.safe.empty() || exercise_.safe.size() == timeline_.chords.size(), "safe notes for every chord");
    for (std::size_t i = 0; i < exercise_.safe.size(); ++i) {
      for (const PitchClass tone : exercise_.safe[i].tones) {
        expect(holds(*timeline_.chords[i].chord, tone), "a safe note is not of its chord");
      }
    }
    for (const MelodyNote& note : exercise_.melody) {
      expect(note.pitch.midi() >= 53 && note.pitch.midi() <= 84, "the melody is out of range");
      for (const TimedChord& timed : timeline_.chords) {
        // The note where a chord begins; between them a melody may pass through others.
        if (timed.start == note.start) expect(holds(*timed.chord, note.pitch.name()), "the melody leaves its chord");
      }
    }
  }

  void hand(const Voicing& voicing, const Fingers& fingers) {
    for (std::size_t i = 0; i < voicing.size(); ++i) {
      expect(voicing[i].midi() >= 28 && voicing[i].midi() <= 96, "a hand is out of range");
      expect(i == 0 || voicing[i].midi() > voicing[i - 1].midi(), "a hand's notes do not rise");
    }
    expect(fingers.empty() || fingers.size() == voicing.size(), "a finger for each note");
  }

  void hands() {
    for (const ExerciseShape& shape : exercise_.shapes) {
      hand(shape.hands.left, shape.hands.left_fingers);
      hand(shape.hands.right, shape.hands.right_fingers);
      expect(!shape.hands.left.empty() || !shape.hands.right.empty(), "a shape has no notes");
      const auto& right = shape.hands.right;
      if (right.size() < 2) continue;
      expect(right.back().midi() - right.front().midi() <= std::max(level_.span, 7), "the hand is stretched too far");
      for (const Pitch& note : right) {
        const bool sounds = (shape.chord.sounding_tones() >> note.name().semitone() & 1U) != 0;
        expect(sounds, "a hand leaves its chord");
      }
    }
  }

  void sound() {
    expect((exercise_.family == ExerciseFamily::ear) == !exercise_.heard.empty(),
           "ear exercises, and only they, sound");
    for (const NoteEvent& event : exercise_.heard) {
      expect(event.midi >= 28 && event.midi <= 96, "a sound is out of range");
      expect(event.length > Beats() && event.start + event.length <= exercise_.heard_length, "a sound is out of time");
    }
  }

  void answer() {
    for (const std::size_t place : exercise_.hidden)
      expect(place < timeline_.chords.size(), "a hidden chord is missing");
    if (!exercise_.answer) {
      expect(exercise_.hidden.empty() && exercise_.family != ExerciseFamily::ear, "there is no answer");
      return;
    }
    std::string example;
    for (const auto& place : exercise_.answer->solution) {
      expect(!place.empty(), "a place has no answer");
      if (!place.empty()) example += (example.empty() ? "" : " ") + place.front();
    }
    const auto checked = check_answer(exercise_, example);
    expect(checked && checked->right, "its own answer is refused: " + example);
  }

  const Exercise& exercise_;
  const Level& level_;
  Timeline timeline_;
  std::vector<std::string> broken_;
};

}  // namespace

std::vector<std::string> broken_rules(const Exercise& exercise, const Level& level) {
  return Judge(exercise, level).judge();
}

}  // namespace romanesca
