#include "theory/chords/chord_naming.h"

#include <algorithm>
#include <array>
#include <bit>
#include <string_view>

namespace romanesca {
namespace {

using namespace intervals;

// What a name costs; the cheapest is the likeliest. Chosen with the cases in tests/theory/chord_naming_test.cpp.
constexpr double foreign_chord = 0.5;  // a chord with a tone outside the key
constexpr double lost_fifth = 1.0;
constexpr double lost_root = 2.5;
constexpr double foreign_bass = 2.0;
constexpr std::array<double, 7> bass_tone{0.0, 0.4, 0.45, 0.6, 1.2, 1.2, 1.2};  // root, third, fifth, seventh, further

/// By what is written after the root; a type that is not listed costs 2.
struct TypeCost {
  std::string_view symbol;
  double cost;
};
constexpr std::array<TypeCost, 28> type_costs{
    {{"", 0.0},      {"m", 0.0},     {"7", 0.3},       {"maj7", 0.4},    {"m7", 0.4},  {"dim", 0.4}, {"5", 0.6},
     {"sus4", 0.6},  {"m7b5", 0.5},  {"dim7", 0.4},    {"sus2", 0.7},    {"aug", 0.6}, {"6", 0.7},   {"m6", 0.8},
     {"7sus4", 0.8}, {"add9", 0.8},  {"m(add9)", 0.9}, {"m(maj7)", 0.9}, {"9", 0.9},   {"m9", 1.0},  {"maj9", 1.0},
     {"7b9", 1.2},   {"9sus4", 1.2}, {"6/9", 1.2},     {"7#5", 1.2},     {"7#9", 1.3}, {"13", 1.4},  {"m11", 1.5}}};

struct Shape {
  ChordType type;
  unsigned tones = 0;  ///< bit set of semitones above the root
  double cost = 2.0;
};

unsigned tones_of(ChordType type) { return Chord::on(PitchClass(0), type).sounding_tones(); }

const std::vector<Shape>& shapes() {
  static const std::vector<Shape> all = [] {
    std::vector<Shape> made;
    for (const ChordTypeRow& row : chord_type_rows()) {
      if (row.type.size() < 2 || row.symbol.find("no5") != std::string::npos) continue;
      Shape shape{row.type, tones_of(row.type)};
      for (const TypeCost& each : type_costs) {
        if (each.symbol == row.symbol) shape.cost = each.cost;
      }
      made.push_back(shape);
    }
    return made;
  }();
  return all;
}

unsigned transposed_down(unsigned tones, int semitones) {
  return ((tones >> semitones) | (tones << (12 - semitones))) & 0xFFFU;
}

class Namer {
 public:
  Namer(unsigned sounding, int bass, const Key& key) : sounding_(sounding), bass_(bass), key_(key) {}

  std::vector<ChordName> names(std::size_t most) {
    for (int root = 0; root < 12; ++root) {
      for (const Shape& shape : shapes()) try_shape(shape, root);
    }
    std::stable_sort(names_.begin(), names_.end(), [](const auto& a, const auto& b) { return a.cost < b.cost; });
    if (names_.size() > most) names_.resize(most);
    return std::move(names_);
  }

 private:
  void try_shape(const Shape& shape, int root) {
    const unsigned heard = transposed_down(sounding_, root);
    const unsigned bass = transposed_down(1U << bass_, root);
    constexpr unsigned fifth = 1U << 7;
    const bool large = std::popcount(shape.tones) >= 4;
    const bool may_lose_fifth = large && (shape.tones & fifth) != 0;
    if (heard == shape.tones) {
      add(shape, root, 0, false, false);
    } else if (may_lose_fifth && heard == (shape.tones & ~fifth)) {
      add(shape, root, lost_fifth, true, false);
    } else if (large && (heard | 1U) == shape.tones && std::popcount(heard) >= 3) {
      add(shape, root, lost_root, false, true);
    } else if ((shape.tones & bass) == 0 && heard == (shape.tones | bass) && std::popcount(shape.tones) >= 3) {
      add(shape, root, foreign_bass, false, false);
    }
  }

