#include "synth/sound/instruments/click.h"

#include <array>

#include "synth/sound/instruments/percussion.h"

namespace romanesca {
namespace {

constexpr std::array<DrumPatch, 2> click_recipes{{
    {.key = 76, .tones = {{{1760, 0, 0.01f, 0.9f, 0.05f}, {3520, 0, 0.01f, 0.25f, 0.02f}}}, .level = 0.6f},
    {.key = 77, .tones = {{{1175, 0, 0.01f, 0.9f, 0.05f}, {2350, 0, 0.01f, 0.2f, 0.02f}}}, .level = 0.5f},
}};

}  // namespace

std::unique_ptr<Player> click(double sample_rate_hz, const KeySet& keys) {
  return std::make_unique<Percussion>(click_recipes, sample_rate_hz, keys);
}

}  // namespace romanesca
