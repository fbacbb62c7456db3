// The functions of the page's second module: the bytes of a sound plan in, samples out.
#include <cstddef>
#include <cstdint>
#include <vector>

#include "cli/web/page_sound.h"

namespace {

std::vector<std::uint8_t> bytes;  // NOLINT: a module is one object
romanesca::PageSound sound;       // NOLINT

}  // namespace

extern "C" {

/// Reserves memory for a plan. @param size in bytes @return where to write it
[[clang::export_name("reserve")]] std::uint8_t* reserve(std::size_t size) {
  bytes.resize(size);
  return bytes.data();
}
/// @return frames; 0 if the bytes are not a valid plan
[[clang::export_name("render")]] std::size_t render(double sample_rate_hz) {
  sound = romanesca::page_sound(bytes, sample_rate_hz);
  return sound.left.size();
}
[[clang::export_name("left")]] const float* left() { return sound.left.data(); }
[[clang::export_name("right")]] const float* right() { return sound.right.data(); }
}
