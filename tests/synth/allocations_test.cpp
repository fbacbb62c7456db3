#include "tests/synth/allocations.h"

#include <gtest/gtest.h>

#include <memory>
#include <string>
#include <vector>

namespace romanesca::test {
namespace {

// Checks the counter itself, on which "no allocation" elsewhere relies.
TEST(Allocations, AreCounted) {
  const long before = allocations();
  std::vector<std::unique_ptr<std::string>> kept;
  for (int i = 0; i < 10; ++i) kept.push_back(std::make_unique<std::string>(std::string(100, 'a')));
  EXPECT_GE(allocations() - before, 20);
}

}  // namespace
}  // namespace romanesca::test
