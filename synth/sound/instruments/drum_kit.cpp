#include <array>

#include "synth/sound/instruments/instruments.h"
#include "synth/sound/instruments/percussion.h"

namespace romanesca {
namespace {

constexpr int kit_hats = 1;

// Set by comparing levels, decays and octave bands with those of sampled drums; no other source. The modes of the toms
// are those of an ideal membrane, 1.594 and 2.136 times the first (Fletcher & Rossing, ch. 3). Keys: General MIDI
// System Level 1.
constexpr std::array<DrumPatch, 31> kit_patches{{
    {.key = 36,  // kick
     .tones = {{{51, 115, 0.024f, 1.0f, 0.36f}, {95, 700, 0.004f, 0.4f, 0.05f}, {180, 120, 0.01f, 0.10f, 0.09f}}},
     .noises = {{{1400, 6000, 0.34f, 0.02f}, {300, 1400, 0.12f, 0.04f}}},
     .level = 0.8f},
    {.key = 37,  // side stick
     .tones = {{{1680, 250, 0.003f, 0.36f, 0.06f},
                {510, 60, 0.004f, 0.12f, 0.05f},
                {1010, 90, 0.004f, 0.36f, 0.06f},
                {3360, 200, 0.003f, 0.2f, 0.035f}}},
     .noises = {{{2600, 12000, 0.95f, 0.035f}, {1000, 6000, 0.05f, 0.2f}}},
     .level = 0.95f,
     .pan = -0.08f},
    {.key = 38,  // snare
     .tones = {{{184, 55, 0.012f, 0.66f, 0.2f}, {331, 40, 0.01f, 0.30f, 0.14f}, {292, 30, 0.01f, 0.16f, 0.16f}}},
     .noises = {{{1300, 11000, 0.40f, 0.30f}, {2600, 9000, 0.30f, 0.06f}, {400, 1600, 0.14f, 0.16f}}},
     .level = 1.0f,
     .pan = -0.06f},
    {.key = 39,  // clap
     .noises = {{{850, 3400, 0.62f, 0.2f}, {2400, 9000, 0.24f, 0.08f}, {500, 1200, 0.1f, 0.1f}}},
     .bursts = 3,
     .level = 1.3f,
     .pan = 0.12f},
    {.key = 41,  // low tom
     .tones = {{{84, 42, 0.035f, 0.9f, 2.1f},
                {133.896, 37.8, 0.02f, 0.24f, 0.625f},
                {179.424, 33.6, 0.015f, 0.10f, 0.4375f}}},
     .noises = {{{500, 7500, 0.75f, 0.05f}, {300, 1800, 0.28f, 0.1f}}},
     .level = 0.72f,
     .pan = -0.35f},
    {.key = 42,  // closed hat
     .noises = {{{6800, 16000, 0.34f, 0.15f}, {9500, 17000, 0.22f, 0.02f}, {500, 4500, 0.05f, 0.06f}}},
     .metal = {3300, 0.22f, 0.14f},
     .choke_group = kit_hats,
     .level = 0.8f,
     .pan = 0.3f},
    {.key = 44,  // pedal hat
     .noises = {{{4200, 12000, 0.30f, 0.12f, 0.004f}, {400, 2500, 0.12f, 0.05f}}},
     .metal = {2900, 0.2f, 0.1f},
     .choke_group = kit_hats,
     .level = 0.5f,
     .pan = 0.3f},
    {.key = 45,  // mid tom
     .tones =
         {{{121, 50, 0.035f, 0.9f, 2.3f}, {192.874, 45, 0.02f, 0.24f, 0.55f}, {258.456, 40, 0.015f, 0.10f, 0.385f}}},
     .noises = {{{500, 7500, 0.75f, 0.05f}, {300, 1800, 0.28f, 0.1f}}},
     .level = 0.68f,
     .pan = -0.05f},
    {.key = 46,  // open hat
     .noises = {{{6200, 16000, 0.32f, 1.6f}, {9000, 17000, 0.18f, 0.05f}, {500, 5000, 0.06f, 0.4f}}},
     .metal = {3300, 0.24f, 1.6f},
     .choke_group = kit_hats,
     .level = 0.66f,
     .pan = 0.3f},
    {.key = 49,  // crash
     .noises = {{{2800, 14500, 0.36f, 3.3f, 0.003f}, {600, 3200, 0.32f, 0.7f}, {6000, 16000, 0.2f, 0.4f}}},
     .metal = {1250, 0.22f, 3.0f},
     .level = 1.0f,
     .pan = 0.4f},
    {.key = 50,  // high tom
     .tones =
         {{{168, 60, 0.035f, 0.9f, 1.9f}, {267.792, 54, 0.02f, 0.24f, 0.475f}, {358.848, 48, 0.015f, 0.10f, 0.3325f}}},
     .noises = {{{500, 7500, 0.75f, 0.05f}, {300, 1800, 0.28f, 0.1f}}},
     .level = 0.66f,
     .pan = 0.2f},
    {.key = 51,  // ride
     .noises = {{{5200, 15000, 0.14f, 1.5f}, {7000, 17000, 0.40f, 0.035f}, {700, 4000, 0.05f, 0.5f}}},
     .metal = {2500, 0.30f, 1.9f},
     .level = 0.42f,
     .pan = -0.35f},
    {.key = 53,  // ride bell
     .noises = {{{6000, 15000, 0.10f, 0.8f}, {3000, 12000, 0.2f, 0.02f}}},
     .metal = {1180, 0.45f, 2.0f, 9},
     .level = 0.55f,
     .pan = -0.35f},
    {.key = 54,  // tambourine
     .noises = {{{6500, 15500, 0.4f, 0.22f, 0.002f}}},
     .metal = {5100, 0.3f, 0.24f, 9},
     .bursts = 2,
     .burst_s = 0.022f,
     .level = 1.2f,
     .pan = -0.25f},
    {.key = 56,  // cowbell
     .tones = {{{562, 0, 0.02f, 0.5f, 0.26f},
                {845, 0, 0.02f, 0.42f, 0.2f},
                {1730, 0, 0.02f, 0.3f, 0.12f},
                {2640, 0, 0.02f, 0.2f, 0.08f}}},
     .noises = {{{2000, 14000, 1.1f, 0.04f}}},
     .level = 0.62f,
     .pan = 0.2f},
    {.key = 62,  // muted conga
     .tones = {{{338, 60, 0.006f, 0.8f, 0.12f}, {780, 40, 0.006f, 0.4f, 0.08f}}},
     .noises = {{{800, 10000, 0.8f, 0.035f}}},
     .level = 0.72f,
     .pan = -0.22f},
    {.key = 63,  // open conga
     .tones = {{{292, 24, 0.02f, 0.9f, 0.5f}, {461, 20, 0.01f, 0.2f, 0.2f}, {720, 20, 0.01f, 0.2f, 0.12f}}},
     .noises = {{{700, 10000, 0.7f, 0.03f}, {500, 2000, 0.3f, 0.05f}}},
     .level = 0.62f,
     .pan = -0.22f},
    {.key = 64,  // low conga
     .tones = {{{206, 20, 0.025f, 0.95f, 0.5f}, {327, 16, 0.012f, 0.2f, 0.2f}, {510, 16, 0.01f, 0.16f, 0.12f}}},
     .noises = {{{700, 9000, 0.5f, 0.03f}, {400, 1800, 0.2f, 0.05f}}},
     .level = 0.68f,
     .pan = -0.3f},
    {.key = 65,  // high timbale
     .tones = {{{392, 34, 0.008f, 0.55f, 0.32f},
                {625, 24, 0.006f, 0.28f, 0.26f},
                {1040, 20, 0.005f, 0.26f, 0.2f},
                {2260, 0, 0.004f, 0.2f, 0.12f}}},
     .noises = {{{1500, 12000, 0.8f, 0.05f}, {3500, 14000, 0.3f, 0.16f}}},
     .metal = {1900, 0.2f, 0.3f},
     .level = 0.62f,
     .pan = -0.18f},
    {.key = 66,  // low timbale
     .tones = {{{262, 26, 0.01f, 0.65f, 0.4f},
                {418, 20, 0.008f, 0.3f, 0.3f},
                {700, 16, 0.006f, 0.26f, 0.22f},
                {1500, 0, 0.004f, 0.2f, 0.12f}}},
     .noises = {{{1200, 11000, 0.75f, 0.05f}, {3000, 13000, 0.25f, 0.16f}}},
     .metal = {1600, 0.16f, 0.3f},
     .level = 0.64f,
     .pan = 0.02f},
    {.key = 67,  // high agogo, a fourth over the low one
     .tones = {{{1480, 0, 0.02f, 0.42f, 0.4f},
                {3060, 0, 0.02f, 0.3f, 0.3f},
                {4085, 0, 0.02f, 0.24f, 0.2f},
                {6690, 0, 0.02f, 0.2f, 0.14f}}},
     .noises = {{{4000, 15000, 0.9f, 0.03f}}},
     .level = 0.5f,
     .pan = 0.28f},
    {.key = 68,  // low agogo
     .tones = {{{1110, 0, 0.02f, 0.42f, 0.45f},
                {3065, 0, 0.02f, 0.32f, 0.32f},
                {4520, 0, 0.02f, 0.26f, 0.22f},
                {6300, 0, 0.02f, 0.2f, 0.15f}}},
     .noises = {{{4000, 15000, 0.9f, 0.03f}}},
     .level = 0.5f,
     .pan = 0.28f},
    {.key = 70,  // shaker
     .noises = {{{5500, 16000, 0.4f, 0.09f, 0.01f}, {9000, 18000, 0.3f, 0.06f, 0.014f}}},
     .level = 2.2f,
     .pan = 0.25f},
    {.key = 73,  // short guiro: a stick over some ridges
     .noises = {{{2300, 8500, 0.6f, 0.014f}, {4500, 13000, 0.2f, 0.009f}}},
     .bursts = 9,
     .burst_s = 0.0095f,
     .level = 1.25f,
     .pan = -0.25f},
    {.key = 74,  // long guiro
     .noises = {{{2300, 8500, 0.6f, 0.014f}, {4500, 13000, 0.2f, 0.009f}}},
     .bursts = 28,
     .burst_s = 0.0105f,
     .level = 1.0f,
     .pan = -0.25f},
    {.key = 75,  // claves
     .tones = {{{2480, 0, 0.004f, 0.8f, 0.09f}}},
     .noises = {{{2500, 9000, 0.25f, 0.01f}}},
     .level = 0.6f,
     .pan = 0.2f},
    {.key = 76,  // high block
     .tones = {{{1320, 60, 0.004f, 1.0f, 0.09f},
                {2690, 0, 0.004f, 0.3f, 0.05f},
                {660, 0, 0.004f, 0.15f, 0.06f},
                {4010, 0, 0.004f, 0.25f, 0.04f}}},
     .noises = {{{1500, 12000, 0.5f, 0.015f}}},
     .level = 0.5f,
     .pan = 0.1f},
    {.key = 77,  // low block
     .tones = {{{880, 50, 0.004f, 1.0f, 0.09f},
                {1790, 0, 0.004f, 0.3f, 0.05f},
                {450, 0, 0.004f, 0.15f, 0.06f},
                {3200, 0, 0.004f, 0.25f, 0.04f}}},
     .noises = {{{1200, 11000, 0.5f, 0.015f}}},
     .level = 0.5f,
     .pan = 0.1f},
    {.key = 69,  // cabasa
     .noises = {{{6000, 16000, 0.4f, 0.12f, 0.004f}}},
     .level = 1.2f,
     .pan = 0.25f},
    {.key = 52,  // china cymbal
     .noises = {{{1800, 12000, 0.36f, 1.8f, 0.002f}, {500, 2400, 0.2f, 0.5f}}},
     .metal = {830, 0.24f, 1.6f},
     .level = 0.9f,
     .pan = -0.4f},
    {.key = 81,  // triangle
     .metal = {4300, 0.4f, 1.6f, 3},
     .level = 0.3f,
     .pan = 0.3f},
}};

// Without noise: every click is the same.
constexpr std::array<DrumPatch, 2> click_patches{{
    {.key = 76,
     .tones = {{{1760, 0, 0.01f, 0.9f, 0.05f}, {3520, 0, 0.01f, 0.4f, 0.03f}, {5900, 0, 0.01f, 0.3f, 0.015f}}},
     .level = 0.6f},
    {.key = 77,
     .tones = {{{1175, 0, 0.01f, 0.9f, 0.05f},
                {2350, 0, 0.01f, 0.25f, 0.03f},
                {3525, 0, 0.01f, 0.3f, 0.03f},
                {5200, 0, 0.01f, 0.25f, 0.015f}}},
     .level = 0.5f},
}};

}  // namespace

std::unique_ptr<Player> drum_kit(double sample_rate_hz, const KeySet& keys) {
  return std::make_unique<Percussion>(kit_patches, sample_rate_hz, keys);
}

std::unique_ptr<Player> click(double sample_rate_hz, const KeySet& keys) {
  return std::make_unique<Percussion>(click_patches, sample_rate_hz, keys);
}

}  // namespace romanesca
