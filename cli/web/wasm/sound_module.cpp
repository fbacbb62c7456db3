// The functions of the page's second module: the bytes of a sound plan in, samples out.
#include <cstddef>
#include <cstdint>
#include <memory>
#include <vector>

#include "cli/web/page_sound.h"

namespace {

std::vector<std::uint8_t> bytes;               // NOLINT: a module is one object
romanesca::PageSound sound;                    // NOLINT
std::unique_ptr<romanesca::BarStream> stream;  // NOLINT

}  // namespace

extern "C" {

/// What is to be destroyed when a thread ends: the only one does not.
int __cxa_thread_atexit(void (*)(void*), void*, void*) { return 0; }  // NOLINT: the name that the compiler calls

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
/// Begins a stream of bars, in place of the one before.
[[clang::export_name("begin")]] void begin(double sample_rate_hz) {
  stream = std::make_unique<romanesca::BarStream>(sample_rate_hz);
}
/// The next bar of the stream. @return frames; 0 if the bytes are not a valid plan or no stream has begun
[[clang::export_name("bar")]] std::size_t bar(double gain_db) {
  if (!stream) return 0;
  sound = romanesca::page_bar(*stream, bytes, gain_db);
  return sound.left.size();
}
/// The gain in dB for the bars of the plan's piece.
[[clang::export_name("level")]] double level(double sample_rate_hz) {
  return romanesca::page_gain_db(bytes, sample_rate_hz);
}
/// How many frames late the sound of the stream comes out.
[[clang::export_name("delay")]] std::size_t delay() { return romanesca::BarStream::delay; }
[[clang::export_name("left")]] const float* left() { return sound.left.data(); }
[[clang::export_name("right")]] const float* right() { return sound.right.data(); }
}
