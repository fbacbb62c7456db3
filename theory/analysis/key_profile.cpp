#include "theory/analysis/key_profile.h"

#include <cmath>

namespace romanesca {
namespace {

constexpr std::array<double, 12> major{6.35, 2.23, 3.48, 2.33, 4.38, 4.09, 2.52, 5.19, 2.39, 3.66, 2.29, 2.88};
constexpr std::array<double, 12> minor_profile{6.33, 2.68, 3.52, 5.38, 2.60, 3.53, 2.54, 4.75, 3.98, 2.69, 3.34, 3.17};

}  // namespace

std::span<const double, 12> key_profile(bool minor) noexcept { return minor ? minor_profile : major; }

double profile_correlation(std::span<const double, 12> durations, int tonic, bool minor) noexcept {
  const std::span<const double, 12> profile = key_profile(minor);
  double mean_heard = 0;
  double mean_profile = 0;
  for (std::size_t i = 0; i < 12; ++i) {
    mean_heard += durations[i] / 12;
    mean_profile += profile[i] / 12;
  }
  double both = 0;
  double heard_squared = 0;
  double profile_squared = 0;
  for (std::size_t i = 0; i < 12; ++i) {
    const double heard = durations[(i + static_cast<std::size_t>(tonic)) % 12] - mean_heard;
    const double expected = profile[i] - mean_profile;
    both += heard * expected;
    heard_squared += heard * heard;
    profile_squared += expected * expected;
  }
  const double scale = std::sqrt(heard_squared * profile_squared);
  return scale > 0 ? both / scale : 0;
}

}  // namespace romanesca
