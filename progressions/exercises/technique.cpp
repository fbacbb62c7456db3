#include <algorithm>
#include <array>

#include "progressions/exercises/closing.h"
#include "progressions/exercises/exercise_draft.h"
#include "theory/songs/transposition.h"
#include "theory/voicing/fingering.h"

namespace romanesca {
namespace {

void take_rhythm_and_twist(ExerciseDraft& sketch) {
  sketch.take_meter();
  sketch.take_rhythm();
  sketch.take_twist();
}

void steady_chords(ExerciseDraft& sketch) {
  sketch.take_chords();
  take_rhythm_and_twist(sketch);
  sketch.take_hands(sketch.hand_settings(), true, true);
}

void two_hands(ExerciseDraft& sketch) {
  sketch.take_chords();
  take_rhythm_and_twist(sketch);
  sketch.take_hands(sketch.hand_settings(), true, true);
}

/// {order} of the notes.
void broken_chords(ExerciseDraft& sketch) {
  sketch.take_chords();
  sketch.take_meter();
  // Orders for a bar of each meter, in words; the later ones for hands that know the first.
  struct Order {
    Meter meter;
    int level;
    std::string_view words;
  };
  constexpr std::array<Order, 11> orders{{{{4, 4}, 1, "low, middle, high, middle"},
                                          {{4, 4}, 1, "low, high, middle, high"},
                                          {{4, 4}, 1, "high, middle, low, middle"},
                                          {{4, 4}, 3, "middle, high, low, high"},
                                          {{4, 4}, 3, "low, middle, high, low, middle, high, middle, low"},
                                          {{3, 4}, 1, "low, middle, high"},
                                          {{3, 4}, 1, "high, middle, low"},
                                          {{3, 4}, 3, "low, high, middle, high, middle, high"},
                                          {{6, 8}, 1, "low, middle, high, high, middle, low"},
                                          {{6, 8}, 1, "low, middle, high, low, middle, high"},
                                          {{6, 8}, 3, "high, middle, low, middle, high, middle"}}};
  std::vector<std::string_view> fitting;
  for (const Order& order : orders) {
    const bool fits = order.meter == sketch.timeline().meter && order.level <= sketch.level().number;
    if (fits) fitting.push_back(order.words);
  }
  // A song in another meter is broken upwards.
  if (fitting.empty()) fitting.push_back(orders[5].words);
  sketch.say("order", std::string(fitting[sketch.variation.pick(fitting.size())]));
  sketch.take_twist();
  sketch.take_hands(sketch.hand_settings(), true, true);
}

/// The close positions that climb from the lowest one in the range, as many as there are inversions and one more.
void add_inversions(ExerciseDraft& sketch, const Chord& chord) {
  const auto tones = right_hand_tones(chord);
  std::vector<Voicing> climbing;
  for (Voicing& voicing : close_positions(tones, {55, 90})) {
    const int inversion = inversion_of(voicing, chord);
    if (inversion < 0 || inversion > sketch.level().inversions) continue;
    if (voicing.back().midi() - voicing.front().midi() > sketch.level().span) continue;
    if (climbing.empty() && inversion != 0) continue;
    if (climbing.size() <= static_cast<std::size_t>(sketch.level().inversions)) climbing.push_back(std::move(voicing));
  }
  const auto fingers = fingers_for(climbing, Hand::right);
  constexpr std::array<std::string_view, 4> names{"root at the bottom", "1st inversion", "2nd inversion",
                                                  "3rd inversion"};
  for (std::size_t i = 0; i < climbing.size(); ++i) {
    ExerciseShape shape;
    const int inversion = inversion_of(climbing[i], chord);
    shape.name = to_string(chord) + ", " + std::string(names[static_cast<std::size_t>(inversion)]);
    shape.chord = chord;
    shape.hands.right = climbing[i];
    shape.hands.right_fingers = fingers[i];
    shape.hands.inversion = inversion;
    sketch.exercise.shapes.push_back(std::move(shape));
  }
}

void inversions_up_and_down(ExerciseDraft& sketch) {
  sketch.take_chords([](const Loop& loop) { return loop.one_chord_a_bar() && loop.bars.size() == 4; });
  take_rhythm_and_twist(sketch);
  constexpr std::size_t most = 4;
  std::vector<Chord> known;
  for (Chord chord : sketch.chords()) {
    chord.bass = chord.root;
    if (known.size() == most || std::find(known.begin(), known.end(), chord) != known.end()) continue;
    known.push_back(chord);
    add_inversions(sketch, chord);
  }
  sketch.say("rhythm_words", "in the rhythm below, one shape for each bar");
}

/// {kept}: the notes that stay at each change.
void notes_that_stay(ExerciseDraft& sketch) {
  const auto linked = [](const Loop& loop) {
    const auto& chords = loop.analysis.chords;
    for (std::size_t i = 1; i < chords.size(); ++i) {
      const unsigned common = chords[i].timed.chord->sounding_tones() & chords[i - 1].timed.chord->sounding_tones();
      if (common == 0 || *chords[i].timed.chord == *chords[i - 1].timed.chord) return false;
    }
    return loop.one_chord_a_bar();
  };
  sketch.take_chords(linked);
  take_rhythm_and_twist(sketch);
  const HandSettings settings = sketch.hand_settings();
  sketch.take_hands(settings, false, true);
  const Hands hands = hands_for(sketch.timeline(), settings);
  std::vector<std::string> kept;
  constexpr std::size_t most = 3;
  for (std::size_t i = 1; i < hands.chords.size() && kept.size() < most; ++i) {
    if (sketch.chords()[i] == sketch.chords()[i - 1]) continue;
    std::string notes;
    for (std::size_t n = 0; n < hands.chords[i].stays.size(); ++n) {
      if (hands.chords[i].stays[n]) notes += (notes.empty() ? "" : " ") + to_string(hands.chords[i].right[n].name());
    }
    if (!notes.empty()) {
      kept.push_back(notes + " from " + to_string(sketch.chords()[i - 1]) + " to " + to_string(sketch.chords()[i]));
    }
  }
  sketch.say("kept", kept.empty() ? "here there are none, so every finger goes to its neighbour" : listed(kept));
}

/// {close}: which cadence it is.
void closes_in_a_key(ExerciseDraft& sketch) {
  sketch.take_closing_loop();
  take_rhythm_and_twist(sketch);
  sketch.take_hands(sketch.hand_settings(), true, true);
  const auto ending = ending_of(sketch.chords(), sketch.key());
  sketch.say("close", std::string(close_name(ending.value_or(CadenceKind::half))));
}

/// {next_key}, {way} to it, {keys} after it.
void round_the_circle(ExerciseDraft& sketch) {
  sketch.take_chords([](const Loop& loop) { return loop.one_chord_a_bar() && loop.bars.size() == 4; });
  take_rhythm_and_twist(sketch);
  const bool up = sketch.variation.pick(2) == 0;
  const int far = sketch.level().number <= 4 ? 2 : 4;
  const Key key = sketch.key();
  std::vector<std::string> keys;
  for (int turn = 1; turn <= far; ++turn) {
    const Key next = simplest_spelling({PitchClass(key.tonic.fifths() + (up ? turn : -turn)), key.mode});
    keys.push_back(to_string(next));
    if (turn > 1) continue;
    ExerciseAnswer answer{AnswerRule::chords, "Write the chords in " + keys.front() + ".", {}, {}, {}};
    for (const Chord& chord : sketch.chords()) {
      answer.solution.push_back({to_string(transposed(chord, next.tonic - key.tonic))});
    }
    sketch.exercise.answer = std::move(answer);
  }
  sketch.say("next_key", keys.front());
  sketch.say("way", up ? "five steps up, counting the first one" : "five steps down, counting the first one");
  sketch.say("keys", listed(keys));
}

}  // namespace

std::span<const ExerciseBuilder> technique_builders() {
  static constexpr std::array builders{
      ExerciseBuilder{"steady-chords", steady_chords},
      ExerciseBuilder{"two-hands", two_hands},
      ExerciseBuilder{"broken-chords", broken_chords},
      ExerciseBuilder{"inversions-up-and-down", inversions_up_and_down},
      ExerciseBuilder{"notes-that-stay", notes_that_stay},
      ExerciseBuilder{"closes-in-a-key", closes_in_a_key},
      ExerciseBuilder{"round-the-circle", round_the_circle},
  };
  return builders;
}

}  // namespace romanesca
