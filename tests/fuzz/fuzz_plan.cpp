// Any bytes as a plan of sound: what can be read is written as the same bytes again, and short ones sound.
#include <cmath>
#include <cstdint>

#include "cli/web/page_sound.h"
#include "cli/web/plan_bytes.h"

using namespace romanesca;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto plan = read_plan({data, size});
  if (!plan) return 0;
  const auto written = plan_bytes(*plan);
  const auto again = read_plan(written);
  if (!again || plan_bytes(*again) != written) std::abort();
  const Performance& performance = plan->performance;
  if (performance.tempo.seconds_at(performance.length) > 4 || performance.events.size() > 40) return 0;
  const PageSound sound = page_sound({data, size}, 8000);
  for (std::size_t i = 0; i < sound.left.size(); ++i) {
    if (!std::isfinite(sound.left[i]) || !std::isfinite(sound.right[i])) std::abort();
  }
  return 0;
}
