#include "theory/hands.h"

#include "theory/voice_leading.h"

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

}  // namespace

Hands hands_for(const Timeline& timeline, const HandSettings& settings) {
  std::vector<Chord> sounding;
  for (const TimedChord& timed : timeline.chords) {
    if (timed.chord) sounding.push_back(*timed.chord);
  }
  VoicingRules rules;
  rules.kind = settings.voicing;
  rules.span = settings.span;
  rules.most_inversion = settings.most_inversion;
  VoiceLeading led = lead_voices(sounding, rules, settings.loops);
  std::vector<Voicing> held;  // the tones that open position gives to the left
  if (settings.voicing == VoicingKind::open) {
    for (Voicing& right : led.right) {
      held.emplace_back();
      if (right.size() < 3) continue;
      held.back().push_back(right.front());
      right.erase(right.begin());
    }
  }
  const auto left = left_hands(sounding, led.right, held, settings.left, settings.span);
  const auto right_fingers = fingers_for(led.right, Hand::right);
  const auto left_fingers = fingers_for(left, Hand::left);

  Hands hands;
  hands.semitones = led.semitones;
  hands.kind = settings.voicing;
  hands.chords.reserve(timeline.chords.size());
  std::size_t next = 0;
  for (const TimedChord& timed : timeline.chords) {
    HandsChord chord;
    if (timed.chord) {
      chord.right = std::move(led.right[next]);
      chord.left = left[next];
      chord.right_fingers = right_fingers[next];
      chord.left_fingers = left_fingers[next];
      chord.inversion = inversion_of(chord.right, *timed.chord);
      const bool follows = !hands.chords.empty() && !hands.chords.back().right.empty();
      chord.stays = staying(follows ? &hands.chords.back() : nullptr, chord);
      ++next;
    }
    hands.chords.push_back(std::move(chord));
  }
  return hands;
}

}  // namespace romanesca
