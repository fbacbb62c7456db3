#include "synth/sound/sample_block.h"

#include <cstdint>
#include <cstring>
#include <limits>

namespace romanesca {

static_assert(std::numeric_limits<float>::is_iec559 && sizeof(float) == 4);

// Without their sign, floats are in the order of their bits taken as whole numbers, whose maximum is vector code.
ROMANESCA_VECTOR_CLONES
float absolute_peak(const float* samples, std::size_t count) noexcept {
  std::int32_t highest = 0;
  for (std::size_t i = 0; i < count; ++i) {
    std::int32_t bits = 0;
    std::memcpy(&bits, samples + i, sizeof bits);
    bits &= 0x7FFFFFFF;
    highest = highest > bits ? highest : bits;
  }
  float value = 0;
  std::memcpy(&value, &highest, sizeof value);
  return value;
}

}  // namespace romanesca