  void add(const Shape& shape, int root, double cost, bool without_fifth, bool without_root) {
    ChordName name;
    name.chord = Chord::on(spelled_in(root, key_), shape.type);
    name.without_fifth = without_fifth;
    name.without_root = without_root;
    name.cost = cost + shape.cost;
    const auto tones = name.chord.tones();
    const auto in_bass = std::find_if(tones.begin(), tones.end(), [&](PitchClass t) { return t.semitone() == bass_; });
    if (in_bass != tones.end()) {
      name.chord.bass = *in_bass;
      // Without its root a chord is named as if the root were there: it has no inversion.
      if (without_root) name.chord.bass = name.chord.root;
      const auto place = static_cast<std::size_t>(in_bass - tones.begin());
      if (!without_root) name.cost += bass_tone[std::min(place, bass_tone.size() - 1)];
    } else {
      name.chord.bass = spelled_in(bass_, key_);
    }
    if ((name.chord.sounding_tones() & ~key_.sounding_tones()) != 0) name.cost += foreign_chord;
    names_.push_back(name);
  }

  unsigned sounding_;
  int bass_;
  Key key_;
  std::vector<ChordName> names_;
};

}  // namespace

PitchClass spelled_in(int semitone, const Key& key) noexcept {
  for (int place = -1; place <= 5; ++place) {
    const PitchClass name(key.signature() + place);
    if (name.semitone() == semitone) return name;
  }
  for (int place = -5; place <= 6; ++place) {  // from the lowered second to the raised fourth
    const PitchClass name(key.tonic.fifths() + place);
    if (name.semitone() == semitone) return name;
  }
  return PitchClass(key.tonic.fifths());  // not reached: twelve neighbours on the line of fifths hold every class
}

Chord respelled(const Chord& chord, const Key& key) {
  if (chord.type.is_diminished() || chord.type.is_augmented()) return chord;
  const PitchClass root = spelled_in(chord.root.semitone(), key);
  const Interval turn{root.fifths() - chord.root.fifths(), 0};
  return {chord.root + turn, chord.type, chord.bass + turn};
}

std::vector<ChordName> name_notes(std::span<const int> midi, const Key& key, std::size_t most) {
  if (midi.empty()) return {};
  unsigned sounding = 0;
  for (const int note : midi) sounding |= 1U << ((note % 12 + 12) % 12);
  if (std::popcount(sounding) < 2) return {};
  const int bass = (*std::min_element(midi.begin(), midi.end()) % 12 + 12) % 12;
  return Namer(sounding, bass, key).names(most);
}

ChordMatch match_chord(std::span<const int> midi, const Chord& chord, const Key& key) {
  ChordMatch match;
  unsigned played = 0;
  for (const int note : midi) played |= 1U << static_cast<unsigned>((note % 12 + 12) % 12);
  unsigned allowed = 1U << static_cast<unsigned>(chord.bass.semitone());
  const auto tones = chord.tones();
  for (const PitchClass tone : tones) {
    const unsigned bit = 1U << static_cast<unsigned>(tone.semitone());
    allowed |= bit;
    const bool is_fifth = tone == chord.root + intervals::perfect_fifth;
    if ((played & bit) == 0 && !(tones.size() >= 4 && is_fifth)) match.missing.push_back(tone);
  }
  for (int semitone = 0; semitone < 12; ++semitone) {
    if (((played & ~allowed) >> semitone & 1U) != 0) match.foreign.push_back(spelled_in(semitone, key));
  }
  if (!midi.empty()) {
    const int lowest = *std::min_element(midi.begin(), midi.end());
    match.bass_fits = (lowest % 12 + 12) % 12 == chord.bass.semitone();
  }
  return match;
}

}  // namespace romanesca
