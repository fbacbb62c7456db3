#include "theory/harmony/chord_palette.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace romanesca {
namespace {

// How often one triad follows another, in per cent of the changes away from it: counted in the 402 songs in major and
// the 67 in minor of the open halves of two corpora with free licences (de Clercq & Temperley, Popular Music 30/1,
// 2011, CC BY 4.0; Burgoyne, Wild & Fujinaga, ISMIR 2011, CC0). Pairs below 1 per cent count as 1.
constexpr std::size_t degree_rows = 7;
using Table = std::array<std::array<int, degree_rows>, degree_rows>;
/// I ii iii IV V vi bVII
constexpr Table major_table{{{0, 7, 3, 38, 21, 12, 8},
                             {21, 0, 5, 14, 45, 3, 5},
                             {5, 23, 0, 28, 11, 21, 1},
                             {52, 3, 3, 0, 31, 2, 3},
                             {57, 3, 2, 24, 0, 7, 1},
                             {15, 13, 8, 32, 18, 0, 2},
                             {39, 1, 1, 33, 7, 3, 0}}};
/// i bIII iv V bVI bVII IV; v is read as V, which songs in minor have twice as often.
constexpr Table minor_table{{{0, 8, 7, 15, 20, 28, 20},
                             {22, 0, 6, 6, 8, 7, 40},
                             {16, 6, 0, 29, 8, 34, 1},
                             {61, 1, 3, 0, 7, 3, 6},
                             {28, 6, 3, 15, 0, 42, 1},
                             {56, 5, 2, 7, 20, 0, 5},
                             {50, 9, 1, 12, 10, 7, 0}}};

/// Semitones above the tonic of the rows.
constexpr std::array<int, degree_rows> major_roots{0, 2, 4, 5, 7, 9, 10};
constexpr std::array<int, degree_rows> minor_roots{0, 3, 5, 7, 8, 10, 5};

/// Into a chord outside the table: about one change in twenty-five, as all chords from outside the key together have in
/// these corpora.
constexpr int outside_cost = 320;
/// Out of the table's reach, where the chord does not say where it goes.
constexpr int any_cost = 200;
/// A chord that does not go where it leads.
constexpr int wrong_way_cost = 2000;

int log_cost(int per_cent) { return static_cast<int>(std::lround(-100.0 * std::log(std::max(per_cent, 1) / 100.0))); }

std::array<std::array<int, degree_rows>, degree_rows> costs_of(const Table& table) {
  std::array<std::array<int, degree_rows>, degree_rows> costs{};
  for (std::size_t from = 0; from < degree_rows; ++from) {
    for (std::size_t to = 0; to < degree_rows; ++to) costs[from][to] = log_cost(table[from][to]);
  }
  return costs;
}

int semitones_above(PitchClass note, const Key& key) { return (note.semitone() - key.tonic.semitone() + 12) % 12; }

std::optional<std::size_t> row_of(const Chord& chord, const Key& key) {
  const int place = semitones_above(chord.root, key);
  const bool minor = chord.type.is_minor();
  if (is_minorish(key.mode)) {
    if (place == 5) return minor ? 2 : 6;
    for (std::size_t row = 0; row < degree_rows; ++row) {
      if (minor_roots[row] == place && (minor == (row == 0) || row == 3)) return row;
    }
    return std::nullopt;
  }
  for (std::size_t row = 0; row < degree_rows; ++row) {
    if (major_roots[row] == place && minor == (row == 1 || row == 2 || row == 5)) return row;
  }
  return std::nullopt;
}

class PaletteMaker {
 public:
  PaletteMaker(const Key& key, const HarmonyLimits& limits) : key_(key), limits_(limits) {}

  void add(const Chord& chord, PaletteRole role, std::vector<PitchClass> leads_to = {}) {
    if (!limits_.allows(chord.type)) return;
    for (const PaletteChord& there : palette_) {
      if (there.chord == chord) return;
    }
    const auto row = row_of(chord, key_);
    palette_.push_back({chord, role, row, row ? 0 : outside_cost, std::move(leads_to)});
  }

  void add_of_key() {
    for (const bool main : {true, false}) {
      for (int degree = 1; degree <= 7; ++degree) {
        Chord chord = key_.diatonic_chord(degree);
        if (key_.mode == Mode::minor && degree == 5) chord = Chord::on(chord.root, chord_types::major);
        if (chord.type.is_diminished()) continue;
        if (main == (degree == 1 || degree == 4 || degree == 5)) {
          add(chord, main ? PaletteRole::main : PaletteRole::other);
        }
      }
    }
  }

  void add_applied() {
    const bool minor = is_minorish(key_.mode);
    for (const int degree : minor ? std::array{4, 3, 7} : std::array{5, 6, 2}) {
      const Chord goal = key_.diatonic_chord(degree);
      add(Chord::on(goal.root + intervals::perfect_fifth, chord_types::dominant_seventh), PaletteRole::surprise,
          {goal.root});
    }
  }

  void add_borrowed() {
    const PitchClass tonic = key_.tonic;
    const PitchClass fourth = tonic + intervals::perfect_fourth, fifth = tonic + intervals::perfect_fifth;
    if (is_minorish(key_.mode)) {
      add(Chord::on(fourth, chord_types::major), PaletteRole::surprise, {tonic, fifth});
      add(Chord::on(tonic + intervals::minor_second, chord_types::major), PaletteRole::surprise, {fifth});
      return;
    }
    add(Chord::on(fourth, chord_types::minor), PaletteRole::surprise, {tonic, fifth});
    add(Chord::on(tonic + intervals::minor_seventh, chord_types::major), PaletteRole::surprise, {tonic, fourth});
    add(Chord::on(tonic + intervals::minor_sixth, chord_types::major), PaletteRole::surprise,
        {tonic + intervals::minor_seventh, fifth});
  }

  void add_jazz() {
    add(Chord::on(key_.tonic + intervals::minor_second, chord_types::dominant_seventh), PaletteRole::surprise,
        {key_.tonic});
  }

  std::vector<PaletteChord> take() { return std::move(palette_); }

 private:
  const Key& key_;
  const HarmonyLimits& limits_;
  std::vector<PaletteChord> palette_;
};

}  // namespace

bool HarmonyLimits::allows(ChordType type) const {
  return all_types || std::find(types.begin(), types.end(), type) != types.end();
}

std::vector<PaletteChord> palette_of(const Key& key, const HarmonyLimits& limits) {
  PaletteMaker maker(key, limits);
  maker.add_of_key();
  if (limits.applied) maker.add_applied();
  if (limits.borrowed) maker.add_borrowed();
  if (limits.jazz) maker.add_jazz();
  return maker.take();
}

std::vector<PaletteChord> palette_from(const std::vector<Chord>& chords, const Key& key) {
  const HarmonyLimits all;
  PaletteMaker maker(key, all);
  for (const Chord& chord : chords) maker.add(chord, PaletteRole::own);
  return maker.take();
}

int transition_cost(const PaletteChord& from, const PaletteChord& to, const Key& key) {
  static const auto major_costs = costs_of(major_table);
  static const auto minor_costs = costs_of(minor_table);
  if (!from.leads_to.empty() &&
      std::find(from.leads_to.begin(), from.leads_to.end(), to.chord.root) == from.leads_to.end()) {
    return wrong_way_cost;
  }
  if (!to.row) return to.rarity;
  if (!from.row) return from.leads_to.empty() ? any_cost : 0;
  return (is_minorish(key.mode) ? minor_costs : major_costs)[*from.row][*to.row];
}

}  // namespace romanesca
