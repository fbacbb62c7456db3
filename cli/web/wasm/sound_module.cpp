// What the page's second module offers: the bytes of a plan in, samples out.
#include <cstddef>
#include <cstdint>
#include <vector>

#include "cli/web/page_sound.h"

namespace {

std::vector<std::uint8_t> bytes;  // NOLINT: a module is one object
romanesca::PageSound sound;       // NOLINT

}  // namespace

extern "C" {

[[clang::export_name("room")]] std::uint8_t* room(std::size_t size) {
  bytes.resize(size);
  return bytes.data();
}
/// @return frames; 0 for bytes that are no plan
[[clang::export_name("render")]] std::size_t render(double sample_rate_hz) {
  sound = romanesca::page_sound(bytes, sample_rate_hz);
  return sound.left.size();
}
[[clang::export_name("left")]] const float* left() { return sound.left.data(); }
[[clang::export_name("right")]] const float* right() { return sound.right.data(); }
}
