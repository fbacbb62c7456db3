#include "theory/voicing/voicing.h"

#include <algorithm>
#include <array>

#include "theory/voicing/fingering.h"

namespace romanesca {

namespace {

using namespace intervals;

/// Third and seventh, or the tones that replace them: a suspended tone for the third; the sixth, else the root for the
/// seventh.
std::vector<PitchClass> shell_tones(const Chord& chord) {
  const auto first_of = [&](std::initializer_list<Interval> tones) {
    for (const Interval tone : tones) {
      if (chord.type.has(tone)) return tone;
    }
    return unison;
  };
  const Interval third = first_of({major_third, minor_third, perfect_fourth, major_second, perfect_fifth});
  const Interval seventh = first_of({major_seventh, minor_seventh, diminished_seventh, major_sixth});
  std::vector<PitchClass> tones{chord.root + third};
  if (seventh != third) tones.push_back(chord.root + seventh);
  return tones;
}

/// The second highest tone an octave lower: a close position opened.
Voicing opened(Voicing voicing) {
  if (voicing.size() < 3) return voicing;
  Pitch& second = voicing[voicing.size() - 2];
  second = second - octave;
  std::sort(voicing.begin(), voicing.end(), [](const Pitch& a, const Pitch& b) { return a.midi() < b.midi(); });
  return voicing;
}

}  // namespace

std::string_view to_string(VoicingKind kind) {
  constexpr std::array<std::string_view, 6> names{"close", "root", "open", "shell", "rootless", "four-part"};
  return names[static_cast<std::size_t>(kind)];
}

std::vector<PitchClass> right_hand_tones(const Chord& chord, VoicingKind kind) {
  if (kind == VoicingKind::shell) return shell_tones(chord);
  std::vector<Interval> tones = chord.type.tones();
  const auto drop = [&](Interval tone) {
    const auto found =
        std::find_if(tones.begin(), tones.end(), [&](Interval each) { return each.fifths() == tone.fifths(); });
    if (found != tones.end()) tones.erase(found);
  };
  const bool eleventh = chord.type.has(perfect_fourth) && chord.type.has(major_third) && chord.type.has_seventh();
  if (eleventh) drop(major_third);
  if (kind == VoicingKind::rootless && tones.size() > 1) drop(unison);
  if (tones.size() > 4) drop(perfect_fifth);
  if (tones.size() > 4) drop(unison);
  while (tones.size() > 4) tones.erase(tones.begin() + 2);
  std::vector<PitchClass> names;
  names.reserve(tones.size());
  for (const Interval tone : tones) names.push_back(chord.root + tone);
  return names;
}

std::vector<Voicing> close_positions(const std::vector<PitchClass>& tones, HandRange range) {
  // Ninths and thirteenths fall between the others: a close position takes the tones in order of pitch.
  std::vector<PitchClass> ring = tones;
  if (ring.empty()) return {};
  const int from = ring.front().semitone();
  std::stable_sort(ring.begin(), ring.end(), [&](PitchClass a, PitchClass b) {
    return (a.semitone() - from + 12) % 12 < (b.semitone() - from + 12) % 12;
  });
  std::vector<Voicing> positions;
  for (std::size_t turn = 0; turn < ring.size(); ++turn) {
    Voicing voicing{lowest_at_or_above(ring[turn], range.lowest)};
    for (std::size_t i = 1; i < ring.size(); ++i) {
      voicing.push_back(lowest_at_or_above(ring[(turn + i) % ring.size()], voicing.back().midi() + 1));
    }
    while (voicing.back().midi() <= range.highest) {
      positions.push_back(voicing);
      for (Pitch& note : voicing) note = note + intervals::octave;
    }
  }
  std::stable_sort(positions.begin(), positions.end(),
                   [](const Voicing& a, const Voicing& b) { return a.front().midi() < b.front().midi(); });
  return positions;
}

namespace {

/// The close position as the rules lay it out, opened if they ask for that; nothing where no hand can play it.
std::optional<Voicing> laid_out(const Voicing& close, const VoicingRules& rules) {
  // Opened, the hand keeps what lies above the tone that goes to the left.
  const bool opens = rules.kind == VoicingKind::open && close.size() >= 3;
  Voicing voicing = opens ? opened(close) : close;
  const std::size_t lowest = opens ? 1 : 0;
  if (voicing.back().midi() - voicing[lowest].midi() > rules.span) return std::nullopt;
  if (voicing.front().midi() < piano_keys.lowest) return std::nullopt;
  const Voicing in_hand(voicing.begin() + static_cast<std::ptrdiff_t>(lowest), voicing.end());
  if (!can_be_played(in_hand, Hand::right)) return std::nullopt;
  return voicing;
}

bool is_turned_too_far(const Voicing& close, const Chord& chord, const VoicingRules& rules) {
  const bool counts = rules.kind == VoicingKind::close || rules.kind == VoicingKind::root_position;
  const int most = rules.kind == VoicingKind::root_position ? 0 : rules.most_inversion;
  return counts && inversion_of(close, chord) > most;
}

}  // namespace

std::vector<Voicing> voicings(const Chord& chord, const VoicingRules& rules) {
  std::vector<PitchClass> tones = right_hand_tones(chord, rules.kind);
  while (true) {
    std::vector<Voicing> fitting;
    std::vector<Voicing> turned_too_far;
    for (const Voicing& close : close_positions(tones, rules.range)) {
      auto voicing = laid_out(close, rules);
      if (!voicing) continue;
      (is_turned_too_far(close, chord, rules) ? turned_too_far : fitting).push_back(std::move(*voicing));
    }
    if (fitting.empty()) fitting = std::move(turned_too_far);
    if (!fitting.empty()) return fitting;
    const auto fifth = std::find(tones.begin(), tones.end(), chord.root + perfect_fifth);
    const auto root = std::find(tones.begin(), tones.end(), chord.root);
    tones.erase(fifth != tones.end() ? fifth : root != tones.end() && tones.size() > 1 ? root : tones.end() - 1);
  }
}

int inversion_of(const Voicing& voicing, const Chord& chord) {
  const std::vector<PitchClass> tones = chord.tones();
  for (std::size_t i = 0; i < tones.size(); ++i) {
    if (tones[i] == voicing.front().name()) return static_cast<int>(i);
  }
  return -1;
}

}  // namespace romanesca
