#include "progressions/exercises/exercise_draft.h"

#include <algorithm>
#include <set>

#include "progressions/exercises/material.h"
#include "progressions/exercises/model_tune.h"
#include "progressions/level.h"
#include "theory/chords/numeral_text.h"
#include "theory/notes/scale.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

/// FNV-1a, 64 bits (Fowler, Noll & Vo; from memory): a number for a name, the same everywhere.
std::uint64_t number_of(std::string_view name) {
  std::uint64_t hash = 14695981039346656037ULL;
  for (const char c : name) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
  return hash;
}

/// What makes the choices of kinds differ for one seed. The six sheets of a piece share their chords and rhythm.
std::string_view salt_of(const ExerciseKind& kind) {
  constexpr std::string_view piece = "piece-";
  return kind.id.starts_with(piece) ? piece : std::string_view(kind.id);
}

std::string numerals_of(const std::vector<Chord>& chords, const Key& key) {
  std::string text;
  for (std::size_t i = 0; i < chords.size(); ++i) {
    const auto next = i + 1 < chords.size() ? std::optional(chords[i + 1]) : std::nullopt;
    text += (i == 0 ? "" : " ") + to_string(read_chord(chords[i], key, next).numeral);
  }
  return text;
}

/// Chord names in a row, neighbours that are the same named once.
std::string chord_names(const std::vector<Chord>& chords) {
  std::vector<std::string> names;
  for (const Chord& chord : chords) {
    std::string name = to_string(chord);
    if (names.empty() || names.back() != name) names.push_back(std::move(name));
  }
  if (names.size() > 4) return "the chords";
  std::string text;
  for (const std::string& name : names) text += (text.empty() ? "" : " - ") + name;
  return text;
}

constexpr std::string_view strain_caution = "Stop when it hurts, and shake your hands out.";

}  // namespace

ExerciseDraft::ExerciseDraft(const ExerciseRequest& request, const ExerciseKind& kind, std::uint64_t seed)
    : variation(seed, number_of(salt_of(kind))), request_(request), kind_(kind) {
  exercise.id = kind.id;
  exercise.family = kind.family;
  exercise.character = kind.character;
  exercise.level = request.level.number;
  exercise.seed = seed;
  exercise.asked_key = request.key;
  exercise.key = request.key;
  exercise.minutes = kind.minutes;
  if (kind.family == ExerciseFamily::technique) exercise.caution = strain_caution;
}

std::vector<const Loop*> ExerciseDraft::possible_loops(const std::function<bool(const Loop&)>& accept) const {
  auto possible = loops_for(key().mode, level(), accept);
  if (possible.empty()) possible = loops_for(key().mode, level());
  if (possible.empty()) possible.push_back(&loops(key().mode).front());
  return possible;
}

void ExerciseDraft::take_loop(const std::function<bool(const Loop&)>& accept) {
  const auto possible = possible_loops(accept);
  const Loop& loop = *possible[variation.pick(possible.size())];
  std::vector<std::vector<Chord>> bars;
  for (const auto& bar : loop.bars) {
    auto& chords = bars.emplace_back();
    for (const Numeral& numeral : bar) chords.push_back(realise(numeral, key()));
  }
  take(progression_of(bars, key()), key(), loop.numerals());
}

void ExerciseDraft::use_plain_mode() { exercise.key.mode = is_minorish(key().mode) ? Mode::minor : Mode::major; }

void ExerciseDraft::take_closing_loop() {
  use_plain_mode();
  std::vector<CadenceKind> kinds;
  const auto closes = [&](CadenceKind kind) {
    return [kind](const Loop& loop) {
      if (loop.ending != kind || !loop.in_key || !loop.one_chord_a_bar() || loop.bars.size() != 4) return false;
      return std::adjacent_find(loop.bars.begin(), loop.bars.end()) == loop.bars.end();
    };
  };
  for (const auto kind : {CadenceKind::authentic, CadenceKind::half, CadenceKind::plagal, CadenceKind::deceptive}) {
    if (!loops_for(key().mode, level(), closes(kind)).empty()) kinds.push_back(kind);
  }
  if (!kinds.empty()) return take_loop(closes(kinds[variation.pick(kinds.size())]));
  // A teacher's own level may have no such loop.
  const auto main = playable_triads(key(), romanesca::level(1));
  take(progression_of({{main[0]}, {main[1]}, {main[2]}, {main[0]}}, key()), key());
}

