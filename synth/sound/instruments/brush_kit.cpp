#include <array>

#include "synth/sound/instruments/instruments.h"
#include "synth/sound/instruments/percussion.h"

namespace romanesca {
namespace {

constexpr int brush_hats = 1;

// Set by comparing levels, decays and octave bands with those of sampled drums; no other source. Keys: brush set of
// General MIDI 2.
constexpr std::array<DrumPatch, 14> brush_patches{{
    {.key = 36,  // kick, with a felt beater
     .tones = {{{58, 60, 0.02f, 0.9f, 0.36f}}},
     .noises = {{{300, 1800, 0.16f, 0.03f}, {1500, 6000, 0.06f, 0.015f}}},
     .level = 0.8f},
    {.key = 37,  // side stick
     .tones = {{{1540, 200, 0.003f, 0.36f, 0.04f}, {470, 50, 0.004f, 0.45f, 0.045f}}},
     .noises = {{{1300, 6000, 0.22f, 0.018f}}},
     .level = 0.42f,
     .pan = -0.08f},
    {.key = 38,  // tap
     .tones = {{{196, 30, 0.01f, 0.34f, 0.14f}, {340, 20, 0.01f, 0.14f, 0.1f}}},
     .noises = {{{1100, 8000, 0.3f, 0.2f, 0.002f}, {300, 1500, 0.2f, 0.12f}}},
     .level = 0.85f,
     .pan = -0.06f},
    {.key = 39,  // slap
     .tones = {{{210, 40, 0.01f, 0.4f, 0.14f}, {350, 40, 0.01f, 0.16f, 0.1f}}},
     .noises = {{{1500, 12000, 0.5f, 0.26f}, {400, 2600, 0.26f, 0.12f}}},
     .level = 0.9f,
     .pan = -0.06f},
    {.key = 40,  // swirl
     .noises = {{{1200, 8500, 0.30f, 0.5f, 0.12f}, {400, 1600, 0.10f, 0.4f, 0.1f}, {3000, 11000, 0.10f, 0.5f, 0.18f}}},
     .level = 0.95f,
     .pan = -0.1f},
    {.key = 41,  // low tom
     .tones = {{{92, 24, 0.03f, 0.8f, 1.1f}, {147, 20, 0.02f, 0.2f, 0.5f}}},
     .noises = {{{400, 3000, 0.16f, 0.06f, 0.001f}}},
     .level = 0.55f,
     .pan = -0.35f},
    {.key = 42,  // closed hat
     .noises = {{{6200, 15500, 0.3f, 0.13f, 0.001f}, {500, 4500, 0.05f, 0.06f}}},
     .metal = {3200, 0.14f, 0.12f},
     .choke_group = brush_hats,
     .level = 0.32f,
     .pan = 0.3f},
    {.key = 44,  // pedal hat
     .noises = {{{4200, 12000, 0.3f, 0.12f, 0.004f}, {400, 2500, 0.12f, 0.05f}}},
     .metal = {2800, 0.2f, 0.1f},
     .choke_group = brush_hats,
     .level = 0.45f,
     .pan = 0.3f},
    {.key = 45,  // mid tom
     .tones = {{{131, 30, 0.025f, 0.8f, 1.0f}, {209, 24, 0.02f, 0.2f, 0.45f}}},
     .noises = {{{500, 3600, 0.16f, 0.05f, 0.001f}}},
     .level = 0.52f,
     .pan = -0.05f},
    {.key = 46,  // open hat
     .noises = {{{5800, 15500, 0.28f, 1.4f, 0.002f}, {500, 5000, 0.05f, 0.4f}}},
     .metal = {3200, 0.14f, 1.4f},
     .choke_group = brush_hats,
     .level = 0.62f,
     .pan = 0.3f},
    {.key = 49,  // crash
     .noises = {{{2600, 14000, 0.3f, 3.0f, 0.006f}, {600, 3200, 0.2f, 0.7f}}},
     .metal = {1250, 0.14f, 2.8f},
     .level = 0.9f,
     .pan = 0.4f},
    {.key = 50,  // high tom
     .tones = {{{178, 40, 0.02f, 0.8f, 0.9f}, {284, 30, 0.02f, 0.2f, 0.4f}}},
     .noises = {{{600, 4000, 0.16f, 0.045f, 0.001f}}},
     .level = 0.5f,
     .pan = 0.2f},
    {.key = 51,  // ride
     .noises = {{{5200, 15000, 0.18f, 1.5f, 0.001f}, {6500, 16000, 0.2f, 0.06f}, {700, 4000, 0.05f, 0.5f}}},
     .metal = {2500, 0.22f, 1.8f},
     .level = 0.3f,
     .pan = -0.35f},
    {.key = 53,  // ride bell
     .noises = {{{6000, 14500, 0.1f, 0.8f}}},
     .metal = {1180, 0.36f, 1.8f, 9},
     .level = 0.5f,
     .pan = -0.35f},
}};

}  // namespace

std::unique_ptr<Player> brush_kit(double sample_rate_hz, const KeySet& keys) {
  return std::make_unique<Percussion>(brush_patches, sample_rate_hz, keys);
}

}  // namespace romanesca
