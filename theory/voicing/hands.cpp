#include "theory/voicing/hands.h"

#include <algorithm>
#include <utility>

#include "theory/voicing/hand_shapes.h"
#include "theory/voicing/reading_spelling.h"
#include "theory/voicing/root_positions.h"
#include "theory/voicing/voice_leading.h"

namespace romanesca {
namespace {

/// Notes that lie under the same finger as in the chord before.
std::vector<bool> staying(const HandsChord* before, const HandsChord& here) {
  std::vector<bool> stays(here.right.size(), false);
  if (before == nullptr || before->right_fingers.empty() || here.right_fingers.empty()) return stays;
  for (std::size_t i = 0; i < here.right.size(); ++i) {
    for (std::size_t j = 0; j < before->right.size(); ++j) {
      if (before->right[j].midi() == here.right[i].midi() && before->right_fingers[j] == here.right_fingers[i]) {
        stays[i] = true;
      }
    }
  }
  return stays;
}

/// The notes of both hands for the chords that sound.
struct BothHands {
  std::vector<Voicing> right, left;
  int semitones = 0;
  std::vector<BrokenRule> broken_rules;
};

/// Soprano and alto in the right hand, tenor and bass in the left; the tenor goes over where the left cannot reach it
/// and the right can.
BothHands in_four_parts(std::span<const Chord> chords, std::span<const Key> keys, int span) {
  BothHands both;
  FourPart written = write_four_parts(chords, keys);
  for (const FourPartVoicing& chord : written.chords) {
    const auto& [bass, tenor, alto, soprano] = chord.voices;
    const bool goes_over = tenor.midi() - bass.midi() > span && soprano.midi() - tenor.midi() <= span;
    Voicing left{bass};
    Voicing right;
    // Two voices on one key are one note for the hand.
    const auto add = [](Voicing& hand, const Pitch& note) {
      if (hand.empty() || hand.back().midi() != note.midi()) hand.push_back(note);
    };
    add(goes_over ? right : left, tenor);
    add(right, alto);
    add(right, soprano);
    both.left.push_back(std::move(left));
    both.right.push_back(std::move(right));
    const std::size_t size = both.right.size();
    if (size > 1) both.semitones += movement(both.right[size - 2], both.right[size - 1]);
  }
  both.broken_rules = std::move(written.broken_rules);
  return both;
}

/// The left hand's pattern under a right hand that is chosen already.
LeftHand pattern_under(const Chord& chord, const Voicing& right, const HandSettings& settings) {
  const bool doubles = settings.left == LeftHand::octave || settings.left == LeftHand::broken;
  const bool in_both =
      std::any_of(right.begin(), right.end(), [&](const Pitch& note) { return note.name().sounds_like(chord.bass); });
  return settings.spare_doublings && doubles && in_both ? LeftHand::fifth : settings.left;
}

/// Beginners' hands: equal chords lie in one place, the bass note between F2 and E3.
BothHands in_one_place(std::span<const Chord> chords, const HandSettings& settings) {
  constexpr int lowest_bass_note = 41;  // F2
  BothHands both;
  both.right = root_positions(chords, settings.span);
  for (std::size_t i = 0; i < chords.size(); ++i) {
    if (settings.left == LeftHand::root) {
      both.left.push_back({lowest_at_or_above(chords[i].bass, lowest_bass_note)});
      continue;
    }
    const LeftHand pattern = pattern_under(chords[i], both.right[i], settings);
    both.left.push_back(left_hands({&chords[i], 1}, {&both.right[i], 1}, {&pattern, 1}, settings.span).front());
  }
  both.semitones = total_movement(both.right, settings.loops);
  return both;
}

BothHands in_shapes(std::span<const Chord> chords, std::span<const Key> keys, const HandSettings& settings) {
  BothHands both;
  const bool alone = settings.voicing == VoicingKind::rootless;  // the left hand
  for (HandShape& shape : lead_shapes(chords, settings.voicing, keys, settings.span, settings.loops)) {
    both.left.push_back(std::move(shape.left));
    both.right.push_back(std::move(shape.right));
  }
  both.semitones = total_movement(alone ? both.left : both.right, settings.loops);
  return both;
}

/// Close positions and shells over a pattern of the left hand.
BothHands over_pattern(std::span<const Chord> chords, const HandSettings& settings) {
  VoicingRules rules;
  rules.kind = settings.voicing;
  rules.span = settings.span;
  rules.most_inversion = settings.most_inversion;
  rules.bass_doubled = settings.left == LeftHand::octave || settings.left == LeftHand::broken;
  if (settings.voicing == VoicingKind::shell) rules.range = guide_tone_range;
  constexpr int above_low_fifths = 59;  // B3: below it lie root and fifth, and the octave of a low root
  if (settings.left != LeftHand::root) rules.left_hand_below = above_low_fifths;
  VoiceLeading led = lead_voices(chords, rules, settings.loops);
  std::vector<LeftHand> patterns;
  for (std::size_t i = 0; i < chords.size(); ++i) patterns.push_back(pattern_under(chords[i], led.right[i], settings));
  BothHands both;
  both.left = left_hands(chords, led.right, patterns, settings.span);
  both.right = std::move(led.right);
  both.semitones = led.semitones;
  return both;
}

BothHands both_hands(std::span<const Chord> chords, std::span<const Key> keys, const HandSettings& settings) {
  switch (settings.voicing) {
    case VoicingKind::four_part:
      return in_four_parts(chords, keys, settings.span);
    case VoicingKind::open:
    case VoicingKind::rootless:
    case VoicingKind::two_hand:
      return in_shapes(chords, keys, settings);
    case VoicingKind::close:
      if (settings.one_place) return in_one_place(chords, settings);
      break;
    case VoicingKind::root_position:
    case VoicingKind::shell:
      break;
  }
  return over_pattern(chords, settings);
}

}  // namespace

Hands hands_for(const Timeline& timeline, const HandSettings& settings, std::span<const Key> keys) {
  std::vector<Chord> sounding;
  std::vector<Key> key_of;
  std::vector<std::size_t> place;  // in the timeline
  for (std::size_t i = 0; i < timeline.chords.size(); ++i) {
    const TimedChord& timed = timeline.chords[i];
    if (!timed.chord) continue;
    sounding.push_back(*timed.chord);
    const auto bar = static_cast<std::size_t>(timed.bar - 1);
    key_of.push_back(bar < keys.size() ? keys[bar] : Key{});
    place.push_back(i);
  }
  const BothHands both = both_hands(sounding, key_of, settings);
  const auto right_fingers = fingers_for(both.right, Hand::right);
  const auto left_fingers = fingers_for(both.left, Hand::left);

  Hands hands;
  hands.semitones = both.semitones;
  hands.kind = settings.voicing;
  hands.loops = settings.loops;
  hands.broken_rules = both.broken_rules;
  for (BrokenRule& each : hands.broken_rules) each.chord = place[each.chord];
  hands.chords.resize(timeline.chords.size());
  for (std::size_t i = 0; i < place.size(); ++i) {
    HandsChord& chord = hands.chords[place[i]];
    chord.inversion = both.right[i].empty() ? -1 : inversion_of(both.right[i], sounding[i]);
    const auto spelled = [&](const Voicing& hand) {
      return settings.strict_spelling ? hand : spelled_for_reading(hand, sounding[i], key_of[i]);
    };
    chord.right = spelled(both.right[i]);
    chord.left = spelled(both.left[i]);
    chord.right_fingers = right_fingers[i];
    chord.left_fingers = left_fingers[i];
    const bool follows = i > 0 && place[i - 1] + 1 == place[i];
    chord.stays = staying(follows ? &hands.chords[place[i - 1]] : nullptr, chord);
  }
  return hands;
}

}  // namespace romanesca
