#include "synth/hearing/room_check.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace romanesca {
namespace {

constexpr double full_level = 0.995, clipped_share = 1e-4;
constexpr double hum_over_neighbours = 30;  // of power: 15 dB
constexpr double most_quiet_s = 10;         // after which the lines of hum are not measured any further

constexpr double least_over_room_db = 3, soft_dbfs = -45, loud_room_db = 15, in_tune_cents = 5;

double dbfs(double power) { return std::max(-120.0, 10 * std::log10(power + 1e-12)); }

}  // namespace

RoomFindings findings_of(const RoomReport& report) noexcept {
  const double over_room_db = report.piano_dbfs - report.quiet_dbfs;
  return {report.onsets > 0 && over_room_db >= least_over_room_db, report.piano_dbfs < soft_dbfs,
          over_room_db < loud_room_db, std::abs(report.tuning_cents) <= in_tune_cents};
}

void RoomCheck::Line::push(double sample) noexcept {
  const double now = sample + factor * last - before;
  before = last;
  last = now;
}

RoomCheck::RoomCheck(double input_rate_hz) : rate_hz_(input_rate_hz), listener_(input_rate_hz) {
  for (std::size_t i = 0; i < line_hz.size(); ++i)
    lines_[i].factor = 2 * std::cos(2 * std::numbers::pi * line_hz[i] / input_rate_hz);
}

void RoomCheck::push_quiet(std::span<const float> samples) noexcept {
  for (const float sample : samples) {
    const auto value = static_cast<double>(sample);
    quiet_ += value * value;
    ++quiet_count_;
    if (static_cast<double>(quiet_count_) > most_quiet_s * rate_hz_) continue;
    for (Line& line : lines_) line.push(value);
  }
}

void RoomCheck::measure_playing(std::span<const float> samples) noexcept {
  const auto block = static_cast<std::size_t>(rate_hz_ / 10);
  for (const float sample : samples) {
    const auto value = static_cast<double>(sample);
    clipped_ += std::abs(value) >= full_level ? 1 : 0;
    ++playing_count_;
    block_ += value * value;
    if (++block_count_ < block) continue;
    loudest_ = std::max(loudest_, block_ / static_cast<double>(block_count_));
    block_ = 0;
    block_count_ = 0;
  }
}

RoomReport RoomCheck::report() const noexcept {
  RoomReport report;
  report.quiet_dbfs = dbfs(quiet_count_ == 0 ? 0 : quiet_ / static_cast<double>(quiet_count_));
  report.piano_dbfs = dbfs(loudest_);
  report.clipped = static_cast<double>(clipped_) > clipped_share * static_cast<double>(playing_count_);
  report.onsets = listener_.onsets();
  report.tuning_cents = listener_.tuning_cents();
  double beside = 1e-12;
  for (std::size_t i = 4; i < lines_.size(); ++i) beside = std::max(beside, lines_[i].power());
  const double at_50 = std::max(lines_[0].power(), lines_[2].power());
  const double at_60 = std::max(lines_[1].power(), lines_[3].power());
  if (std::max(at_50, at_60) > hum_over_neighbours * beside) report.hum_hz = at_50 > at_60 ? 50 : 60;
  return report;
}

}  // namespace romanesca
