#include "synth/live/spsc_queue.h"

#include <gtest/gtest.h>

#include <thread>

namespace romanesca {
namespace {

TEST(SpscQueue, KeepsTheOrderAndReportsWhenItIsFull) {
  SpscQueue<int, 4> queue;
  EXPECT_TRUE(queue.put(1));
  EXPECT_TRUE(queue.put(2));
  EXPECT_TRUE(queue.put(3));
  EXPECT_FALSE(queue.put(4));
  int value = 0;
  EXPECT_TRUE(queue.take(value));
  EXPECT_EQ(value, 1);
  EXPECT_TRUE(queue.put(4));
  for (const int expected : {2, 3, 4}) {
    EXPECT_TRUE(queue.take(value));
    EXPECT_EQ(value, expected);
  }
  EXPECT_FALSE(queue.take(value));
}

TEST(SpscQueue, TwoThreadsLoseNothing) {
  constexpr int count = 200'000;
  SpscQueue<int, 64> queue;
  std::thread writer([&] {
    for (int i = 0; i < count; ++i) {
      while (!queue.put(i)) std::this_thread::yield();
    }
  });
  int expected = 0;
  for (int value = 0; expected < count;) {
    if (!queue.take(value)) {
      std::this_thread::yield();
      continue;
    }
    ASSERT_EQ(value, expected);
    ++expected;
  }
  writer.join();
}

}  // namespace
}  // namespace romanesca
