#pragma once

#include <algorithm>
#include <cstddef>
#include <set>
#include <vector>

#include "synth/sound/compressor.h"
#include "synth/sound/sample_block.h"
#include "tests/measure/octave_bands.h"

namespace romanesca::test {

/// The same eight bars as a verse, a chorus and a bridge, in whose order section_loudness_lufs measures them.
inline constexpr const char* verse_chorus_bridge =
    "key: C\n\n[Verse]\n| C | G/B | Am | F |\n| C | Am7 | Dm7 | G7 |\n\n[Chorus]\n| C | G/B | Am | F |\n"
    "| C | Am7 | Dm7 | G7 |\n\n[Bridge]\n| C | G/B | Am | F |\n| C | Am7 | Dm7 | G7 |\n";

/// Integrated loudness of each of a performance's equally long sections, relative to each other as in a finished file:
/// with the compressor of the whole band, without the gain and the limiter that follow.
inline std::vector<double> section_loudness_lufs(const Performance& performance, std::size_t sections,
                                                 double sample_rate_hz) {
  Performer performer(performance, sample_rate_hz);
  StereoSound sound = whole_sound(performer);
  Compressor compressor({}, sample_rate_hz);
  for (std::size_t at = 0; at + block_frames <= sound.left.size(); at += block_frames)
    compressor.process(sound.left.data() + at, sound.right.data() + at);
  const std::size_t length = static_cast<std::size_t>(performer.length_frames()) / sections;
  std::vector<double> found;
  for (std::size_t i = 0; i < sections; ++i) {
    Loudness loudness(sample_rate_hz);
    loudness.add({sound.left.data() + i * length, sound.right.data() + i * length, length});
    found.push_back(loudness.integrated_lufs());
  }
  return found;
}

/// How many parts play in each of a performance's equally long sections.
inline std::vector<std::size_t> section_players(const Performance& performance, std::size_t sections) {
  std::vector<std::set<int>> playing(sections);
  for (const NoteEvent& event : performance.events) {
    const double place = event.start.quarters() / performance.length.quarters() * static_cast<double>(sections);
    if (!performance.parts[event.part].muted && place >= 0)
      playing[std::min(static_cast<std::size_t>(place + 1e-3), sections - 1)].insert(event.part);
  }
  std::vector<std::size_t> counts;
  for (const auto& parts : playing) counts.push_back(parts.size());
  return counts;
}

}  // namespace romanesca::test
