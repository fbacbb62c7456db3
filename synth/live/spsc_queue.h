#pragma once

#include <array>
#include <atomic>
#include <cstddef>

namespace romanesca {

/// A queue of fixed size between two threads: one puts in, the other takes out. Neither waits, locks or allocates.
/// @tparam size a power of two; one place less can be used.
template <typename T, std::size_t size>
class SpscQueue {
  static_assert((size & (size - 1)) == 0, "a power of two");

 public:
  /// For the one thread that puts in. @return false, and nothing done, when the queue is full.
  bool put(const T& value) noexcept {
    const std::size_t at = in_.load(std::memory_order_relaxed);
    if (((at + 1) & (size - 1)) == (out_.load(std::memory_order_acquire) & (size - 1))) return false;
    places_[at & (size - 1)] = value;
    in_.store(at + 1, std::memory_order_release);
    return true;
  }

  /// For the one thread that takes out. @return false when the queue is empty.
  bool take(T& value) noexcept {
    const std::size_t at = out_.load(std::memory_order_relaxed);
    if (at == in_.load(std::memory_order_acquire)) return false;
    value = places_[at & (size - 1)];
    out_.store(at + 1, std::memory_order_release);
    return true;
  }

 private:
  std::array<T, size> places_{};
  alignas(64) std::atomic<std::size_t> in_{0};
  alignas(64) std::atomic<std::size_t> out_{0};
};

}  // namespace romanesca