void ExerciseDraft::take_chords(const std::function<bool(const Loop&)>& accept) {
  if (request_.song) {
    take(*request_.song, key());
    exercise.made_simpler = request_.made_simpler;
    exercise.own_song = true;
  } else {
    take_loop(accept);
  }
}

void ExerciseDraft::take_own_tune() {
  if (!exercise.own_song || request_.tune.empty()) return;
  for (const MelodyNote& note : request_.tune) {
    if (note.start + note.length <= timeline_.length()) exercise.melody.push_back(note);
  }
  if (exercise.melody.empty()) return;
  const std::string& title = request_.song->title;
  exercise.melody_name = title.empty() ? "Your tune so far" : title + ", so far";
}

void ExerciseDraft::come_home() {
  if (!exercise.own_song || chords_.empty() || chords_.back().root == key().tonic) return;
  std::vector<std::vector<Chord>> bars(static_cast<std::size_t>(timeline_.bars));
  for (const TimedChord& timed : timeline_.chords) {
    if (timed.chord) bars[static_cast<std::size_t>(timed.bar) - 1].push_back(*timed.chord);
  }
  std::size_t kept = bars.size();
  const auto at_home = [&](std::size_t count) {
    return count % 2 == 0 && !bars[count - 1].empty() && bars[count - 1].back().root == key().tonic;
  };
  while (kept >= 4 && !at_home(kept)) --kept;
  if (kept >= 4) {
    bars.resize(kept);
  } else {
    bars.push_back({key().diatonic_chord(1, 3)});
    if (bars.size() % 2 != 0) bars.push_back(bars.back());
  }
  Progression home = progression_of(bars, key());
  home.title = exercise.progression.title;
  home.tempo_bpm = exercise.progression.tempo_bpm;
  home.written_meter = exercise.progression.written_meter;
  home.style = exercise.progression.style;
  take(std::move(home), key());
}

void ExerciseDraft::offer_chords(const std::vector<Chord>& needed) {
  std::vector<Chord> offered = playable_triads(key(), level());
  for (const Chord& chord : needed) {
    if (std::find(offered.begin(), offered.end(), chord) == offered.end()) offered.push_back(chord);
  }
  exercise.claims.offered = names_of(offered);
  say("palette", listed(exercise.claims.offered));
}

void ExerciseDraft::take(Progression progression, const Key& in, std::string numerals) {
  exercise.progression = std::move(progression);
  exercise.progression.key = KeyText{in.tonic, in.mode};
  exercise.key = in;
  timeline_ = romanesca::timeline(exercise.progression, in);
  chords_.clear();
  for (const TimedChord& timed : timeline_.chords) {
    if (timed.chord) chords_.push_back(*timed.chord);
  }
  exercise.numerals = numerals.empty() ? numerals_of(chords_, in) : std::move(numerals);
}

bool ExerciseDraft::one_chord_a_bar() const {
  return static_cast<std::size_t>(timeline_.bars) == timeline_.chords.size();
}

std::vector<const ExerciseBacking*> ExerciseDraft::fitting_backings() const {
  std::vector<const ExerciseBacking*> fitting;
  for (const std::string& style : kind_.backings) {
    for (const ExerciseBacking& backing : exercise_backings()) {
      if (backing.style != style || backing.level > level().number) continue;
      // Two chords cannot share a bar of three evenly.
      if (one_chord_a_bar() || backing.meter == Meter{4, 4}) fitting.push_back(&backing);
    }
  }
  return fitting;
}

std::array<Chord, 3> ExerciseDraft::take_twelve_bar_blues(bool ends) {
  use_plain_mode();
  const Key home = key();
  const ChordType type = home.mode == Mode::minor ? ChordType(chord_types::minor) : chord_types::dominant_seventh;
  const Chord one = Chord::on(home.tonic, type);
  const Chord four = Chord::on(home.tonic + intervals::perfect_fourth, type);
  const Chord five = Chord::on(home.tonic + intervals::perfect_fifth, chord_types::dominant_seventh);
  // With or without IV in the second bar (the quick change); the last line V IV or V V, back to I or on to V.
  std::vector<std::vector<Chord>> bars;
  const bool quick = variation.pick(2) == 1;
  const bool stays = variation.pick(2) == 1;
  const bool turns = !ends && variation.pick(2) == 1;
  for (const Chord& chord :
       {one, quick ? four : one, one, one, four, four, one, one, five, stays ? five : four, one, turns ? five : one}) {
    bars.push_back({chord});
  }
  take(progression_of(bars, home), home);
  take_meter();
  take_rhythm();
  take_twist();
  take_notes("minor blues");
  return {one, four, five};
}

