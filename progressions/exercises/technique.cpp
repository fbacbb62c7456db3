#include <algorithm>
#include <array>
#include <cstdlib>

#include "progressions/exercises/closing.h"
#include "progressions/exercises/exercise_draft.h"
#include "theory/songs/progression.h"
#include "theory/voicing/fingering.h"

namespace romanesca {
namespace {

void take_rhythm_and_twist(ExerciseDraft& draft) {
  draft.take_meter();
  draft.take_rhythm();
  draft.take_twist();
}

void steady_chords(ExerciseDraft& draft) {
  draft.take_chords();
  take_rhythm_and_twist(draft);
  draft.take_hands(draft.hand_settings(), true, true);
}

void two_hands(ExerciseDraft& draft) {
  draft.take_chords();
  take_rhythm_and_twist(draft);
  draft.take_hands(draft.hand_settings(), true, true);
}

/// {order} of the notes.
void broken_chords(ExerciseDraft& draft) {
  draft.take_chords();
  draft.take_meter();
  // Orders for a bar of each meter, in words; the later ones are harder.
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
    const bool fits = order.meter == draft.timeline().meter() && order.level <= draft.level().number;
    if (fits) fitting.push_back(order.words);
  }
  // Chords of a song in another meter are broken upwards.
  if (fitting.empty()) fitting.push_back(orders[5].words);
  draft.say("order", std::string(fitting[draft.variation.pick(fitting.size())]));
  draft.take_twist();
  draft.take_hands(draft.hand_settings(), true, true);
}

/// The close positions that climb from the lowest one in the range, as many as there are inversions and one more.
void add_inversions(ExerciseDraft& draft, const Chord& chord) {
  const auto tones = right_hand_tones(chord);
  std::vector<Voicing> climbing;
  for (Voicing& voicing : close_positions(tones, {55, 90})) {
    const int inversion = inversion_of(voicing, chord);
    if (inversion < 0 || inversion > draft.level().inversions) continue;
    if (voicing.back().midi() - voicing.front().midi() > draft.level().span) continue;
    if (climbing.empty() && inversion != 0) continue;
    if (climbing.size() <= static_cast<std::size_t>(draft.level().inversions)) climbing.push_back(std::move(voicing));
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
    draft.exercise.shapes.push_back(std::move(shape));
  }
}

/// In every inversion means as many as the chord has tones: chords of four wait for the level that plays a third
/// inversion, and those of a song lose their sevenths until then.
void inversions_up_and_down(ExerciseDraft& draft) {
  const auto has_all = [&](const Chord& chord) {
    return static_cast<int>(right_hand_tones(chord).size()) <= draft.level().inversions + 1;
  };
  draft.take_chords([&](const Loop& loop) {
    if (!loop.one_chord_a_bar() || loop.bars.size() != 4) return false;
    return std::all_of(loop.analysis.chords.begin(), loop.analysis.chords.end(),
                       [&](const AnalysedChord& each) { return has_all(*each.timed.chord); });
  });
  if (!std::all_of(draft.chords().begin(), draft.chords().end(), has_all)) {
    draft.take(with_chords(draft.exercise.progression,
                           [](std::variant<Chord, Numeral, NoChord, Hold> content) {
                             if (Chord* chord = std::get_if<Chord>(&content)) chord->type = chord->type.triad();
                             return content;
                           }),
               draft.key());
  }
  take_rhythm_and_twist(draft);
  constexpr std::size_t most = 4;
  std::vector<Chord> known;
  for (Chord chord : draft.chords()) {
    chord.bass = chord.root;
    if (known.size() == most || std::find(known.begin(), known.end(), chord) != known.end()) continue;
    known.push_back(chord);
    add_inversions(draft, chord);
  }
  draft.say("rhythm_words", "in the rhythm below, one shape for each bar");
}

/// {kept}: the notes that stay at each change.
void notes_that_stay(ExerciseDraft& draft) {
  const auto linked = [](const Loop& loop) {
    const auto& chords = loop.analysis.chords;
    for (std::size_t i = 1; i < chords.size(); ++i) {
      const unsigned common = chords[i].timed.chord->sounding_tones() & chords[i - 1].timed.chord->sounding_tones();
      if (common == 0 || *chords[i].timed.chord == *chords[i - 1].timed.chord) return false;
    }
    return loop.one_chord_a_bar();
  };
  draft.take_chords(linked);
  take_rhythm_and_twist(draft);
  const HandSettings settings = draft.hand_settings();
  draft.take_hands(settings, false, true);
  const Hands hands = hands_for(draft.timeline(), settings);
  std::vector<std::string> kept;
  constexpr std::size_t most = 3;
  for (std::size_t i = 1; i < hands.chords.size() && kept.size() < most; ++i) {
    if (draft.chords()[i] == draft.chords()[i - 1]) continue;
    std::string notes;
    const Voicing& before = hands.chords[i - 1].right;
    for (const Pitch& note : hands.chords[i].right) {
      const bool in_both =
          std::any_of(before.begin(), before.end(), [&](const Pitch& each) { return each.midi() == note.midi(); });
      if (in_both) notes += (notes.empty() ? "" : " ") + to_string(note.name());
    }
    if (!notes.empty()) {
      kept.push_back(notes + " from " + to_string(draft.chords()[i - 1]) + " to " + to_string(draft.chords()[i]));
    }
  }
  draft.say("kept", kept.empty() ? "here there are none, so every finger goes to its neighbour" : listed(kept));
}

/// {close}: which cadence it is.
void closes_in_a_key(ExerciseDraft& draft) {
  draft.take_closing_loop();
  take_rhythm_and_twist(draft);
  draft.take_hands(draft.hand_settings(), true, true);
  const auto ending = ending_of(draft.chords(), draft.key());
  draft.say("close", std::string(close_name(ending.value_or(CadenceKind::half), draft.terms())));
}

/// The next key on the circle, in its simpler spelling; in the other one where only that writes the chords without
/// double accidentals, like A major in F sharp, which G flat would call B double flat.
Key next_on_circle(const ExerciseDraft& draft, int fifths) {
  const PitchClass from = draft.key().tonic;
  const Key simpler = simplest_spelling({PitchClass(from.fifths() + fifths), draft.key().mode});
  for (const int other : {0, 12, -12}) {
    const Key key{PitchClass(simpler.tonic.fifths() + other), simpler.mode};
    if (!key.can_be_written()) continue;
    const bool plain = std::all_of(draft.chords().begin(), draft.chords().end(), [&](const Chord& chord) {
      return std::abs(transposed(chord, key.tonic - from).root.alteration()) <= 1;
    });
    if (plain) return key;
  }
  return simpler;
}

/// {next_key}, {way} to it, {keys} after it.
void round_the_circle(ExerciseDraft& draft) {
  draft.take_chords([](const Loop& loop) { return loop.one_chord_a_bar() && loop.bars.size() == 4; });
  take_rhythm_and_twist(draft);
  const bool up = draft.variation.pick(2) == 0;
  const int far = draft.level().number <= 4 ? 2 : 4;
  const Key key = draft.key();
  std::vector<std::string> keys;
  for (int turn = 1; turn <= far; ++turn) {
    const Key next = next_on_circle(draft, up ? turn : -turn);
    keys.push_back(to_string(next));
    if (turn > 1) continue;
    draft.exercise.claims.other_key = next;
    ExerciseAnswer answer{AnswerRule::chords, "Write the chords in " + keys.front() + ".", {}, {}, {}};
    for (const Chord& chord : draft.chords()) {
      answer.solution.push_back({to_string(transposed(chord, next.tonic - key.tonic))});
    }
    draft.exercise.answer = std::move(answer);
  }
  draft.say("next_key", keys.front());
  draft.say("way", up ? "five steps up, counting the first one" : "five steps down, counting the first one");
  draft.say("keys", listed(keys));
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
