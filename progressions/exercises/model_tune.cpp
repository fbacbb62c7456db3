#include "progressions/exercises/model_tune.h"

#include <algorithm>
#include <cstdlib>
#include <limits>

#include "progressions/exercises/closing.h"
#include "progressions/exercises/seed_digits.h"

namespace romanesca {
namespace {

/// A place in the melody where a note begins.
struct Onset {
  Beats start, length;
  const Chord* chord = nullptr;
  bool strong = false;  ///< on a pulse: a note of the chord
  bool first = false;   ///< of its bar: always a note of the chord, where the notes have one
};

std::vector<Onset> onsets_of(const Timeline& timeline, const TuneBrief& brief) {
  const Beats bar = timeline.meter().bar_length();
  const Beats pulse = timeline.meter().pulse_length();
  std::vector<Onset> onsets;
  for (int number = brief.first_bar; number <= brief.last_bar; ++number) {
    const Beats begins = bar * (number - 1);
    const bool other = (number - brief.first_bar) % 2 == 1 && !brief.other_rhythm.empty();
    const std::vector<RhythmNote>& rhythm = other ? brief.other_rhythm : brief.rhythm;
    for (std::size_t i = 0; i < rhythm.size(); ++i) {
      RhythmNote note = rhythm[i];
      // The last bar keeps the first half of its rhythm, two notes at least, and then holds.
      const bool late = note.start * 2 >= bar && i >= 1;
      const bool last = number == brief.last_bar && (late || i + 1 == rhythm.size());
      if (last) note.length = bar - note.start;
      const bool on_pulse = pulse * whole_times(note.start, pulse) == note.start;
      onsets.push_back({begins + note.start, note.length, nullptr, on_pulse || last, i == 0});
      if (last) break;
    }
  }
  for (Onset& onset : onsets) {
    for (const TimedChord& timed : timeline.chords) {
      if (timed.chord && timed.start <= onset.start) onset.chord = &*timed.chord;
    }
  }
  return onsets;
}

/// The cost of a line, note by note. The numbers are our own, found by reading many models.
class TuneCost {
 public:
  TuneCost(const TuneBrief& brief, std::span<const Onset> onsets, std::uint64_t seed)
      : brief_(brief), onsets_(onsets), seed_(seed), favourite_(favourite()) {}

  /// @param place of the onset @param note of the brief's
  [[nodiscard]] double here(std::size_t place, std::size_t note) const {
    const Onset& onset = onsets_[place];
    const Pitch& pitch = brief_.notes[note];
    double cost = taste(place, note);
    if (place == onsets_.size() / 2 && favourite_ && *favourite_ != note) cost += 15;
    if (place == 0 && brief_.start && !pitch.name().sounds_like(*brief_.start)) cost += 100;
    if (onset.chord != nullptr && !holds(*onset.chord, pitch.name())) {
      cost += brief_.chord_tones_only ? 40 : onset.first ? 20 : onset.strong ? 4 : 0.3;
      if (clashes(*onset.chord, pitch.name())) cost += onset.strong ? 6 : 1.5;
    }
    if (place + 1 == onsets_.size() && brief_.finish && !pitch.name().sounds_like(*brief_.finish)) cost += 100;
    if (place < brief_.like.size() && in_first_bar(place) && pitch != brief_.like[place].pitch) cost += 3;
    return cost;
  }

  /// From one note to the next. @param standing the first of them was itself a repetition
  [[nodiscard]] double step(std::size_t from, std::size_t to, bool standing) const {
    const int places = std::abs(static_cast<int>(from) - static_cast<int>(to));
    const int semitones = std::abs(brief_.notes[from].midi() - brief_.notes[to].midi());
    if (places == 0) return standing ? 50 : 1.6;
    if (semitones > 9) return 50;
    return places == 1 ? 0 : places == 2 ? 0.7 : 1.0 + 0.5 * places;
  }

 private:
  /// The brief's favourite, counted among the notes that do not clash with the chord in the middle.
  [[nodiscard]] std::optional<std::size_t> favourite() const {
    if (!brief_.favourite) return std::nullopt;
    const Chord* chord = onsets_[onsets_.size() / 2].chord;
    std::vector<std::size_t> fitting;
    for (std::size_t note = 0; note < brief_.notes.size(); ++note) {
      if (chord == nullptr || !clashes(*chord, brief_.notes[note].name())) fitting.push_back(note);
    }
    if (fitting.empty()) return std::nullopt;
    return fitting[*brief_.favourite % fitting.size()];
  }
  [[nodiscard]] bool in_first_bar(std::size_t place) const {
    return onsets_[place].start - onsets_.front().start < Beats(2);
  }
  /// 0 to 3, different for each seed, place and note.
  [[nodiscard]] double taste(std::size_t place, std::size_t note) const {
    const std::uint64_t bits = SeedDigits::mixed(SeedDigits::mixed(seed_ + 1) ^ (place * 64 + note + 1));
    return 3.0 * static_cast<double>(bits >> 11U) / 9007199254740992.0;
  }

  const TuneBrief& brief_;
  std::span<const Onset> onsets_;
  std::uint64_t seed_;
  std::optional<std::size_t> favourite_;  ///< place of the note that the middle of the tune should have
};

}  // namespace

std::vector<MelodyNote> model_tune(const Timeline& timeline, const TuneBrief& brief, std::uint64_t seed) {
  const std::vector<Onset> onsets = onsets_of(timeline, brief);
  const std::size_t notes = brief.notes.size();
  if (onsets.empty() || notes == 0) return {};
  const TuneCost cost(brief, onsets, seed);
  // A state is a note and whether it repeats the one before.
  struct Cell {
    double cost = std::numeric_limits<double>::infinity();
    std::size_t from = 0;
  };
  std::vector<std::vector<Cell>> cells(onsets.size(), std::vector<Cell>(2 * notes));
  for (std::size_t note = 0; note < notes; ++note) cells[0][note].cost = cost.here(0, note);
  for (std::size_t place = 1; place < onsets.size(); ++place) {
    for (std::size_t from = 0; from < 2 * notes; ++from) {
      for (std::size_t to = 0; to < notes; ++to) {
        const double total =
            cells[place - 1][from].cost + cost.step(from % notes, to, from >= notes) + cost.here(place, to);
        Cell& cell = cells[place][to == from % notes ? notes + to : to];
        if (total < cell.cost) cell = {total, from};
      }
    }
  }
  std::size_t state = 0;
  for (std::size_t each = 1; each < 2 * notes; ++each) {
    if (cells.back()[each].cost < cells.back()[state].cost) state = each;
  }
  std::vector<MelodyNote> tune(onsets.size());
  for (std::size_t place = onsets.size(); place-- > 0;) {
    tune[place] = {onsets[place].start, onsets[place].length, brief.notes[state % notes]};
    state = cells[place][state].from;
  }
  return tune;
}

std::vector<Pitch> pitches_from(const std::vector<PitchClass>& notes, int lowest, int highest) {
  std::vector<Pitch> pitches;
  for (const PitchClass note : notes) {
    for (Pitch pitch = lowest_at_or_above(note, lowest); pitch.midi() <= highest; pitch = pitch + intervals::octave) {
      pitches.push_back(pitch);
    }
  }
  std::sort(pitches.begin(), pitches.end(), [](const Pitch& a, const Pitch& b) { return a.midi() < b.midi(); });
  return pitches;
}

}  // namespace romanesca