void ExerciseDraft::take_meter() {
  const auto fitting = fitting_backings();
  if (!request_.song && !fitting.empty()) {
    // By the whole seed, not by one of its digits: those are for what differs as music.
    backing_ = fitting[SeedDigits::mixed(exercise.seed * 8 + number_of(salt_of(kind_))) % fitting.size()];
    exercise.progression.written_meter = backing_->meter;
  }
  timeline_ = romanesca::timeline(exercise.progression, key());
}

void ExerciseDraft::take_rhythm() {
  std::vector<const ExerciseRhythm*> fitting;
  for (const ExerciseRhythm& rhythm : exercise_rhythms()) {
    if (rhythm.meter == timeline_.meter() && rhythm.level <= level().number) fitting.push_back(&rhythm);
  }
  // A song may be in a meter without rhythms: its felt beats then.
  if (fitting.empty()) {
    const Beats pulse = timeline_.meter().pulse_length();
    for (int i = 0; i < timeline_.meter().pulses(); ++i) exercise.rhythm.push_back({pulse * i, pulse});
    return;
  }
  // Higher levels do not use the easiest rhythms.
  constexpr std::size_t most = 12;
  if (fitting.size() > most) fitting.erase(fitting.begin(), fitting.end() - static_cast<std::ptrdiff_t>(most));
  exercise.rhythm = fitting[variation.pick(fitting.size())]->notes;
}

void ExerciseDraft::take_twist() {
  if (!kind_.twists.empty()) say("twist", kind_.twists[variation.pick(kind_.twists.size())]);
}

void ExerciseDraft::take_backing() {
  Progression& progression = exercise.progression;
  if (backing_ == nullptr) {
    auto fitting = fitting_backings();
    std::erase_if(fitting, [&](const ExerciseBacking* each) { return each->meter != progression.meter(); });
    const bool complete = request_.song && !progression.style.empty() && progression.tempo_bpm;
    if (fitting.empty() || complete) return;
    backing_ = fitting[variation.pick(fitting.size())];
  }
  constexpr int grades = 16;  // eight levels, and one of four tempos at each
  const auto grade = 2 * (level().number - 1) + static_cast<int>(variation.pick(3));
  if (progression.style.empty()) progression.style = backing_->style;
  if (!progression.tempo_bpm) {
    progression.tempo_bpm = backing_->slowest_bpm + (backing_->fastest_bpm - backing_->slowest_bpm) * grade / grades;
  }
}

void ExerciseDraft::take_notes(const std::string& scale) {
  exercise.scale = scale;
  exercise.notes = scale_named(scale)->from(key().tonic);
}

void ExerciseDraft::take_pentatonic() {
  take_notes(is_minorish(key().mode) ? "minor pentatonic" : "major pentatonic");
  exercise.scale.clear();  // all five are notes of the key, in every mode that is set
}

void ExerciseDraft::take_safe_notes() {
  for (const Chord& chord : chords_) exercise.safe.push_back(chord_scale(chord, key()));
}

HandSettings ExerciseDraft::hand_settings() const {
  HandSettings settings = level_hands(level());
  settings.loops = true;
  return settings;
}

void ExerciseDraft::take_hands(const HandSettings& settings, bool left, bool right) {
  const std::vector<Key> keys(static_cast<std::size_t>(timeline_.bars), key());
  const Hands hands = hands_for(timeline_, settings, keys);
  std::set<std::string> known;
  for (std::size_t i = 0; i < hands.chords.size(); ++i) {
    if (!timeline_.chords[i].chord) continue;
    ExerciseShape shape{to_string(*timeline_.chords[i].chord), *timeline_.chords[i].chord, hands.chords[i]};
    if (!left) shape.hands.left.clear(), shape.hands.left_fingers.clear();
    if (!right) shape.hands.right.clear(), shape.hands.right_fingers.clear(), shape.hands.stays.clear();
    std::string name = shape.name;
    for (const Voicing* voicing : {&shape.hands.left, &shape.hands.right}) {
      for (const Pitch& note : *voicing) name += " " + to_string(note);
    }
    if (known.insert(name).second) exercise.shapes.push_back(std::move(shape));
  }
}

