#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <iterator>

#include "progressions/exercises/closing.h"
#include "progressions/exercises/exercise_draft.h"
#include "progressions/level.h"
#include "theory/chords/numeral_text.h"
#include "theory/songs/progression.h"

namespace romanesca {
namespace {

/// {song}: its title, or what else to call it.
void take_song(ExerciseDraft& draft) {
  draft.take_chords([](const Loop& loop) { return loop.bars.size() >= 4; });
  const std::string& title = draft.exercise.progression.title;
  draft.say("song", title.empty() ? "this song" : "\"" + title + "\"");
  draft.take_meter();
}

void layer_by_layer(ExerciseDraft& draft) {
  take_song(draft);
  draft.take_rhythm();
  draft.take_twist();
  draft.take_hands(draft.hand_settings(), true, true);
}

/// {close} to make, {palette}, {last_chord} of an ending that works.
void your_own_ending(ExerciseDraft& draft) {
  draft.use_plain_mode();
  take_song(draft);
  draft.take_rhythm();
  draft.take_twist();
  const Key key = draft.key();
  const auto main = playable_triads(key, romanesca::level(1));  // tonic, subdominant, dominant
  struct Ending {
    CadenceKind kind;
    Chord first, last;
  };
  const std::array<Ending, 3> endings{{{CadenceKind::authentic, main[2], main[0]},
                                       {CadenceKind::plagal, main[1], main[0]},
                                       {CadenceKind::half, main[1], main[2]}}};
  const Ending& ending = endings[draft.variation.pick(endings.size())];
  const std::size_t count = draft.chords().size();
  draft.exercise.hidden = {count - 2, count - 1};
  draft.say("close", std::string(close_name(ending.kind, draft.terms())));
  draft.say("close_means", std::string(close_meaning(ending.kind)));
  draft.offer_chords({ending.first, ending.last});
  draft.say("last_chord", to_string(ending.last));
  draft.exercise.answer = ExerciseAnswer{AnswerRule::ending,
                                         "Write the two chords of your ending.",
                                         {{to_string(ending.first)}, {to_string(ending.last)}},
                                         {},
                                         ending.kind,
                                         draft.terms()};
}

/// {gaps}: where the singer breathes.
void between_the_lines(ExerciseDraft& draft) {
  take_song(draft);
  draft.take_rhythm();
  draft.take_twist();
  draft.take_pentatonic();
  draft.take_safe_notes();
  std::vector<std::string> gaps;
  for (int bar = 2; bar <= draft.timeline().bars; bar += 2) gaps.push_back(std::to_string(bar));
  draft.say("gaps", "the second half of bars " + listed(gaps));
}

/// {new_key}, {distance} to it, {new_first} chord.
void into_another_key(ExerciseDraft& draft) {
  take_song(draft);
  struct Move {
    int semitones;
    std::string_view words;
  };
  constexpr std::array<Move, 6> moves{{{2, "two piano keys up"},
                                       {10, "two piano keys down"},
                                       {5, "five piano keys up"},
                                       {7, "five piano keys down"},
                                       {3, "three piano keys up"},
                                       {9, "three piano keys down"}}};
  const Key key = draft.key();
  const auto moved = [&](const Move& move) {
    const Key sharps{PitchClass(7 * move.semitones % 12 + key.tonic.fifths()), key.mode};
    return simplest_spelling(sharps);
  };
  std::vector<Move> possible;
  std::copy_if(moves.begin(), moves.end(), std::back_inserter(possible),
               [&](const Move& move) { return draft.level().allows(moved(move)); });
  if (possible.empty()) possible.assign(moves.begin(), moves.end());
  const Move& move = possible[draft.variation.pick(possible.size())];
  draft.take_rhythm();
  draft.take_twist();
  const Key goal = moved(move);
  ExerciseAnswer answer{AnswerRule::chords, "Write the chords in " + to_string(goal) + ".", {}, {}, {}};
  for (const Chord& chord : draft.chords()) {
    answer.solution.push_back({to_string(transposed(chord, goal.tonic - key.tonic))});
  }
  draft.exercise.claims.other_key = goal;
  draft.say("new_key", to_string(goal));
  draft.say("distance", std::string(move.words));
  draft.say("new_first", answer.solution.front().front());
  draft.exercise.answer = std::move(answer);
}

/// {scale_notes} of the key, {first_number} of a chord.
void chord_numbers(ExerciseDraft& draft) {
  take_song(draft);
  draft.take_twist();
  const Key key = draft.key();
  ExerciseAnswer answer{AnswerRule::words, "", {}, {}, {}};
  std::vector<Chord> known;
  const auto& chords = draft.chords();
  for (std::size_t i = 0; i < chords.size(); ++i) {
    if (std::find(known.begin(), known.end(), chords[i]) != known.end()) continue;
    known.push_back(chords[i]);
    const auto next = i + 1 < chords.size() ? std::optional(chords[i + 1]) : std::nullopt;
    const std::string read = to_string(read_chord(chords[i], key, next).numeral);
    const std::string plain = to_string(numeral_of(chords[i], key));
    answer.solution.push_back({read});
    if (plain != read) answer.solution.back().push_back(plain);
  }
  answer.asks = fmt::format("Write the numbers of the {} different chords in their order.", number_word(known.size()));
  const auto scale = key.scale();
  draft.say("scale_notes", listed(std::vector<PitchClass>(scale.begin(), scale.end())));
  draft.say("first_number", answer.solution.front().front());
  draft.exercise.answer = std::move(answer);
}

}  // namespace

std::span<const ExerciseBuilder> song_builders() {
  static constexpr std::array builders{
      ExerciseBuilder{"layer-by-layer", layer_by_layer},       ExerciseBuilder{"your-own-ending", your_own_ending},
      ExerciseBuilder{"between-the-lines", between_the_lines}, ExerciseBuilder{"into-another-key", into_another_key},
      ExerciseBuilder{"chord-numbers", chord_numbers},
  };
  return builders;
}

}  // namespace romanesca
