#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "synth/hearing/voice_notes.h"
#include "tests/measure/note_bank.h"
#include "theory/notes/meter.h"

namespace romanesca::test {

/// A tune with all that is true of it.
struct SungTune {
  Meter meter;
  int tonic = 0;
  double tempo_bpm = 90;
  double upbeat = 0;              ///< quarters before bar 1
  std::vector<double> starts;     ///< quarters from bar 1
  std::vector<PlayedNote> notes;  ///< in seconds
  double length_s = 0;
};

/// Eight bars in a major key: mostly steps, some leaps, phrases of two bars that end on a long note and breathe.
/// @param higher semitones above a middle voice
inline SungTune random_tune(SceneRandom& random, int higher) {
  // Bars in quarters; all of them of the same length.
  const std::vector<std::vector<double>> fours{{1, 1, 1, 1},     {2, 1, 1},        {1, 0.5, 0.5, 1, 1},
                                               {1.5, 0.5, 1, 1}, {0.5, 0.5, 1, 2}, {1, 1, 0.5, 0.5, 1}};
  const std::vector<std::vector<double>> threes{{1, 1, 1}, {2, 1}, {1, 0.5, 0.5, 1}, {1.5, 0.5, 1}, {0.5, 0.5, 1, 1}};
  SungTune tune;
  const bool three = random.chance(0.35);
  tune.meter = three ? Meter{3, 4} : Meter{4, 4};
  const double bar = three ? 3 : 4;
  tune.tempo_bpm = random.uniform(70, 130);
  tune.tonic = 57 + random.index(10) + higher - (random.chance(0.3) ? 12 : 0);
  constexpr int scale[] = {0, 2, 4, 5, 7, 9, 11};
  const auto midi = [&](int degree) {
    const int octave = static_cast<int>(std::floor(degree / 7.0));
    return tune.tonic + 12 * octave + scale[degree - 7 * octave];
  };
  const double quarter_s = 60 / tune.tempo_bpm;
  tune.upbeat = random.chance(0.4) ? 1 : 0;
  const double begin_s = 0.4 + tune.upbeat * quarter_s;
  int degree = random.chance(0.5) ? 0 : random.chance(0.5) ? 2 : 4;
  const auto add = [&](double at, double length, bool breathes) {
    tune.starts.push_back(at);
    const double share = breathes ? random.uniform(0.6, 0.8) : random.uniform(0.88, 1.0);
    tune.notes.push_back({begin_s + at * quarter_s, length * quarter_s * share, midi(degree), random.uniform(0.5, 1)});
  };
  if (tune.upbeat > 0) {
    degree = -3;
    add(-1, 1, false);
    degree = 0;
  }
  for (int i = 0; i < 8; ++i) {
    const auto& shapes = three ? threes : fours;
    const bool ends = i % 4 == 3;
    const std::vector<double> shape =
        ends ? std::vector<double>{bar - tune.upbeat}
             : shapes[static_cast<std::size_t>(random.index(static_cast<int>(shapes.size())))];
    double at = i * bar;
    for (const double length : shape) {
      if (ends) degree = i == 7 ? 0 : 4;
      add(at, length, ends);
      at += length;
      const int step = random.chance(0.15)   ? 0
                       : random.chance(0.75) ? (random.chance(0.5) ? 1 : -1)
                                             : random.index(9) - 4;
      degree = std::clamp(degree + step, -4, 9);
    }
    if (ends && i != 7 && tune.upbeat > 0) {
      degree = -3;
      add((i + 1) * bar - 1, 1, false);
      degree = 0;
    }
  }
  tune.length_s = begin_s + 8 * bar * quarter_s;
  return tune;
}

/// A note as it truly was.
struct TrueNote {
  double start_s = 0;
  double pitch = 60;  ///< as it sounded: 69 is 440 Hz
  int midi = 60;      ///< what was meant
};

/// Notes found: a pair lies within 50 ms and 50 cents and counts once (as in the evaluations of MIREX, ends apart).
struct NoteScore {
  int found = 0, missed = 0, invented = 0, other_pitch = 0, other_time = 0;
  int meant = 0;  ///< of those found, by how many semitones they were meant
  std::vector<std::string> lines;

  void add(const std::vector<VoiceNote>& heard, const std::vector<TrueNote>& notes) {
    std::vector<bool> used(heard.size());
    for (const TrueNote& note : notes) {
      std::size_t best = heard.size();
      std::size_t nearest = heard.size();
      const auto distance_s = [&](std::size_t k) { return std::abs(heard[k].start_s - note.start_s); };
      for (std::size_t k = 0; k < heard.size(); ++k) {
        if (nearest == heard.size() || distance_s(k) < distance_s(nearest)) nearest = k;
        const bool pair = !used[k] && std::abs(heard[k].pitch - note.pitch) <= 0.5 && distance_s(k) <= 0.05;
        if (pair && (best == heard.size() || distance_s(k) < distance_s(best))) best = k;
      }
      if (best < heard.size()) {
        used[best] = true;
        ++found;
        meant += heard[best].midi == note.midi ? 1 : 0;
        continue;
      }
      ++missed;
      if (nearest == heard.size()) continue;
      const VoiceNote& near = heard[nearest];
      const bool same_pitch = std::abs(near.pitch - note.pitch) <= 0.5;
      if (distance_s(nearest) <= 0.05 && !same_pitch) ++other_pitch;
      if (distance_s(nearest) > 0.05 && distance_s(nearest) < 0.15 && same_pitch) ++other_time;
      lines.push_back(fmt::format("missed {:.2f} at {:.3f}, nearest {:.2f} at {:.3f}", note.pitch, note.start_s,
                                  near.pitch, near.start_s));
    }
    for (std::size_t k = 0; k < heard.size(); ++k) {
      if (used[k]) continue;
      ++invented;
      lines.push_back(
          fmt::format("invented {:.2f} from {:.3f} to {:.3f}", heard[k].pitch, heard[k].start_s, heard[k].end_s));
    }
  }
  [[nodiscard]] double f_measure() const { return found == 0 ? 0 : 2.0 * found / (2.0 * found + missed + invented); }
  [[nodiscard]] std::string text() const {
    return fmt::format(
        "F {:.3f} ({} found, of them {} as they were meant; {} missed, of them {} on another pitch and {} at another "
        "time; {} invented)",
        f_measure(), found, meant, missed, other_pitch, other_time, invented);
  }
};

}  // namespace romanesca::test
