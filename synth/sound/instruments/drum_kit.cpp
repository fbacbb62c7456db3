#include <array>

#include "synth/sound/instruments/instruments.h"
#include "synth/sound/instruments/percussion.h"

namespace romanesca {
namespace {

constexpr int kit_hats = 1;

// Set by looking at spectra and levels; no source. Keys: General MIDI System Level 1.
constexpr std::array<DrumPatch, 25> kit_patches{{
    {.key = 36,  // kick
     .tones = {{{51, 115, 0.024f, 1.0f, 0.42f}, {95, 700, 0.004f, 0.35f, 0.05f}}},
     .noises = {{{1400, 5200, 0.12f, 0.014f}}},
     .level = 1.0f},
    {.key = 37,  // side stick
     .tones = {{{1680, 250, 0.003f, 0.45f, 0.045f}, {510, 60, 0.004f, 0.5f, 0.05f}}},
     .noises = {{{1500, 7000, 0.3f, 0.02f}}},
     .level = 0.5f,
     .pan = -0.08f},
    {.key = 38,  // snare
     .tones = {{{184, 55, 0.012f, 0.6f, 0.15f}, {331, 40, 0.01f, 0.28f, 0.10f}}},
     .noises = {{{1300, 9500, 0.42f, 0.21f}, {2600, 7000, 0.30f, 0.055f}}},
     .level = 0.72f,
     .pan = -0.06f},
    {.key = 39,  // clap
     .noises = {{{850, 2700, 0.62f, 0.17f}, {2400, 7000, 0.14f, 0.05f}}},
     .bursts = 3,
     .level = 0.6f,
     .pan = 0.12f},
    {.key = 41,  // low tom
     .tones = {{{84, 42, 0.035f, 0.9f, 0.6f}, {141, 40, 0.02f, 0.18f, 0.22f}}},
     .noises = {{{400, 3200, 0.12f, 0.04f}}},
     .level = 0.75f,
     .pan = -0.35f},
    {.key = 42,  // closed hat
     .noises = {{{6800, 15000, 0.34f, 0.065f}, {9500, 17000, 0.16f, 0.018f}}},
     .metal = {3300, 0.26f, 0.06f},
     .choke_group = kit_hats,
     .level = 0.46f,
     .pan = 0.3f},
    {.key = 44,  // pedal hat
     .noises = {{{5200, 12000, 0.30f, 0.05f}}},
     .metal = {2900, 0.2f, 0.045f},
     .choke_group = kit_hats,
     .level = 0.36f,
     .pan = 0.3f},
    {.key = 45,  // mid tom
     .tones = {{{121, 55, 0.03f, 0.9f, 0.5f}, {203, 40, 0.02f, 0.16f, 0.18f}}},
     .noises = {{{500, 3800, 0.12f, 0.035f}}},
     .level = 0.7f,
     .pan = -0.05f},
    {.key = 46,  // open hat
     .noises = {{{6200, 15000, 0.32f, 0.55f}, {9000, 17000, 0.14f, 0.03f}}},
     .metal = {3300, 0.28f, 0.5f},
     .choke_group = kit_hats,
     .level = 0.42f,
     .pan = 0.3f},
    {.key = 49,  // crash
     .noises = {{{2800, 13500, 0.34f, 1.9f, 0.003f}, {700, 3200, 0.14f, 0.5f}}},
     .metal = {1250, 0.26f, 1.6f},
     .level = 0.52f,
     .pan = 0.4f},
    {.key = 50,  // high tom
     .tones = {{{168, 70, 0.028f, 0.9f, 0.42f}, {281, 50, 0.02f, 0.15f, 0.15f}}},
     .noises = {{{600, 4200, 0.12f, 0.03f}}},
     .level = 0.66f,
     .pan = 0.2f},
    {.key = 51,  // ride
     .noises = {{{5200, 14000, 0.12f, 0.9f}, {7000, 15000, 0.16f, 0.03f}}},
     .metal = {2500, 0.34f, 1.1f},
     .level = 0.34f,
     .pan = -0.35f},
    {.key = 53,  // ride bell
     .noises = {{{6000, 14000, 0.06f, 0.5f}}},
     .metal = {1180, 0.5f, 1.2f, 7},
     .level = 0.34f,
     .pan = -0.35f},
    {.key = 54,  // tambourine
     .noises = {{{6500, 14500, 0.4f, 0.10f, 0.002f}}},
     .metal = {5100, 0.3f, 0.16f, 9},
     .bursts = 2,
     .burst_s = 0.022f,
     .level = 0.36f,
     .pan = -0.25f},
    {.key = 56,  // cowbell
     .tones = {{{562, 0, 0.02f, 0.5f, 0.22f}, {845, 0, 0.02f, 0.42f, 0.18f}}},
     .noises = {{{1500, 7000, 0.10f, 0.015f}}},
     .level = 0.38f,
     .pan = 0.2f},
    {.key = 62,  // muted conga
     .tones = {{{338, 60, 0.006f, 0.8f, 0.07f}}},
     .noises = {{{900, 5200, 0.26f, 0.02f}}},
     .level = 0.5f,
     .pan = -0.22f},
    {.key = 63,  // open conga
     .tones = {{{292, 24, 0.02f, 0.9f, 0.34f}, {461, 20, 0.01f, 0.16f, 0.12f}}},
     .noises = {{{700, 4200, 0.12f, 0.018f}}},
     .level = 0.52f,
     .pan = -0.22f},
    {.key = 64,  // low conga
     .tones = {{{206, 20, 0.025f, 0.95f, 0.4f}, {327, 16, 0.012f, 0.16f, 0.14f}}},
     .noises = {{{500, 3400, 0.12f, 0.02f}}},
     .level = 0.56f,
     .pan = -0.3f},
    {.key = 70,  // shaker
     .noises = {{{4800, 13000, 0.4f, 0.075f, 0.012f}}},
     .level = 0.34f,
     .pan = 0.25f},
    {.key = 75,  // claves
     .tones = {{{2480, 0, 0.004f, 0.8f, 0.08f}}},
     .noises = {{{2500, 8000, 0.10f, 0.006f}}},
     .level = 0.42f,
     .pan = 0.2f},
    {.key = 76,  // high block
     .tones = {{{1320, 60, 0.004f, 1.0f, 0.09f}, {2690, 0, 0.004f, 0.2f, 0.04f}}},
     .noises = {{{1500, 6000, 0.10f, 0.01f}}},
     .level = 0.5f,
     .pan = 0.1f},
    {.key = 77,  // low block
     .tones = {{{880, 50, 0.004f, 1.0f, 0.09f}, {1790, 0, 0.004f, 0.2f, 0.04f}}},
     .noises = {{{1000, 5000, 0.10f, 0.01f}}},
     .level = 0.5f,
     .pan = 0.1f},
    {.key = 69,  // cabasa
     .noises = {{{6000, 14000, 0.4f, 0.10f, 0.004f}}},
     .level = 0.3f,
     .pan = 0.25f},
    {.key = 52,  // china cymbal
     .noises = {{{1800, 10000, 0.36f, 1.1f, 0.002f}, {500, 2400, 0.2f, 0.4f}}},
     .metal = {830, 0.24f, 1.1f},
     .level = 0.46f,
     .pan = -0.4f},
    {.key = 81,  // triangle
     .metal = {4300, 0.4f, 1.6f, 3},
     .level = 0.3f,
     .pan = 0.3f},
}};

constexpr std::array<DrumPatch, 2> click_patches{{
    {.key = 76, .tones = {{{1760, 0, 0.01f, 0.9f, 0.05f}, {3520, 0, 0.01f, 0.25f, 0.02f}}}, .level = 0.6f},
    {.key = 77, .tones = {{{1175, 0, 0.01f, 0.9f, 0.05f}, {2350, 0, 0.01f, 0.2f, 0.02f}}}, .level = 0.5f},
}};

}  // namespace

std::unique_ptr<Player> drum_kit(double sample_rate_hz, const KeySet& keys) {
  return std::make_unique<Percussion>(kit_patches, sample_rate_hz, keys);
}

std::unique_ptr<Player> click(double sample_rate_hz, const KeySet& keys) {
  return std::make_unique<Percussion>(click_patches, sample_rate_hz, keys);
}

}  // namespace romanesca
