#pragma once

#include <cstddef>

namespace romanesca {

/// The largest absolute value among samples; 0 for none.
[[nodiscard]] float loudest(const float* samples, std::size_t count) noexcept;

}  // namespace romanesca
