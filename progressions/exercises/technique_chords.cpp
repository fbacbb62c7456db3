#include <algorithm>
#include <array>

#include "progressions/exercises/exercise_draft.h"

namespace romanesca {
namespace {

/// Chords of the key with their sevenths on these degrees, one in a bar; the dominant with its major third.
std::vector<std::vector<Chord>> sevenths_on(const Key& key, std::initializer_list<int> degrees) {
  std::vector<std::vector<Chord>> bars;
  for (const int degree : degrees) {
    Chord chord = key.diatonic_chord(degree, 4);
    if (degree == 5) chord = Chord::on(chord.root, chord_types::dominant_seventh);
    bars.push_back({chord});
  }
  return bars;
}

void take_rhythm_of_chords(ExerciseDraft& draft) {
  draft.take_meter();
  draft.take_rhythm();
  draft.take_twist();
}

/// {next_key}, {keys} after it: down by fifths, as the chords themselves go.
void two_five_one(ExerciseDraft& draft) {
  draft.use_plain_mode();
  const Key key = draft.key();
  const bool doubled = draft.variation.pick(2) == 1;
  draft.take(progression_of(doubled ? sevenths_on(key, {2, 5, 1, 1}) : sevenths_on(key, {2, 5, 1}), key), key);
  take_rhythm_of_chords(draft);
  HandSettings hands = draft.hand_settings();
  constexpr std::array<VoicingKind, 3> kinds{VoicingKind::close, VoicingKind::shell, VoicingKind::rootless};
  // Rootless chords come with level 6.
  hands.voicing = kinds[draft.variation.pick(draft.level().number >= 6 ? 3 : 2)];
  draft.take_hands(hands, true, true);
  std::vector<std::string> keys;
  ExerciseAnswer answer;
  answer.rule = AnswerRule::chords;
  for (int turn = 1; turn <= 3; ++turn) {
    const Key next = simplest_spelling({PitchClass(key.tonic.fifths() - turn), key.mode});
    keys.push_back(to_string(next));
    if (turn > 1) continue;
    draft.exercise.claims.other_key = next;
    answer.asks = "Write the chords in " + keys.front() + ".";
    for (const Chord& chord : draft.chords()) {
      answer.solution.push_back({to_string(transposed(chord, next.tonic - key.tonic))});
    }
  }
  draft.exercise.answer = std::move(answer);
  draft.say("next_key", keys.front());
  draft.say("keys", listed(keys));
}

void turnarounds(ExerciseDraft& draft) {
  draft.use_plain_mode();
  const Key key = draft.key();
  std::vector<std::vector<Chord>> bars;
  switch (draft.variation.pick(3)) {
    case 0:
      bars = sevenths_on(key, {1, 6, 2, 5});
      break;
    case 1:
      bars = sevenths_on(key, {3, 6, 2, 5});
      break;
    default:
      bars = sevenths_on(key, {1, 4, 2, 5});
      break;
  }
  draft.take(progression_of(bars, key), key);
  take_rhythm_of_chords(draft);
  HandSettings hands = draft.hand_settings();
  if (draft.level().number >= 6 && draft.variation.pick(2) == 1) hands.voicing = VoicingKind::shell;
  draft.take_hands(hands, true, true);
}

/// {count} of chords: the circle of fifths within the key, as far as the level goes.
void inversions_round_the_circle(ExerciseDraft& draft) {
  draft.use_plain_mode();
  const Key key = draft.key();
  const bool minor = key.mode == Mode::minor;
  const bool whole = draft.level().number >= 6 && draft.variation.pick(2) == 1;
  const bool longer = draft.variation.pick(2) == 1;
  const bool sevenths = draft.level().number >= 7 && draft.variation.pick(2) == 1;
  std::vector<int> degrees = minor ? std::vector{1, 4, 7, 3} : std::vector{6, 2, 5, 1};
  if (longer) degrees.insert(minor ? degrees.end() : degrees.begin(), minor ? 6 : 3);
  if (whole) degrees = longer ? std::vector{1, 4, 7, 3, 6, 2, 5, 1} : std::vector{4, 7, 3, 6, 2, 5, 1};
  std::vector<std::vector<Chord>> bars;
  for (const int degree : degrees) {
    Chord chord = key.diatonic_chord(degree, sevenths ? 4 : 3);
    // The dominant has its major third in minor too.
    if (degree == 5) chord = Chord::on(chord.root, sevenths ? chord_types::dominant_seventh : chord_types::major);
    bars.push_back({chord});
  }
  draft.take(progression_of(bars, key), key);
  take_rhythm_of_chords(draft);
  draft.take_hands(draft.hand_settings(), true, true);
  draft.say("count", number_word(degrees.size()));
}

/// Loops with a seventh in most of their chords.
bool has_sevenths(const Loop& loop) {
  const auto& chords = loop.analysis.chords;
  const auto count = std::count_if(chords.begin(), chords.end(),
                                   [](const AnalysedChord& each) { return each.timed.chord->type.has_seventh(); });
  return loop.one_chord_a_bar() && 2 * count >= std::ssize(chords);
}

void take_sevenths(ExerciseDraft& draft, VoicingKind voicing) {
  draft.take_chords(has_sevenths);
  take_rhythm_of_chords(draft);
  HandSettings hands = draft.hand_settings();
  hands.voicing = voicing;
  draft.take_hands(hands, true, true);
}

void shells(ExerciseDraft& draft) { take_sevenths(draft, VoicingKind::shell); }

void rootless(ExerciseDraft& draft) { take_sevenths(draft, VoicingKind::rootless); }

void open_position(ExerciseDraft& draft) { take_sevenths(draft, VoicingKind::open); }

void octave_bass(ExerciseDraft& draft) {
  draft.take_chords([](const Loop& loop) { return loop.one_chord_a_bar(); });
  take_rhythm_of_chords(draft);
  HandSettings hands = draft.hand_settings();
  hands.left = LeftHand::octave;
  hands.span = std::max(hands.span, 12);
  draft.take_hands(hands, true, false);
}

}  // namespace

std::span<const ExerciseBuilder> technique_chord_builders() {
  static constexpr std::array builders{
      ExerciseBuilder{"two-five-one", two_five_one},
      ExerciseBuilder{"inversions-round-the-circle", inversions_round_the_circle},
      ExerciseBuilder{"turnarounds", turnarounds},
      ExerciseBuilder{"shells", shells},
      ExerciseBuilder{"rootless", rootless},
      ExerciseBuilder{"open-position", open_position},
      ExerciseBuilder{"octave-bass", octave_bass},
  };
  return builders;
}

}  // namespace romanesca
