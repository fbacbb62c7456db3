#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

namespace romanesca {

/// A list of at most Most items without heap memory, for small members of types that occur in large numbers.
/// Items past the end have their initial value, so that lists compare by their arrays.
template <typename T, std::size_t Most>
class ShortList {
 public:
  constexpr ShortList() noexcept = default;

  [[nodiscard]] static constexpr std::size_t capacity() noexcept { return Most; }
  [[nodiscard]] constexpr std::size_t size() const noexcept { return size_; }
  [[nodiscard]] constexpr bool empty() const noexcept { return size_ == 0; }
  [[nodiscard]] constexpr bool full() const noexcept { return size_ == Most; }
  [[nodiscard]] constexpr const T& operator[](std::size_t i) const noexcept { return items_[i]; }
  /// Only while not empty().
  [[nodiscard]] constexpr const T& front() const noexcept { return items_[0]; }
  [[nodiscard]] constexpr const T& back() const noexcept { return items_[size_ - 1U]; }
  [[nodiscard]] constexpr const T* begin() const noexcept { return items_.data(); }
  [[nodiscard]] constexpr const T* end() const noexcept { return items_.data() + size_; }

  /// Only while not full().
  constexpr void push_back(const T& item) noexcept { items_[size_++] = item; }

  friend constexpr bool operator==(const ShortList&, const ShortList&) noexcept = default;

 private:
  std::array<T, Most> items_{};
  std::uint8_t size_ = 0;
};

}  // namespace romanesca
