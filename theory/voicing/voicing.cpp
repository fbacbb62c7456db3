#include "theory/voicing/voicing.h"

#include <algorithm>
#include <array>

#include "theory/voicing/fingering.h"

namespace romanesca {

namespace {

/// The second highest tone an octave lower: a close position opened.
Voicing opened(Voicing voicing) {
  if (voicing.size() < 3) return voicing;
  Pitch& second = voicing[voicing.size() - 2];
  second = second - intervals::octave;
  std::sort(voicing.begin(), voicing.end(), [](const Pitch& a, const Pitch& b) { return a.midi() < b.midi(); });
  return voicing;
}

}  // namespace

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

constexpr int muddy_reluctance = 4;

/// How little a position is wanted: 0 where nothing speaks against it.
int reluctance(const Voicing& close, const Voicing& voicing, const Chord& chord, const VoicingRules& rules) {
  const bool counts = rules.kind == VoicingKind::close || rules.kind == VoicingKind::root_position;
  const int most = rules.kind == VoicingKind::root_position ? 0 : rules.most_inversion;
  const int inversion = inversion_of(close, chord);
  const bool turned_too_far = counts && inversion > most;
  const bool muddy = voicing.size() > 2 && voicing[1].midi() - voicing[0].midi() == 1;
  const bool low = voicing.front().midi() < rules.left_hand_below;
  return (low ? 1 : 0) + (turned_too_far ? 2 : 0) + (muddy ? muddy_reluctance : 0);
}

std::vector<PitchClass> tones_for(const Chord& chord, const VoicingRules& rules) {
  std::vector<PitchClass> tones = right_hand_tones(chord, rules.kind);
  if (!rules.bass_doubled || tones.size() < 4) return tones;
  tones.erase(std::remove_if(tones.begin(), tones.end(), [&](PitchClass tone) { return tone.sounds_like(chord.bass); }),
              tones.end());
  return tones;
}

}  // namespace

std::vector<Voicing> voicings(const Chord& chord, const VoicingRules& rules) {
  std::vector<PitchClass> tones = tones_for(chord, rules);
  const std::vector<Interval> order = order_of_omission(chord, rules.kind == VoicingKind::root_position);
  std::vector<Voicing> muddy;
  for (std::size_t next = 0; next <= order.size(); ++next) {
    std::array<std::vector<Voicing>, muddy_reluctance> by_reluctance;
    std::vector<Voicing> muddy_here;
    for (const Voicing& close : close_positions(tones, rules.range)) {
      auto voicing = laid_out(close, rules);
      if (!voicing) continue;
      const int reluctant = reluctance(close, *voicing, chord, rules);
      if (reluctant < muddy_reluctance) {
        by_reluctance[static_cast<std::size_t>(reluctant)].push_back(std::move(*voicing));
      } else {
        muddy_here.push_back(std::move(*voicing));
      }
    }
    for (std::vector<Voicing>& fitting : by_reluctance) {
      if (!fitting.empty()) return std::move(fitting);  // cppcheck-suppress returnStdMoveLocal; it is in an array
    }
    if (muddy.empty()) muddy = std::move(muddy_here);
    // Nothing fits: without the tone that is missed least.
    if (next == order.size() || tones.size() < 2) break;
    tones.erase(std::remove(tones.begin(), tones.end(), chord.root + order[next]), tones.end());
  }
  return muddy;
}

int inversion_of(const Voicing& voicing, const Chord& chord) {
  const auto tones = chord.tones();
  for (std::size_t i = 0; i < tones.size(); ++i) {
    if (tones[i] == voicing.front().name()) return static_cast<int>(i);
  }
  return -1;
}

}  // namespace romanesca
