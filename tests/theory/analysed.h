#pragma once

#include <gtest/gtest.h>

#include <string>

#include "theory/analysis/analysis.h"
#include "theory/songs/progression_text.h"

namespace romanesca::test {

/// The analysis of a progression that can be read; the test fails where it cannot.
inline Analysis analysed(const std::string& text) {
  const auto parsed = parse_progression(text, "test");
  EXPECT_TRUE(parsed) << text << (parsed ? "" : ": " + parsed.error().message);
  return parsed ? analyse(*parsed) : Analysis{};
}

}  // namespace romanesca::test
