// The flat interface of the module "sound": a performance as numbers becomes samples. WebAssembly alone.
#include "cli/web/page_sound.h"
#include "cli/web/performance_bytes.h"

namespace {

std::vector<std::int64_t> numbers;
romanesca::PageSound sound;

}  // namespace

extern "C" {

/// Room for so many numbers of 64 bits. @return its address
[[clang::export_name("performance_room")]] std::int64_t* performance_room(std::uint32_t count) {
  numbers.resize(count);
  return numbers.data();
}

/// Renders it. @param gain_db not a number for a loudness of its own @return frames; 0 where the numbers make no sense
[[clang::export_name("render")]] std::uint32_t render(double sample_rate_hz, bool loop, double gain_db) {
  sound = {};
  const auto performance = romanesca::read_performance(numbers);
  if (!performance) return 0;
  romanesca::PageSoundSettings settings{sample_rate_hz, loop, std::nullopt};
  if (gain_db == gain_db) settings.gain_db = gain_db;
  sound = romanesca::render_for_page(*performance, settings);
  return static_cast<std::uint32_t>(sound.left.size());
}

[[clang::export_name("left_samples")]] const float* left_samples() { return sound.left.data(); }
[[clang::export_name("right_samples")]] const float* right_samples() { return sound.right.data(); }
[[clang::export_name("gain_used_db")]] double gain_used_db() { return sound.gain_db; }
/// Gives the memory of the samples back.
[[clang::export_name("forget")]] void forget() { sound = {}; }
}
