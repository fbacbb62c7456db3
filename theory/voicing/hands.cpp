#include "theory/voicing/hands.h"

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

}  // namespace

namespace {

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
    // Two voices on one key are one note for the hand.
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

BothHands in_chords(std::span<const Chord> chords, const HandSettings& settings) {
  VoicingRules rules;
  rules.kind = settings.voicing;
  rules.span = settings.span;
  rules.most_inversion = settings.most_inversion;
  VoiceLeading led = lead_voices(chords, rules, settings.loops);
  std::vector<Voicing> held;  // the tones that open position gives to the left
  if (settings.voicing == VoicingKind::open) {
    for (Voicing& right : led.right) {
      held.emplace_back();
      if (right.size() < 3) continue;
      held.back().push_back(right.front());
      right.erase(right.begin());
    }
  }
  BothHands both;
  both.left = left_hands(chords, led.right, held, settings.left, settings.span);
  both.right = std::move(led.right);
  both.semitones = led.semitones;
  return both;
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
  const bool four = settings.voicing == VoicingKind::four_part;
  const BothHands both = four ? in_four_parts(sounding, key_of, settings.span) : in_chords(sounding, settings);
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
    chord.right = both.right[i];
    chord.left = both.left[i];
    chord.right_fingers = right_fingers[i];
    chord.left_fingers = left_fingers[i];
    chord.inversion = inversion_of(chord.right, sounding[i]);
    const bool follows = i > 0 && place[i - 1] + 1 == place[i];
    chord.stays = staying(follows ? &hands.chords[place[i - 1]] : nullptr, chord);
  }
  return hands;
}

}  // namespace romanesca
