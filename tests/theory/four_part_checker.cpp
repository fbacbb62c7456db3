#include "tests/theory/four_part_checker.h"

#include <cstdlib>

namespace romanesca {
namespace {

constexpr int lowest[4] = {40, 48, 55, 60};
constexpr int highest[4] = {60, 67, 74, 79};

int sound(int midi) { return ((midi % 12) + 12) % 12; }
int midi_of(const FourPartVoicing& chord, int voice) { return chord.voices[static_cast<std::size_t>(voice)].midi(); }

/// A chord by letters: member 0 root, 1 third, 2 fifth, 3 seventh.
struct Stack {
  int letter = 0;  ///< of the root
  int root = 0;    ///< sounding class, like the rest
  unsigned sounds = 0;

  explicit Stack(const Chord& chord)
      : letter(chord.root.letter()), root(chord.root.semitone()), sounds(chord.sounding_tones()) {}
  bool has(int above_root) const { return (sounds >> sound(root + above_root) & 1U) != 0; }
  bool has_seventh() const { return has(10) || has(11) || (has(9) && has(3) && has(6)); }
  int member(const Pitch& note) const { return ((note.name().letter() - letter + 7) % 7) / 2; }
};

unsigned scale_of(const Key& key) {
  unsigned sounds = 0;
  for (const int step : {0, 2, key.mode == Mode::minor ? 3 : 4, 5, 7, key.mode == Mode::minor ? 8 : 9,
                         key.mode == Mode::minor ? 10 : 11}) {
    sounds |= 1U << sound(key.tonic.semitone() + step);
  }
  return sounds;
}

class Checker {
 public:
  Checker(const std::vector<Chord>& chords, const Key& key, const std::vector<FourPartVoicing>& written)
      : chords_(chords), key_(key), written_(written) {}

  BrokenRules check() {
    for (std::size_t i = 0; i < chords_.size(); ++i) {
      heights(i);
      tones(i);
      if (i == 0) continue;
      parallels(i);
      sevenths(i);
      leading_tones(i);
    }
    return broken_;
  }

 private:
  void found(PartRule rule, std::size_t i) { broken_.insert({rule, i}); }
  int tonic() const { return key_.tonic.semitone(); }

  void heights(std::size_t i) {
    for (int v = 0; v < 4; ++v) {
      const int note = midi_of(written_[i], v);
      if (note < lowest[v] || note > highest[v]) found(PartRule::range, i);
      if (v == 3) continue;
      const int above = midi_of(written_[i], v + 1);
      if (above < note) found(PartRule::crossing, i);
      if (v >= 1 && above - note > 12) found(PartRule::spacing, i);
    }
  }

  void tones(std::size_t i) {
    const Stack stack(chords_[i]);
    int sung[4] = {0, 0, 0, 0};
    int leading[12] = {};
    for (const Pitch& note : written_[i].voices) {
      ++sung[stack.member(note)];
      if (is_leading(note.midi(), i)) ++leading[sound(note.midi())];
    }
    const bool over_root = written_[i].voices[0].name().letter() == stack.letter;
    const bool plain_fifth = stack.has(7);
    if (sung[0] == 0 || sung[1] == 0 || (sung[2] == 0 && !(over_root && plain_fifth)) ||
        (sung[3] == 0 && stack.has_seventh())) {
      found(PartRule::complete, i);
    }
    if (sung[3] > 1) found(PartRule::doubling, i);
    for (const int voices : leading) {
      if (voices > 1) found(PartRule::doubling, i);
    }
  }

  /// The semitone below the tonic unless it bears a perfect fifth, or the applied leading tone before its goal.
  bool is_leading(int midi, std::size_t i) const {
    const Stack stack(chords_[i]);
    const bool own_root = sound(midi) == stack.root && stack.has(7);
    return (sound(midi) == sound(tonic() - 1) && !own_root) || (applied(i) && sound(midi) == sound(stack.root + 4));
  }

  /// A major third, the next root a fourth higher, and the third or the seventh foreign to the key.
  bool applied(std::size_t i) const {
    if (i + 1 >= chords_.size()) return false;
    const Stack here(chords_[i]);
    const Stack next(chords_[i + 1]);
    if (!here.has(4) || sound(next.root - here.root) != 5) return false;
    const unsigned scale = scale_of(key_);
    const bool foreign_third = (scale >> sound(here.root + 4) & 1U) == 0;
    const bool foreign_seventh = here.has(10) && (scale >> sound(here.root + 10) & 1U) == 0;
    return foreign_third || foreign_seventh;
  }

  void parallels(std::size_t i) {
    for (int low = 0; low < 4; ++low) {
      for (int high = low + 1; high < 4; ++high) {
        const int before = midi_of(written_[i - 1], high) - midi_of(written_[i - 1], low);
        const int after = midi_of(written_[i], high) - midi_of(written_[i], low);
        const bool still = midi_of(written_[i - 1], low) == midi_of(written_[i], low) ||
                           midi_of(written_[i - 1], high) == midi_of(written_[i], high);
        if (still || sound(before) != sound(after)) continue;
        if (sound(after) == 7) found(PartRule::parallel_fifths, i);
        if (sound(after) == 0) found(PartRule::parallel_octaves, i);
      }
    }
  }

  void sevenths(std::size_t i) {
    const Stack before(chords_[i - 1]);
    if (before.root == Stack(chords_[i]).root) return;
    for (int v = 0; v < 4; ++v) {
      if (before.member(written_[i - 1].voices[static_cast<std::size_t>(v)]) != 3) continue;
      const int fall = midi_of(written_[i - 1], v) - midi_of(written_[i], v);
      if (fall < 0 || fall > 2) found(PartRule::chordal_seventh, i);
    }
  }

  void leading_tones(std::size_t i) {
    const Stack before(chords_[i - 1]);
    const Stack after(chords_[i]);
    const int from = sound(before.root - tonic());
    const int to = sound(after.root - tonic());
    const bool home = to == 0 && (from == 7 || (from == 11 && before.has(3) && before.has(6)));
    const bool deceptive = from == 7 && (to == 8 || to == 9);
    if (!home && !deceptive && !applied(i - 1)) return;
    const int wants_up = home || deceptive ? sound(tonic() - 1) : sound(before.root + 4);
    for (int v = 0; v < 4; ++v) {
      const int note = midi_of(written_[i - 1], v);
      if (sound(note) != wants_up) continue;
      const int fall = note - midi_of(written_[i], v);
      const bool inner = v == 1 || v == 2;
      const bool stays = fall == 0;
      const bool to_fifth = inner && !deceptive && fall == 4;
      const bool to_sixth = v != 3 && deceptive && to == 9 && fall == 2;
      if (fall != -1 && !stays && !to_fifth && !to_sixth) found(PartRule::leading_tone, i);
    }
  }

  const std::vector<Chord>& chords_;
  Key key_;
  const std::vector<FourPartVoicing>& written_;
  BrokenRules broken_;
};

}  // namespace

BrokenRules check_four_parts(const std::vector<Chord>& chords, const Key& key,
                             const std::vector<FourPartVoicing>& written) {
  return Checker(chords, key, written).check();
}

}  // namespace romanesca
