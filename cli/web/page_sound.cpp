#include "cli/web/page_sound.h"

#include <algorithm>

#include "cli/web/plan_bytes.h"

namespace romanesca {
namespace {

constexpr double page_loudness_lufs = -16;  // of a track, too
constexpr double measured_s = 8;
constexpr int longest_tail_s = 10;

void append(PageSound& sound, const PageSound& more) {
  sound.left.insert(sound.left.end(), more.left.begin(), more.left.end());
  sound.right.insert(sound.right.end(), more.right.begin(), more.right.end());
}

/// Drops the delay of the limiter.
void drop_delay(std::vector<float>& side) {
  side.erase(side.begin(), side.begin() + static_cast<std::ptrdiff_t>(std::min(side.size(), BarStream::delay)));
}

}  // namespace

PageSound page_sound(std::span<const std::uint8_t> bytes, double sample_rate_hz) {
  PageSound sound;
  auto plan = read_plan(bytes);
  if (!plan) return sound;
  const double gain_db = plan->loudness_lufs == 0
                             ? 0
                             : performance_gain_db(plan->performance, sample_rate_hz,
                                                   static_cast<double>(plan->loudness_lufs), measured_s);
  BarStream stream(sample_rate_hz);
  StreamBar bar{std::move(plan->performance), plan->from, gain_db, std::move(plan->keys)};
  stream.render(bar, sound.left, sound.right);
  bar.performance.events.clear();
  bar.performance.tempo = TempoMap(60);
  bar.performance.length = Beats(1, 4);
  // At least one, in which the limiter lets the end of the piece out.
  for (int quarter_s = 0; quarter_s == 0 || (quarter_s < 4 * longest_tail_s && !stream.silent()); ++quarter_s) {
    PageSound tail;
    stream.render(bar, tail.left, tail.right);
    append(sound, tail);
  }
  drop_delay(sound.left);
  drop_delay(sound.right);
  return sound;
}

PageSound page_bar(BarStream& stream, std::span<const std::uint8_t> bytes, double gain_db) {
  constexpr double longest_bar_s = 120;
  PageSound sound;
  auto plan = read_plan(bytes);
  if (!plan || plan->performance.tempo.seconds_at(plan->performance.length) > longest_bar_s) return sound;
  stream.render({std::move(plan->performance), plan->from, std::clamp(gain_db, -60.0, 30.0), std::move(plan->keys)},
                sound.left, sound.right);
  return sound;
}

double page_gain_db(std::span<const std::uint8_t> bytes, double sample_rate_hz) {
  const auto plan = read_plan(bytes);
  return plan ? performance_gain_db(plan->performance, sample_rate_hz, page_loudness_lufs, measured_s) : 0;
}

}  // namespace romanesca
