#pragma once

#include <cstddef>
#include <cstdlib>
#include <vector>

namespace romanesca::test {

/// Whether sweeps run whole: with ROMANESCA_THOROUGH in the environment, as .ci/run has it. Otherwise they run a
/// sample.
inline bool thorough() { return std::getenv("ROMANESCA_THOROUGH") != nullptr; }

/// The members of a sweep that are tried: all of them when thorough, otherwise the first, the last, and every eighth
/// between. @param turn number of this sweep in a row of them, where each shall try other members than the one before
template <typename T>
std::vector<T> tried(const std::vector<T>& sweep, std::size_t turn = 0) {
  std::vector<T> some;
  for (std::size_t i = 0; i < sweep.size(); ++i) {
    const bool at_an_end = i == 0 || i + 1 == sweep.size();
    if (at_an_end || i % 8 == turn % 8 || thorough()) some.push_back(sweep[i]);
  }
  return some;
}

}  // namespace romanesca::test
