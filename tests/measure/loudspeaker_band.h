#pragma once

#include <array>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "cli/studio/backing_track.h"
#include "synth/sound/performer.h"
#include "tests/measure/octave_bands.h"
#include "tests/measure/piano_scene.h"
#include "theory/songs/progression_text.h"

namespace romanesca::test {

/// The project's own band with | F | C | F | C | in some styles, one channel at hearing_rate_hz.
struct BandSound {
  std::vector<float> sound;
  double bar_s = 2;
};

/// Who plays.
enum class BandParts { drums, drums_and_bass, all };

inline const BandSound& band_sound(int number, BandParts parts) {
  static constexpr std::array<std::pair<const char*, double>, 5> played{
      {{"pop", 100}, {"ballad", 70}, {"bossa-nova", 120}, {"rock", 110}, {"jazz-swing", 120}}};
  static std::map<std::pair<std::size_t, BandParts>, BandSound> made;
  const auto which = static_cast<std::size_t>(number) % played.size();
  auto [found, is_new] = made.try_emplace({which, parts});
  BandSound& band = found->second;
  if (!is_new) return band;
  NamedProgression source{*parse_progression("key: F\n| F | C | F | C |\n", "four bars"), "four bars", std::nullopt};
  BandRequest request;
  request.style = played[which].first;
  request.tempo_bpm = played[which].second;
  if (parts == BandParts::drums) request.only = {"drums"};
  if (parts == BandParts::drums_and_bass) request.only = {"drums", "bass"};
  const auto track = arrange_backing(*place_in_key(std::move(source), std::nullopt), request);
  Performer performer(track->song.performance, hearing_rate_hz);
  const StereoSound sound = whole_sound(performer);
  for (std::size_t i = 0; i < sound.left.size(); ++i) band.sound.push_back(0.5f * (sound.left[i] + sound.right[i]));
  band.bar_s = 240 / request.tempo_bpm;
  return band;
}

/// What lies above 250 Hz: a small loudspeaker.
inline std::vector<float> small_loudspeaker(std::vector<float> sound) {
  const double share = 1 - std::exp(-2 * M_PI * 250 / hearing_rate_hz);
  for (int pass = 0; pass < 2; ++pass) {
    double low = 0;
    for (float& sample : sound) {
      low += share * (static_cast<double>(sample) - low);
      sample -= static_cast<float>(low);
    }
  }
  return sound;
}

/// The band goes from F to C, and the student with it, or stops after F. The band's sound goes through a loudspeaker
/// and another room before it comes into the room of the piano.
/// @param level_db of the band re a chord of the piano
inline Scene band_scene(bool silent, BandParts parts, double level_db, const NoteBank& bank,
                        const SceneSettings& settings, int number, SceneRandom& random) {
  Scene scene;
  scene.deed = silent ? Deed::silent : Deed::right;
  scene.symbol = "C";
  constexpr double at_s = 1.4;
  std::vector<PlayedNote> notes;
  for (const int midi : scene_detail::voiced({5, 9, 0}, random))
    notes.push_back({at_s - 0.9, 0.85, midi, random.uniform(0.4, 1)});
  const std::size_t length = bank_samples(at_s + settings.lasts_s);
  std::vector<float> reference(bank_samples(1.2));
  add_notes(reference, {{0, 1.2, 48, 0.7}, {0, 1.2, 60, 0.7}, {0, 1.2, 64, 0.7}, {0, 1.2, 67, 0.7}}, bank);
  if (!silent) {
    for (const int midi : scene_detail::voiced({0, 4, 7}, random))
      notes.push_back({at_s + random.uniform(0, 0.025), 1.3, midi, random.uniform(0.45, 1)});
  }
  std::vector<float> dry(length);
  add_notes(dry, notes, bank);
  const BandSound& band = band_sound(number, parts);
  const auto first = static_cast<std::size_t>((band.bar_s * (1 + 2 * (number / 5 % 2)) - at_s) * hearing_rate_hz);
  std::vector<float> part(length);
  for (std::size_t i = 0; i < length; ++i) {
    const std::ptrdiff_t at = static_cast<std::ptrdiff_t>(first) + static_cast<std::ptrdiff_t>(i);
    if (at >= 0 && at < static_cast<std::ptrdiff_t>(band.sound.size()))
      part[i] = band.sound[static_cast<std::size_t>(at)];
  }
  RoomSettings path = settings.room;
  path.telephone = false;
  part = through_room(small_loudspeaker(part), path, random);
  const auto gain = static_cast<float>(std::sqrt(scene_detail::energy_of(reference) / scene_detail::energy_of(part)) *
                                       std::pow(10, level_db / 20));
  for (std::size_t i = 0; i < length; ++i) dry[i] += gain * part[i];
  scene.onset_s = at_s + 0.0125;
  scene.onsets_s = {scene.onset_s};
  scene.sound = through_room(dry, settings.room, random);
  return scene;
}

}  // namespace romanesca::test
