#pragma once

#include <array>
#include <string>
#include <vector>

#include "tests/measure/note_bank.h"
#include "tests/measure/room_scene.h"

namespace romanesca::test {

/// What a student does where a chord is asked for.
enum class Deed {
  right,
  without_fifth,  ///< right but for the fifth of a chord of three
  seventh_added,  ///< right, with a seventh on a chord of three
  other_chord,    ///< another chord, with at most one tone in common
  other_third,    ///< major for minor or the reverse
  one_wrong_key,  ///< one tone is one or two semitones off
  third_away,     ///< the chord that shares two tones
  tone_missing,   ///< the root, third or seventh is left out
  silent          ///< nothing: only what rings from before
};
inline constexpr std::array deeds{Deed::right,       Deed::without_fifth, Deed::seventh_added,
                                  Deed::other_chord, Deed::other_third,   Deed::one_wrong_key,
                                  Deed::third_away,  Deed::tone_missing,  Deed::silent};

/// A chord asked for and what the microphone hears.
struct Scene {
  Deed deed = Deed::right;
  std::vector<float> sound;                           ///< at hearing_rate_hz
  double onset_s = 0;                                 ///< of the chord: the middle of its notes
  double cents = 0;                                   ///< the tuning of the piano
  std::vector<double> onsets_s;                       ///< of all chords, in order
  std::string symbol;                                 ///< of the chord asked for
  std::array<bool, 12> asked{}, struck{}, ringing{};  ///< ringing: from the chord before, by the pedal
};

struct SceneSettings {
  int chords_before = 1;  ///< at least 1, 0.7 s apart
  double lasts_s = 0.8;   ///< after the onset
  RoomSettings room;
};

namespace scene_detail {

struct SceneQuality {
  const char* suffix;
  std::vector<int> tones;
  double share;
};
inline const std::vector<SceneQuality>& qualities() {
  static const std::vector<SceneQuality> all{
      {"", {0, 4, 7}, 0.4},       {"m", {0, 3, 7}, 0.25},   {"7", {0, 4, 7, 10}, 0.1}, {"maj7", {0, 4, 7, 11}, 0.05},
      {"m7", {0, 3, 7, 10}, 0.1}, {"dim", {0, 3, 6}, 0.05}, {"sus4", {0, 5, 7}, 0.05}};
  return all;
}

/// Close position round middle C in any inversion; a low note, more often than not, sometimes in octaves.
inline std::vector<int> voiced(const std::vector<int>& tones, SceneRandom& random) {
  std::vector<int> midi;
  const int count = static_cast<int>(tones.size());
  const int first = random.index(count);
  int at = 57 + random.index(9);
  for (int i = 0; i < count; ++i) {
    const int tone = tones[static_cast<std::size_t>((first + i) % count)];
    at += ((tone - at) % 12 + 12) % 12;
    midi.push_back(at++);
  }
  const double left = random.uniform(0, 1);
  const int bass = random.chance(0.85) ? tones.front() : tones[static_cast<std::size_t>(random.index(count))];
  if (left < 0.65) midi.push_back(36 + bass + (random.chance(0.4) ? 12 : 0));
  if (left < 0.2) midi.push_back(midi.back() - 12 >= 28 ? midi.back() - 12 : midi.back() + 12);
  return midi;
}

inline std::vector<int> on_root(const std::vector<int>& tones, int root) {
  std::vector<int> found;
  for (const int tone : tones) found.push_back((root + tone) % 12);
  return found;
}

/// The tones that are struck; the first is the bass. @param tones of the chord asked for, from its root
inline std::vector<int> struck_tones(Deed deed, std::vector<int> tones, SceneRandom& random) {
  const std::vector<int> asked = tones;
  const auto is_asked = [&](int tone) { return std::find(asked.begin(), asked.end(), tone) != asked.end(); };
  const int root = tones[0];
  const int third = (tones[1] - root + 12) % 12;
  switch (deed) {
    case Deed::right:
      break;
    case Deed::without_fifth:
      tones.erase(tones.begin() + 2);
      break;
    case Deed::seventh_added:
      tones.push_back((root + 10 + random.index(2)) % 12);
      break;
    case Deed::other_chord: {
      int common = 2;
      while (common > 1) {
        tones = on_root(qualities()[static_cast<std::size_t>(random.index(2))].tones, random.index(12));
        common = static_cast<int>(std::count_if(tones.begin(), tones.end(), is_asked));
      }
      break;
    }
    case Deed::other_third:
      tones[1] = (root + 7 - third) % 12;
      break;
    case Deed::one_wrong_key: {
      const std::array<int, 4> steps{-2, -1, 1, 2};
      for (bool done = false; !done;) {
        const auto which = static_cast<std::size_t>(random.index(static_cast<int>(tones.size())));
        const int tone = (asked[which] + steps[static_cast<std::size_t>(random.index(4))] + 12) % 12;
        if (is_asked(tone)) continue;
        tones[which] = tone;
        done = true;
      }
      break;
    }
    case Deed::third_away:
      tones =
          third == 4 ? std::vector{(root + 9) % 12, root, tones[1]} : std::vector{tones[1], tones[2], (root + 10) % 12};
      break;
    case Deed::tone_missing: {
      const int seventh = tones.size() > 3 ? 3 : 0;
      const std::array<int, 3> may{0, 1, seventh};
      tones.erase(tones.begin() + may[static_cast<std::size_t>(random.index(seventh != 0 ? 3 : 2))]);
      break;
    }
    case Deed::silent:
      tones.clear();
      break;
  }
  return tones;
}

}  // namespace scene_detail

/// A chord with what comes before it, through a room. Deeds that need a triad or a third get a chord that has one.
inline Scene make_scene(Deed deed, const NoteBank& bank, const SceneSettings& settings, SceneRandom& random) {
  using namespace scene_detail;
  static constexpr std::array names{"C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"};
  Scene scene;
  scene.deed = deed;
  const int root = random.index(12);
  double choice = random.uniform(0, 1);
  std::size_t quality = 0;
  while (quality + 1 < qualities().size() && choice >= qualities()[quality].share)
    choice -= qualities()[quality++].share;
  const bool triad_only = deed == Deed::without_fifth || deed == Deed::seventh_added || deed == Deed::other_third ||
                          deed == Deed::third_away;
  if (triad_only) quality = static_cast<std::size_t>(random.index(2));
  const std::vector<int> asked = on_root(qualities()[quality].tones, root);
  scene.symbol = std::string(names[static_cast<std::size_t>(root)]) + qualities()[quality].suffix;
  for (const int tone : asked) scene.asked[static_cast<std::size_t>(tone)] = true;

  std::vector<PlayedNote> notes;
  constexpr double spacing_s = 0.7;
  const bool pedal = random.chance(0.25);
  double at_s = 0.4;  // the room alone first
  for (int i = 0; i < settings.chords_before; ++i, at_s += spacing_s) {
    const bool last = i + 1 == settings.chords_before;
    const std::vector<int> tones =
        on_root(qualities()[static_cast<std::size_t>(random.index(2))].tones, random.index(12));
    for (const int midi : voiced(tones, random)) {
      const bool rings = last && pedal && random.chance(0.6);
      if (rings) scene.ringing[static_cast<std::size_t>(midi % 12)] = true;
      const double length_s = rings ? spacing_s + 0.5 : spacing_s - random.uniform(-0.03, 0.15);
      notes.push_back({at_s + random.uniform(0, 0.03), length_s, midi, random.uniform(0.4, 1)});
    }
    scene.onsets_s.push_back(at_s + 0.015);
  }
  const std::vector<int> struck = struck_tones(deed, asked, random);
  if (!struck.empty()) {
    for (const int midi : voiced(struck, random)) {
      notes.push_back({at_s + random.uniform(0, 0.025), 1.3, midi, random.uniform(0.45, 1)});
      scene.struck[static_cast<std::size_t>(midi % 12)] = true;
    }
    scene.onsets_s.push_back(at_s + 0.0125);
  }
  std::vector<float> dry(bank_samples(at_s + settings.lasts_s));
  add_notes(dry, notes, bank);
  scene.cents = random.uniform(settings.room.flattest_cents, settings.room.sharpest_cents);
  const double stretch = std::exp2(-scene.cents / 1200);
  scene.onset_s = (at_s + 0.0125) * stretch;
  for (double& onset_s : scene.onsets_s) onset_s *= stretch;
  scene.sound = through_room(detuned(dry, scene.cents), settings.room, random);
  return scene;
}

}  // namespace romanesca::test