void ExerciseDraft::add_model(std::string label, int first_bar, int last_bar, std::optional<PitchClass> finish,
                              std::span<const MelodyNote> like) {
  if (exercise.notes.empty() || exercise.rhythm.empty()) return;
  const int first = exercise.keyboard_notes().front().midi();
  constexpr int below = 5;
  TuneBrief brief;
  brief.first_bar = first_bar;
  brief.last_bar = last_bar;
  // Beginners stay on the keys that the sheet shows.
  constexpr int beginners = 2;
  brief.notes =
      exercise.level <= beginners ? exercise.keyboard_notes() : pitches_from(exercise.notes, first - below, first + 12);
  brief.rhythm = exercise.rhythm;
  brief.finish = finish;
  brief.like = like;
  exercise.models.push_back(
      {std::move(label), model_tune(timeline_, brief, exercise.seed + number_of(salt_of(kind_))), false});
}

void ExerciseDraft::add_chord_tone_model(std::string label, int first_bar, int last_bar) {
  if (exercise.rhythm.empty()) return;
  std::vector<PitchClass> tones;
  for (const Chord& chord : chords_) {
    for (const PitchClass tone : chord.tones()) {
      if (std::find(tones.begin(), tones.end(), tone) == tones.end()) tones.push_back(tone);
    }
  }
  constexpr int lowest = 57;
  constexpr int highest = 76;
  TuneBrief brief;
  brief.first_bar = first_bar;
  brief.last_bar = last_bar;
  brief.notes = pitches_from(tones, lowest, highest);
  brief.rhythm = exercise.rhythm;
  brief.chord_tones_only = true;
  if (exercise.claims.finish) brief.finish = exercise.claims.finish;
  exercise.models.push_back(
      {std::move(label), model_tune(timeline_, brief, exercise.seed + number_of(salt_of(kind_))), false});
}

void ExerciseDraft::hide_bar(int bar) {
  for (std::size_t i = 0; i < timeline_.chords.size(); ++i) {
    if (timeline_.chords[i].bar == bar) exercise.hidden.push_back(i);
  }
}

const Chord& ExerciseDraft::chord_in_bar(int bar) const {
  std::size_t found = 0;
  for (std::size_t i = 0; i < chords_.size(); ++i) {
    if (timeline_.chords[i].bar <= bar && (timeline_.chords[i].bar < bar || timeline_.chords[found].bar < bar))
      found = i;
  }
  return chords_[found];
}

void ExerciseDraft::say(const std::string& word, std::string text) { words_[word] = std::move(text); }

std::string ExerciseDraft::filled(std::string_view sentence) const {
  std::string text;
  while (true) {
    const std::size_t open = sentence.find('{');
    text += sentence.substr(0, open);
    if (open == std::string_view::npos) return text;
    const std::size_t close = sentence.find('}', open);
    if (close == std::string_view::npos) return text.append(sentence.substr(open));
    std::string word(sentence.substr(open + 1, close - open - 1));
    const bool begins = is_capital(word.front());
    word.front() = small_letter(word.front());
    const auto found = words_.find(word);
    if (found == words_.end()) {
      text += sentence.substr(open, close - open + 1);  // a test finds it
    } else {
      std::string said = found->second;
      if (said.find('{') != std::string::npos) said = filled(said);
      if (begins && !said.empty()) said.front() = capital(said.front());
      text += said;
    }
    sentence.remove_prefix(close + 1);
  }
}

Exercise ExerciseDraft::finished() {
  take_backing();
  words_.emplace("key", to_string(key()));
  words_.emplace("home", to_string(key().tonic));
  words_.emplace("notes", listed(exercise.notes));
  if (!chords_.empty()) {
    words_.emplace("chords", chord_names(chords_));
    words_.emplace("first", to_string(chords_.front()));
    words_.emplace("last", to_string(chords_.back()));
  }
  words_.emplace("bars", number_word(static_cast<std::size_t>(timeline_.bars)) + " bars");
  exercise.title = filled(kind_.title);
  exercise.goal = filled(kind_.goal);
  if (!exercise.made_simpler.empty()) exercise.goal += " " + exercise.made_simpler;
  for (const std::string& step : kind_.steps) {
    std::string text = filled(step);
    if (!text.empty()) exercise.steps.push_back(std::move(text));
  }
  exercise.easier = filled(kind_.easier);
  exercise.harder = filled(kind_.harder);
  exercise.listen = filled(kind_.listen);
  if (exercise.level <= 3) {
    std::string all = exercise.title + " " + exercise.goal;
    for (const std::string& step : exercise.steps) all += " " + step;
    exercise.words = words_to_explain(all + " " + exercise.easier + " " + exercise.harder + " " + exercise.listen +
                                      (exercise.answer ? " " + exercise.answer->asks : ""));
  }
  return std::move(exercise);
}

}  // namespace romanesca
