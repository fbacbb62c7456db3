#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdlib>
#include <vector>

#include "tests/sanitized.h"

namespace romanesca::test {

/// Whether sweeps run whole: with ROMANESCA_THOROUGH in the environment, as .ci/run has it. Otherwise they run a
/// sample.
inline bool thorough() { return std::getenv("ROMANESCA_THOROUGH") != nullptr; }

/// Distance between the members of a sweep that are tried: 1 when thorough, otherwise 8, and under a sanitizer, where
/// everything takes ten times as long and only faults of memory are looked for, 40.
inline std::size_t sweep_step() {
#ifdef ROMANESCA_SANITIZED
  return 40;
#else
  return thorough() ? 1 : 8;
#endif
}

/// How often a trial with random numbers is repeated, at least twice. @param whole how often when thorough
inline std::size_t repetitions(std::size_t whole) { return std::max(whole / sweep_step(), std::size_t{2}); }

/// The members of a sweep that are tried: the first, the last, and between them one in sweep_step().
/// @param turn number of this sweep in a row of them, where each shall try other members than the one before
template <typename T>
std::vector<T> tried(const std::vector<T>& sweep, std::size_t turn = 0) {
  std::vector<T> some;
  for (std::size_t i = 0; i < sweep.size(); ++i) {
    const bool at_an_end = i == 0 || i + 1 == sweep.size();
    if (at_an_end || i % sweep_step() == turn % sweep_step()) some.push_back(sweep[i]);
  }
  return some;
}

}  // namespace romanesca::test
