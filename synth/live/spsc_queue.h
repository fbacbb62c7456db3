#pragma once

#include <array>
#include <atomic>
#include <cstddef>

namespace romanesca {

/// A wait-free queue of fixed size between one producer and one consumer thread; it never locks or allocates.
/// @tparam size a power of two; the capacity is one less.
template <typename T, std::size_t size>
class SpscQueue {
  static_assert((size & (size - 1)) == 0, "a power of two");

 public:
  /// For the producer. @return false, and nothing done, if the queue is full.
  bool put(const T& value) noexcept {
    const std::size_t at = in_.load(std::memory_order_relaxed);
    if (((at + 1) & (size - 1)) == (out_.load(std::memory_order_acquire) & (size - 1))) return false;
    slots_[at & (size - 1)] = value;
    in_.store(at + 1, std::memory_order_release);
    return true;
  }

  /// For the consumer. @return false if the queue is empty.
  bool take(T& value) noexcept {
    const std::size_t at = out_.load(std::memory_order_relaxed);
    if (at == in_.load(std::memory_order_acquire)) return false;
    value = slots_[at & (size - 1)];
    out_.store(at + 1, std::memory_order_release);
    return true;
  }

 private:
  std::array<T, size> slots_{};
  alignas(64) std::atomic<std::size_t> in_{0};
  alignas(64) std::atomic<std::size_t> out_{0};
};

}  // namespace romanesca
