#include <algorithm>
#include <array>
#include <bit>
#include <cstdlib>
#include <iterator>
#include <optional>

#include "progressions/exercises/closing.h"
#include "progressions/exercises/exercise_draft.h"
#include "progressions/exercises/phrase.h"
#include "progressions/level.h"
#include "theory/chords/numeral_text.h"
#include "theory/voicing/bass_line.h"

namespace romanesca {
namespace {

void ask_for_close(ExerciseDraft& draft, AnswerRule rule, std::string asks, const std::vector<Chord>& solution) {
  ExerciseAnswer answer;
  answer.rule = rule;
  answer.asks = std::move(asks);
  answer.cadence = ending_of(draft.chords(), draft.key());
  answer.terms = draft.terms();
  for (const Chord& chord : solution) answer.solution.push_back({to_string(chord)});
  draft.say("close", std::string(close_name(*answer.cadence, answer.terms)));
  draft.say("close_means", std::string(close_meaning(*answer.cadence)));
  draft.exercise.answer = std::move(answer);
}

/// {bag}: the chords in alphabetical order, {close} to end in.
void chord_order(ExerciseDraft& draft) {
  draft.take_closing_loop();
  draft.take_meter();
  draft.take_rhythm();
  draft.take_twist();
  ask_for_close(draft, AnswerRule::order, "Write the chords in your order.", draft.chords());
  std::vector<std::string> bag = names_of(draft.chords());
  std::sort(bag.begin(), bag.end());
  draft.say("bag", listed(bag));
  for (int bar = 1; bar <= draft.timeline().bars; ++bar) draft.hide_bar(bar);
}

/// {beginning}, {count} of chords to find, {palette}.
void finish_the_phrase(ExerciseDraft& draft) {
  draft.take_closing_loop();
  draft.take_meter();
  draft.take_rhythm();
  draft.take_twist();
  const auto& chords = draft.chords();
  ask_for_close(draft, AnswerRule::ending, "Write the chords of the empty bars.", {chords.end() - 2, chords.end()});
  draft.hide_bar(3);
  draft.hide_bar(4);
  draft.say("beginning", with_dashes({chords[0], chords[1]}));
  draft.say("count", "two chords");
  draft.offer_chords({chords.end() - 2, chords.end()});
}

/// How a melody of one note for each chord is to be: it moves, by no more than a fifth, within an octave, and ends on
/// the tonic where its last chord has it.
bool sings(const std::vector<Pitch>& line, const std::vector<Chord>& chords, PitchClass home) {
  int low = 127;
  int high = 0;
  std::size_t stays = 0;
  for (std::size_t i = 0; i < line.size(); ++i) {
    low = std::min(low, line[i].midi());
    high = std::max(high, line[i].midi());
    if (i == 0) continue;
    const int step = std::abs(line[i].midi() - line[i - 1].midi());
    stays += step == 0 ? 1U : 0U;
    if (step > 7) return false;
  }
  const bool comes_home = !holds(chords.back(), home) || line.back().name().sounds_like(home);
  return high - low >= 3 && high - low <= 12 && stays <= 1 && comes_home;
}

/// One note for each chord, drawn from all the lines that sing.
std::vector<Pitch> melody_for(ExerciseDraft& draft) {
  std::vector<std::vector<Pitch>> lines{{}};
  for (const Chord& chord : draft.chords()) {
    std::vector<std::vector<Pitch>> longer;
    for (const std::vector<Pitch>& line : lines) {
      for (const PitchClass tone : chord.tones()) {
        const Pitch low = lowest_at_or_above(tone, 60);
        for (const Pitch& note : {low, low + intervals::octave}) {
          const bool near = line.empty() ? note.midi() < 72 : std::abs(note.midi() - line.back().midi()) <= 7;
          if (!near || note.midi() > 76) continue;
          longer.push_back(line);
          longer.back().push_back(note);
        }
      }
    }
    lines = std::move(longer);
  }
  std::vector<std::vector<Pitch>> singing;
  std::copy_if(lines.begin(), lines.end(), std::back_inserter(singing),
               [&](const auto& line) { return sings(line, draft.chords(), draft.key().tonic); });
  const auto& choice = singing.empty() ? lines : singing;
  std::vector<Pitch> line = choice[draft.variation.pick(choice.size())];
  for (std::size_t i = 0; i < line.size(); ++i) {
    const TimedChord& timed = draft.timeline().chords[i];
    draft.exercise.melody.push_back({timed.start, timed.length, line[i]});
  }
  return line;
}

std::string names_with_dashes(const std::vector<Pitch>& line) {
  std::string text;
  for (const Pitch& note : line) text += (text.empty() ? "" : " ") + to_string(note.name());
  return text;
}

/// {gap}: the bar without a chord, {note} of the melody in it, {line}: the melody, {palette}.
void missing_chord(ExerciseDraft& draft) {
  const auto simple = [](const Loop& loop) { return loop.one_chord_a_bar() && loop.bars.size() == 4; };
  draft.take_loop(simple);
  draft.take_meter();
  const std::size_t gap = 1 + draft.variation.pick(draft.chords().size() - 1);
  draft.take_twist();
  const std::vector<Pitch> line = melody_for(draft);
  const PitchClass note = line[gap].name();
  std::vector<std::string> fitting{to_string(draft.chords()[gap])};
  for (const Chord& chord : playable_triads(draft.key(), draft.level())) {
    if (holds(chord, note) && to_string(chord) != fitting.front()) fitting.push_back(to_string(chord));
  }
  draft.hide_bar(draft.timeline().chords[gap].bar);
  draft.say("gap", std::to_string(draft.timeline().chords[gap].bar));
  draft.say("note", to_string(note));
  draft.say("line", names_with_dashes(line));
  draft.offer_chords({draft.chords()[gap]});
  draft.exercise.answer = ExerciseAnswer{AnswerRule::fits_melody, "Write the missing chord.", {fitting}, {}, {}};
}

/// {verse} chords, {dominant}, {count} of bars.
void bridge(ExerciseDraft& draft) {
  draft.use_plain_mode();
  draft.take_loop(
      [](const Loop& loop) { return loop.begins_on_tonic && loop.one_chord_a_bar() && loop.bars.size() == 4; });
  const std::vector<Chord> verse = draft.chords();
  const PitchClass fifth = draft.key().tonic + intervals::perfect_fifth;
  PhraseShape shape;
  shape.from_home = false;
  shape.meets_home = false;
  shape.ending = CadenceKind::half;
  const std::vector<Chord> model =
      phrase(draft.variation, draft.key(), playable_triads(draft.key(), draft.level()), shape);
  const Chord dominant = Chord::on(fifth, chord_types::major);
  draft.take_meter();
  draft.take_rhythm();
  draft.take_twist();
  ExerciseAnswer answer{AnswerRule::bridge, "Write the chords of your bridge.", {}, {}, {}};
  for (const Chord& chord : model) answer.solution.push_back({to_string(chord)});
  draft.say("verse", with_dashes(verse));
  draft.say("dominant", to_string(dominant));
  draft.say("count", number_word(answer.solution.size()));
  draft.exercise.answer = std::move(answer);
}

Progression walking(const ExerciseDraft& draft) {
  const Key key = draft.key();
  return with_stepwise_bass(draft.exercise.progression,
                            analyse(draft.exercise.progression, KeyText{key.tonic, key.mode}));
}

/// {plain} bass, {example} of a slash, {count} of steps.
void stepwise_bass(ExerciseDraft& draft) {
  const auto in_root_position = [](const Loop& loop) {
    const auto& chords = loop.analysis.chords;
    return loop.one_chord_a_bar() && std::all_of(chords.begin(), chords.end(), [](const AnalysedChord& each) {
             return each.timed.chord->bass == each.timed.chord->root;
           });
  };
  draft.take_loop([&](const Loop& loop) { return loop.bass_can_walk && in_root_position(loop); });
  draft.take_meter();
  draft.take_rhythm();
  draft.take_twist();
  ExerciseAnswer answer{AnswerRule::bass_steps, "Write the chords with their new lowest notes.", {}, {}, {}};
  std::vector<Chord> walks;
  for (const TimedChord& timed : timeline(walking(draft), draft.key()).chords) {
    walks.push_back(*timed.chord);
    answer.solution.push_back({to_string(*timed.chord)});
  }
  const Chord& first = draft.chords().front();
  const int steps = bass_steps(walks);
  std::string plain;
  for (const Chord& chord : draft.chords()) plain += (plain.empty() ? "" : " ") + to_string(chord.bass);
  draft.say("plain", plain);
  draft.say("example", to_string(Chord{first.root, first.type, first.tones()[1]}));
  draft.say("count", steps == 1 ? "once" : number_word(static_cast<std::size_t>(steps)) + " times");
  draft.exercise.answer = std::move(answer);
}

/// Another chord that holds the note and shares at least two with the old one: of the key, or borrowed where the level
/// has it.
/// @param free neither of its neighbours is to be the same chord
std::optional<Chord> new_chord(const ExerciseDraft& draft, std::size_t place, PitchClass note, bool free) {
  const Chord& old = draft.chords()[place];
  const auto is_neighbour = [&](const Chord& chord) {
    const auto& all = draft.chords();
    if (!free) return false;
    return (place > 0 && sound_alike(all[place - 1], chord)) ||
           (place + 1 < all.size() && sound_alike(all[place + 1], chord));
  };
  const Key key = draft.key();
  const Key parallel{key.tonic, is_minorish(key.mode) ? Mode::major : Mode::minor};
  for (const Key& from : {key, parallel}) {
    for (const int degree : {6, 4, 3, 2, 1, 5}) {
      const Chord chord = from.diatonic_chord(degree, 3);
      const bool other = !chord.root.sounds_like(old.root) && !chord.type.is_diminished();
      const int shared = std::popcount(chord.sounding_tones() & old.sounding_tones());
      if (other && shared >= 2 && !is_neighbour(chord) && holds(chord, note) && std::abs(chord.root.alteration()) <= 1)
        return chord;
    }
  }
  return std::nullopt;
}

/// {line}: the melody, {old} chord and {new} one, {parallel}: the key to borrow from.
void new_harmony(ExerciseDraft& draft) {
  draft.take_loop([](const Loop& loop) { return loop.one_chord_a_bar() && loop.bars.size() == 4; });
  draft.take_meter();
  draft.take_twist();
  const std::vector<Pitch> line = melody_for(draft);
  ExerciseAnswer answer{AnswerRule::new_harmony, "Write a chord for each bar.", {}, {}, {}};
  for (const Chord& chord : draft.chords()) answer.solution.push_back({to_string(chord)});
  const std::size_t count = draft.chords().size();
  for (std::size_t turn = 0; turn < 2 * count; ++turn) {
    const std::size_t i = count - 1 - turn % count;  // from the end
    const Chord& old = draft.chords()[i];
    const auto other = new_chord(draft, i, line[i].name(), turn < count);
    if (!other) continue;
    answer.solution[i] = {to_string(*other)};
    draft.say("old", to_string(old));
    draft.say("new", to_string(*other));
    break;
  }
  const Key key = draft.key();
  draft.say("line", names_with_dashes(line));
  draft.say("parallel", to_string(Key{key.tonic, is_minorish(key.mode) ? Mode::major : Mode::minor}));
  draft.exercise.answer = std::move(answer);
}

/// The mode to change to on the same tonic: major or minor, or where that has more than six accidentals (A flat minor,
/// D sharp major) a church mode of the same third. Common practice writes D flat minor as C sharp minor, on another
/// tonic, which is no change of mode on paper.
Key other_mode(const Key& key) {
  const bool minor = is_minorish(key.mode);
  const auto modes = minor ? std::array{Mode::major, Mode::dorian, Mode::phrygian}
                           : std::array{Mode::minor, Mode::mixolydian, Mode::lydian};
  constexpr int most = 6;
  for (const Mode mode : modes) {
    const Key other{key.tonic, mode};
    if (mode != key.mode && std::abs(other.signature()) <= most) return other;
  }
  return {key.tonic, minor ? Mode::phrygian : Mode::mixolydian};
}

/// The step of the scale that a chord of the key stands on.
int step_of_scale(const Chord& chord, const Key& key) {
  const int letters = (chord.root - key.tonic).number();
  return letters >= 1 && letters <= 7 ? letters : 1;
}

/// {from_mode}, {to_mode}, {other_key} and its {scale_notes}.
void change_the_mode(ExerciseDraft& draft) {
  const Key other = other_mode(draft.key());
  const Key plain = key_without_accidentals(draft.key().mode);
  const auto of_the_scale = [&](const Loop& loop) {
    if (!loop.one_chord_a_bar() || loop.bars.size() != 4) return false;
    return std::all_of(loop.bars.begin(), loop.bars.end(), [&](const auto& bar) {
      const Numeral& numeral = bar.front();
      if (numeral.root.accidental != 0 || numeral.named != NamedChord::none || numeral.applied_to.size() != 0)
        return false;
      const int step = step_of_scale(realise(numeral, plain), plain);
      return draft.level().allows(other.diatonic_chord(step, 3).type);
    });
  };
  draft.take_loop(of_the_scale);
  draft.take_meter();
  draft.take_rhythm();
  draft.take_twist();
  const Key key = draft.key();
  ExerciseAnswer answer{AnswerRule::chords, "Write the chords in " + to_string(other) + ".", {}, {}, {}};
  for (const Chord& chord : draft.chords()) {
    const int degree = step_of_scale(chord, key);
    std::vector<std::string> right{to_string(other.diatonic_chord(degree, 3)),
                                   to_string(other.diatonic_chord(degree, 4))};
    if (degree == 5) right.push_back(to_string(Chord::on(other.degree(5), chord_types::major)));
    answer.solution.push_back(std::move(right));
  }
  const auto scale = other.scale();
  draft.exercise.claims.other_key = other;
  draft.say("from_mode", std::string(to_string(key.mode)));
  draft.say("to_mode", std::string(to_string(other.mode)));
  draft.say("other_key", to_string(other));
  draft.say("scale_notes", listed(std::vector<PitchClass>(scale.begin(), scale.end())));
  draft.exercise.answer = std::move(answer);
}

/// {palette} to choose from.
void mood_to_chords(ExerciseDraft& draft) {
  draft.take_chords([](const Loop& loop) { return loop.one_chord_a_bar() && loop.bars.size() == 4; });
  draft.take_meter();
  draft.take_rhythm();
  draft.take_twist();
  draft.offer_chords({draft.chords().front()});
}

}  // namespace

std::span<const ExerciseBuilder> compose_chord_builders() {
  static constexpr std::array builders{
      ExerciseBuilder{"chord-order", chord_order},         ExerciseBuilder{"finish-the-phrase", finish_the_phrase},
      ExerciseBuilder{"missing-chord", missing_chord},     ExerciseBuilder{"bridge", bridge},
      ExerciseBuilder{"stepwise-bass", stepwise_bass},     ExerciseBuilder{"new-harmony", new_harmony},
      ExerciseBuilder{"change-the-mode", change_the_mode}, ExerciseBuilder{"mood-to-chords", mood_to_chords},
  };
  return builders;
}

}  // namespace romanesca
