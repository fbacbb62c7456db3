#pragma once

#include <optional>
#include <vector>

#include "synth/hearing/onset_strength.h"

namespace romanesca {

/// A tempo that the onsets may have.
struct TempoGuess {
  double bpm = 100;
  double strength = 0;  ///< of the repetition at that tempo, weighted by how usual the tempo is; more than 0
};

/// The best tempi between 40 and 220 beats a minute, strongest first, at least 6 % apart: peaks of the autocorrelation
/// of the onsets at one, two and four beats under a bell over the logarithm of the tempo, as in Ellis, "Beat tracking
/// by dynamic programming", JNMR 36/1, 2007.
/// @param stated a tempo that was tapped: then only those within 12 % of it, and that one if there is none
/// @param octaves the deviation of the bell, which is about 92
[[nodiscard]] std::vector<TempoGuess> tempo_guesses(const OnsetStrength& onsets, std::size_t most,
                                                    std::optional<double> stated = std::nullopt, double octaves = 0.4);

/// Beats at about that tempo, in seconds, rising: the path through the onsets that is strong and even (dynamic
/// programming, Ellis 2007). What one longer beat costs is limited, so that a player may hesitate.
/// @param most_cost of one longer beat, in deviations of the onsets
[[nodiscard]] std::vector<double> track_beats(const OnsetStrength& onsets, double bpm, double most_cost = 5);

}  // namespace romanesca
