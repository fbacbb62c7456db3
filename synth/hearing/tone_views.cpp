#include "synth/hearing/tone_views.h"

#include <algorithm>
#include <cmath>

namespace romanesca {
namespace {

constexpr float amplitude_compression = 1000;  // re the loudest bin of all views
constexpr double least_change_cents = 2;

}  // namespace

ToneViewer::ToneViewer()
    : long_spectrum_(pitch_block),
      short_spectrum_(short_block),
      long_fold_(pitch_block),
      short_fold_(short_block),
      lines_(pitch_block / 2 + 1),
      lines_before_(lines_.size()) {}

void ToneViewer::fold_at(double cents) {
  folded_cents_ = cents;
  long_fold_.set_tuning(cents);
  short_fold_.set_tuning(cents);
}

void ToneViewer::fix_tuning(double cents) {
  fixed_ = true;
  fold_at(cents);
}

void ToneViewer::keep_before(std::span<const float> samples) noexcept {
  long_spectrum_.compute(samples, lines_before_);
}

void ToneViewer::look(std::span<const float> samples, ToneViews& views) noexcept {
  long_spectrum_.compute(samples, lines_);
  meter_.add(lines_);
  if (!fixed_ && std::abs(meter_.cents() - folded_cents_) > least_change_cents) fold_at(meter_.cents());
  long_fold_.fold(lines_, views.rows[0]);
  long_fold_.fold(lines_before_, views.rows[2]);
  const std::span<float> fewer(lines_.data(), short_block / 2 + 1);
  short_spectrum_.compute(samples.last(short_block), fewer);
  short_fold_.fold(fewer, views.rows[1]);
  float loudest = 1e-9f;
  for (std::size_t i = 0; i < 3; ++i) {
    for (const float bin : views.rows[i]) loudest = std::max(loudest, bin);
  }
  for (std::size_t i = 0; i < 3; ++i) {
    for (float& bin : views.rows[i]) bin = std::log1p(amplitude_compression * bin / loudest);
  }
  const float whole = std::log1p(amplitude_compression);
  for (std::size_t i = 0; i < pitch_bins; ++i) views.rows[3][i] = (views.rows[0][i] - views.rows[2][i]) / whole;
  for (std::size_t i = 0; i < 3; ++i) whiten(views.rows[i]);
}

}  // namespace romanesca
