#include "synth/arranging/drum_names.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <vector>

#include "theory/text/nearest_word.h"

namespace romanesca {
namespace {

struct DrumName {
  std::string_view name;
  int key;
};
constexpr std::array<DrumName, 29> drum_names{
    {{"kick", 36},        {"stick", 37},      {"snare", 38},      {"clap", 39},      {"swirl", 40},
     {"low-tom", 41},     {"hat", 42},        {"pedal-hat", 44},  {"mid-tom", 45},   {"open-hat", 46},
     {"crash", 49},       {"high-tom", 50},   {"ride", 51},       {"ride-bell", 53}, {"tambourine", 54},
     {"cowbell", 56},     {"mute-conga", 62}, {"open-conga", 63}, {"low-conga", 64}, {"high-timbale", 65},
     {"low-timbale", 66}, {"high-agogo", 67}, {"low-agogo", 68},  {"shaker", 70},    {"guiro", 73},
     {"claves", 75},      {"high-block", 76}, {"low-block", 77},  {"triangle", 81}}};

}  // namespace

int drum_key(std::string_view name) {
  for (const DrumName& each : drum_names) {
    if (each.name == name) return each.key;
  }
  return 0;
}

std::string drum_names_hint(std::string_view name) {
  std::vector<std::string> names;
  for (const DrumName& each : drum_names) names.emplace_back(each.name);
  if (const auto near = nearest_word(name, names)) return fmt::format("did you mean {}?", *near);
  return fmt::format("choose {}", fmt::join(names, ", "));
}

}  // namespace romanesca
