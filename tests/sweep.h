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

/// One of so many members of a sweep is tried: every one when thorough, otherwise every eighth, and under a sanitizer,
/// where all takes ten times as long and only faults of memory are looked for, every fortieth.
inline std::size_t share_tried() {
#ifdef ROMANESCA_SANITIZED
  return 40;
#else
  return thorough() ? 1 : 8;
#endif
}

/// How often a trial runs that is repeated so many times with other random numbers when thorough: at least twice.
inline std::size_t repetitions(std::size_t whole) { return std::max(whole / share_tried(), std::size_t{2}); }

/// The members of a sweep that are tried: the first, the last, and of those between the share_tried().
/// @param turn number of this sweep in a row of them, where each shall try other members than the one before
template <typename T>
std::vector<T> tried(const std::vector<T>& sweep, std::size_t turn = 0) {
  std::vector<T> some;
  for (std::size_t i = 0; i < sweep.size(); ++i) {
    const bool at_an_end = i == 0 || i + 1 == sweep.size();
    if (at_an_end || i % share_tried() == turn % share_tried()) some.push_back(sweep[i]);
  }
  return some;
}

}  // namespace romanesca::test
