#include <algorithm>
#include <array>
#include <iterator>

#include "progressions/exercises/closing.h"
#include "progressions/exercises/exercise_draft.h"
#include "theory/notes/scale.h"
#include "theory/voicing/guide_tones.h"
#include "theory/voicing/left_hand.h"

namespace romanesca {
namespace {

void take_meter_and_rhythm(ExerciseDraft& draft) {
  draft.take_meter();
  draft.take_rhythm();
}

/// Where a phrase over the chord may end: of these notes that the chord has, the tonic or the nearest to it; where the
/// chord has none of them, of its own tones.
PitchClass resting_note(const Chord& chord, PitchClass home, const std::vector<PitchClass>& notes) {
  std::vector<PitchClass> tones;
  std::copy_if(notes.begin(), notes.end(), std::back_inserter(tones),
               [&](PitchClass note) { return holds(chord, note); });
  if (tones.empty()) {
    const auto own = chord.tones();
    tones.assign(own.begin(), own.end());
  }
  const auto distance = [&](PitchClass tone) {
    const int up = (tone.semitone() - home.semitone() + 12) % 12;
    return std::min(up, 12 - up);
  };
  return *std::min_element(tones.begin(), tones.end(),
                           [&](PitchClass a, PitchClass b) { return distance(a) < distance(b); });
}

std::string first_three(const std::vector<PitchClass>& notes) {
  return listed(std::vector<PitchClass>(notes.begin(), notes.begin() + std::min<std::ptrdiff_t>(3, std::ssize(notes))));
}

/// {half} bars, {open} and {close}: last notes of question and answer; {three} of the notes.
void question_and_answer(ExerciseDraft& draft) {
  draft.take_chords([](const Loop& loop) { return loop.bars.size() % 2 == 0 && loop.ends_on_tonic; });
  draft.come_home();
  take_meter_and_rhythm(draft);
  draft.take_twist();
  draft.take_pentatonic();
  draft.take_safe_notes();
  const int half = std::max(1, draft.timeline().bars / 2);
  // A question waits on a note of its chord that is not home; without one, on another that does not rub.
  const Chord& waits = draft.chord_in_bar(half);
  std::vector<PitchClass> open, others;
  for (const PitchClass note : draft.exercise.notes) {
    if (note.sounds_like(draft.key().tonic)) continue;
    if (holds(waits, note)) open.push_back(note);
    if (!clashes(waits, note)) others.push_back(note);
  }
  if (open.empty()) open = others.empty() ? std::vector{draft.exercise.notes[1]} : others;
  draft.say("half", half == 1 ? "one bar" : number_word(static_cast<std::size_t>(half)) + " bars");
  const PitchClass asks = open[draft.variation.pick(open.size())];
  const PitchClass close = resting_note(draft.chords().back(), draft.key().tonic, draft.exercise.notes);
  draft.exercise.claims.asked = {asks, close};
  draft.exercise.claims.finish = close;
  const int bars = draft.timeline().bars;
  draft.add_model("question", 1, half, asks);
  // The answer takes up the beginning of the question and comes home.
  std::vector<MelodyNote> question;
  if (!draft.exercise.models.empty()) question = draft.exercise.models.front().notes;
  if (bars > half) draft.add_model("answer", half + 1, bars, close, question);
  draft.say("open", to_string(asks));
  draft.say("close", to_string(close));
  draft.say("three", first_three(draft.exercise.notes));
}

/// {count} of the notes, {favourite} one of them.
void few_notes(ExerciseDraft& draft) {
  draft.take_chords();
  take_meter_and_rhythm(draft);
  draft.take_pentatonic();
  const std::vector<PitchClass> all = draft.exercise.notes;
  std::vector<std::vector<PitchClass>> sets;
  constexpr std::array<std::size_t, 3> sizes{2, 3, 5};
  for (const std::size_t size : sizes) {
    // The first lessons take two or three notes, the later ones three or five.
    if (draft.level().number <= 2 ? size == 5 : draft.level().number >= 5 && size == 2) continue;
    for (std::size_t from = 0; from < (size == 5 ? 1 : all.size()); ++from) {
      std::vector<PitchClass> set;
      for (std::size_t i = 0; i < size; ++i) set.push_back(all[(from + i) % all.size()]);
      sets.push_back(std::move(set));
    }
  }
  // Those that have a note for every chord to rest on; with two notes this is rare.
  std::vector<std::vector<PitchClass>> restful;
  for (const auto& set : sets) {
    const bool everywhere = std::all_of(draft.chords().begin(), draft.chords().end(), [&](const Chord& chord) {
      return std::any_of(set.begin(), set.end(), [&](PitchClass note) { return holds(chord, note); });
    });
    if (everywhere) restful.push_back(set);
  }
  const auto& choice = restful.empty() ? sets : restful;
  draft.exercise.notes = choice[draft.variation.pick(choice.size())];
  draft.take_twist();
  draft.add_model("one of many", 1, draft.timeline().bars, {});
  draft.say("count", number_word(draft.exercise.notes.size()));
  draft.say("favourite", to_string(draft.exercise.notes[draft.variation.pick(draft.exercise.notes.size())]));
}

/// {beats} to land on, {tones} of the chords.
void chord_tones_on_strong_beats(ExerciseDraft& draft) {
  draft.take_chords();
  take_meter_and_rhythm(draft);
  draft.take_twist();
  draft.take_safe_notes();
  const bool in_four = draft.timeline().meter() == Meter{4, 4};
  draft.say("beats", draft.level().number >= 5 && in_four ? "beat 1 and beat 3" : "beat 1");
  std::vector<std::string> named;
  for (const Chord& chord : draft.chords()) {
    std::string text = to_string(chord);
    for (std::size_t i = 0; i < chord.tones().size(); ++i)
      text += (i == 0 ? " is " : " ") + to_string(chord.tones()[i]);
    if (std::find(named.begin(), named.end(), text) == named.end()) named.push_back(std::move(text));
  }
  if (named.size() > 3) named.resize(3), named.push_back("and so on");
  std::string text;
  for (const std::string& each : named) text += (text.empty() ? "" : ", ") + each;
  draft.say("tones", text);
}

/// {first_note} to begin on.
void rhythm_motif(ExerciseDraft& draft) {
  draft.take_chords();
  take_meter_and_rhythm(draft);
  draft.take_twist();
  draft.take_pentatonic();
  const auto& notes = draft.exercise.notes;
  draft.say("first_note", to_string(notes[draft.variation.pick(notes.size())]));
  draft.add_model("one of many", 1, draft.timeline().bars, {});
}

/// {safety}: whether any of the notes rubs; {landing}: a note of the last chord; {three} of the notes.
void pentatonic_tune(ExerciseDraft& draft) {
  const auto scale = scale_named(is_minorish(draft.key().mode) ? "minor pentatonic" : "major pentatonic");
  draft.take_chords([&](const Loop& loop) {
    const Key key = key_without_accidentals(draft.key().mode);
    const auto chords = loop.chords(key);
    const auto notes = scale->from(key.tonic);
    return std::none_of(chords.begin(), chords.end(), [&](const Chord& chord) {
      return std::any_of(notes.begin(), notes.end(), [&](PitchClass note) { return clashes(chord, note); });
    });
  });
  take_meter_and_rhythm(draft);
  draft.take_twist();
  draft.take_pentatonic();
  draft.take_safe_notes();
  const PitchClass landing = resting_note(draft.chords().back(), draft.key().tonic, draft.exercise.notes);
  if (holds(draft.chords().back(), landing) && draft.key().contains(landing)) draft.exercise.claims.asked = {landing};
  std::string safety = "None of them is wrong.";
  draft.exercise.claims.none_wrong = true;
  for (const Chord& chord : draft.chords()) {
    for (const PitchClass note : draft.exercise.notes) {
      if (!draft.exercise.claims.none_wrong || !clashes(chord, note)) continue;
      draft.exercise.claims.none_wrong = false;
      safety = "Over " + to_string(chord) + " the " + to_string(note) + " rubs, so move on from it.";
    }
  }
  draft.say("safety", safety);
  draft.say("landing", to_string(landing));
  draft.add_model("one of many", 1, draft.timeline().bars, landing);
  draft.say("three", first_three(draft.exercise.notes));
}

/// A blues form of the key: the library's, and loops of the three chords with sevenths.
/// A church mode has none of its own and takes that of the plain mode.
void take_blues(ExerciseDraft& draft) {
  const bool minor = is_minorish(draft.key().mode);
  const Key key{draft.key().tonic, minor ? Mode::minor : Mode::major};
  const ChordType type = minor ? ChordType(chord_types::minor) : chord_types::dominant_seventh;
  const Chord one = Chord::on(key.tonic, type);
  const Chord four = Chord::on(key.tonic + intervals::perfect_fourth, type);
  const Chord five = Chord::on(key.tonic + intervals::perfect_fifth, chord_types::dominant_seventh);
  const std::vector<std::vector<Chord>> forms{{one, one, four, one},
                                              {one, four, one, five},
                                              {one, one, four, four},
                                              {one, four, five, one},
                                              {one, four, one, four},
                                              {one, one, five, one},
                                              {one, one, one, one, four, four, one, one, five, four, one, one},
                                              {one, four, one, one, four, four, one, one, five, four, one, five},
                                              {one, five, four, four, one, five, one, five}};
  // The forms of twelve bars wait until the hands know the chords.
  const std::size_t known = draft.level().number >= 5 ? forms.size() : 6;
  std::vector<std::vector<Chord>> bars;
  for (const Chord& chord : forms[draft.variation.pick(known)]) bars.push_back({chord});
  draft.take(progression_of(bars, key), key);
}

/// {scale}, its {blue} note, {three} of its notes, {count} of bars, {other}: the fourth chord, {landing} in it.
void blues_scale(ExerciseDraft& draft) {
  take_blues(draft);
  take_meter_and_rhythm(draft);
  draft.take_twist();
  const bool minor = is_minorish(draft.key().mode);
  // The sweeter scale on major chords comes with the seventh chords.
  const bool sweet = !minor && draft.level().number >= 5 && draft.variation.pick(2) == 1;
  draft.take_notes(sweet ? "major blues" : "minor blues");
  const PitchClass home = draft.key().tonic;
  const PitchClass blue = home + (sweet ? intervals::minor_third : intervals::diminished_fifth);
  draft.say("scale", draft.exercise.scale);
  draft.say("blue", to_string(blue));
  draft.say("three",
            listed(std::vector<PitchClass>(draft.exercise.notes.begin() + 1, draft.exercise.notes.begin() + 4)));
  draft.say("count", number_word(static_cast<std::size_t>(draft.timeline().bars)));
  const auto& chords = draft.chords();
  const auto other = std::find_if(chords.begin(), chords.end(), [&](const Chord& chord) { return chord.root != home; });
  draft.say("other", to_string(*other));
  draft.say("landing", to_string(other->root));
}

/// The modes on the key's tonic that differ from it in one note and can be written.
std::vector<Mode> near_modes(const Key& key) {
  std::vector<Mode> modes;
  if (characteristic_degree(key.mode)) return {key.mode};
  for (const Mode mode : {Mode::lydian, Mode::mixolydian, Mode::dorian, Mode::phrygian}) {
    const bool fits = is_minorish(mode) == is_minorish(key.mode) && Key{key.tonic, mode}.can_be_written();
    if (fits) modes.push_back(mode);
  }
  return modes;
}

/// {mode}, its {special} note, {colour}: the chord that holds it; {plain} note of {plain_mode} in its place.
void mode_vamp(ExerciseDraft& draft) {
  const std::vector<Mode> modes = near_modes(draft.key());
  const Mode mode = modes[draft.variation.pick(modes.size())];
  draft.exercise.key.mode = mode;
  const Key key = draft.key();
  const int degree = *characteristic_degree(mode);
  const PitchClass special = key.degree(degree);
  draft.take_loop([&](const Loop& loop) {
    const auto chords = loop.chords(key);
    std::vector<Chord> different;
    for (const Chord& chord : chords) {
      if (std::find(different.begin(), different.end(), chord) == different.end()) different.push_back(chord);
    }
    return chords.front().root == key.tonic && different.size() <= 3;
  });
  take_meter_and_rhythm(draft);
  draft.take_twist();
  const auto scale = key.scale();
  draft.exercise.notes.assign(scale.begin(), scale.end());
  const auto& chords = draft.chords();
  const auto colour =
      std::find_if(chords.begin(), chords.end(), [&](const Chord& chord) { return holds(chord, special); });
  const Mode plain = is_minorish(mode) ? Mode::minor : Mode::major;
  draft.say("mode", std::string(to_string(mode)));
  draft.say("plain_mode", std::string(to_string(plain)));
  draft.say("special", to_string(special));
  draft.say("plain", to_string(Key{key.tonic, plain}.degree(degree)));
  draft.say("colour", to_string(colour == chords.end() ? chords.front() : *colour));
}

/// The line itself, and {line} and {roots} in words.
void guide_tones_followed(ExerciseDraft& draft) {
  draft.take_chords([](const Loop& loop) { return loop.bars.size() <= 4; });
  take_meter_and_rhythm(draft);
  const std::vector<Pitch> line = guide_tone_line(draft.chords(), draft.variation.pick(2));
  std::string names, roots;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const TimedChord& timed = draft.timeline().chords[i];
    draft.exercise.melody.push_back({timed.start, timed.length, line[i]});
    names += (i == 0 ? "" : " ") + to_string(line[i].name());
    roots += (i == 0 ? "" : " ") + to_string(draft.chords()[i].bass);
  }
  draft.take_twist();
  draft.take_safe_notes();
  draft.say("line", names);
  draft.say("roots", roots);
}

/// {pattern} of the left hand, in words; its notes chord by chord.
void left_hand_under_a_free_right(ExerciseDraft& draft) {
  draft.take_chords();
  take_meter_and_rhythm(draft);
  draft.take_pentatonic();
  HandSettings hands = draft.hand_settings();
  constexpr std::array<std::string_view, 4> patterns{
      "the lowest note on beat 1, held for the bar", "root and fifth together, once in each bar",
      "the lowest note, then the same one higher, in turn", "lowest note, fifth and top note one after another"};
  const auto hardest = static_cast<std::size_t>(draft.level().left);
  const std::size_t chosen = draft.variation.pick(hardest + 1);
  hands.left = static_cast<LeftHand>(chosen);
  hands.spare_doublings = false;  // the right hand plays something else
  draft.take_hands(hands, true, false);
  draft.take_twist();
  draft.take_safe_notes();
  draft.say("pattern", std::string(patterns[chosen]));
}

/// {silent}: the bars that stay empty.
void leaving_space(ExerciseDraft& draft) {
  draft.take_chords();
  take_meter_and_rhythm(draft);
  draft.take_pentatonic();
  const int bars = draft.timeline().bars;
  struct Plan {
    int every, from;
  };
  const std::array<Plan, 5> plans{{{2, 2}, {4, 4}, {4, 3}, {4, 2}, {2, 1}}};
  const Plan plan = plans[draft.variation.pick(draft.level().number <= 2 ? 4 : plans.size())];
  std::vector<std::string> silent;
  for (int bar = std::min(plan.from, bars); bar <= bars; bar += plan.every) silent.push_back(std::to_string(bar));
  draft.take_twist();
  draft.say("silent", (silent.size() == 1 ? "bar " : "bars ") + listed(silent));
}

void dynamics_story(ExerciseDraft& draft) {
  draft.take_chords();
  take_meter_and_rhythm(draft);
  draft.take_twist();
  draft.take_pentatonic();
}

}  // namespace

std::span<const ExerciseBuilder> improvise_builders() {
  static constexpr std::array builders{
      ExerciseBuilder{"question-and-answer", question_and_answer},
      ExerciseBuilder{"few-notes", few_notes},
      ExerciseBuilder{"chord-tones-on-strong-beats", chord_tones_on_strong_beats},
      ExerciseBuilder{"rhythm-motif", rhythm_motif},
      ExerciseBuilder{"pentatonic-tune", pentatonic_tune},
      ExerciseBuilder{"blues-scale", blues_scale},
      ExerciseBuilder{"mode-vamp", mode_vamp},
      ExerciseBuilder{"guide-tone-line", guide_tones_followed},
      ExerciseBuilder{"left-hand-under-a-free-right", left_hand_under_a_free_right},
      ExerciseBuilder{"leaving-space", leaving_space},
      ExerciseBuilder{"dynamics-story", dynamics_story},
  };
  return builders;
}

}  // namespace romanesca
