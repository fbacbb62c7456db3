#include "synth/sound/instrument.h"

#include <algorithm>
#include <array>

#include "synth/sound/bass.h"
#include "synth/sound/drum_kit.h"
#include "synth/sound/electric_piano.h"
#include "synth/sound/guitar.h"
#include "synth/sound/mallet.h"
#include "synth/sound/organ.h"
#include "synth/sound/pad.h"
#include "synth/sound/piano.h"
#include "synth/sound/pitched_player.h"

namespace romanesca {
namespace {

Recipe warm_pad(const Touch& touch) noexcept {
  constexpr float spread_cents = 3.5f;
  return pad(touch, spread_cents);
}

constexpr std::array<InstrumentRow, 8> table{{
    {InstrumentId::drum_kit, "drum-kit", 35, 81, 0, -6.0f, 0.0f, -22.0f, nullptr},
    {InstrumentId::bass, "bass", 28, 60, 33, -7.0f, 0.0f, -40.0f, bass},
    {InstrumentId::electric_piano, "electric-piano", 28, 103, 4, -15.0f, -0.25f, -15.0f, electric_piano},
    {InstrumentId::piano, "piano", 21, 108, 0, -14.0f, -0.2f, -16.0f, piano},
    {InstrumentId::guitar, "guitar", 40, 88, 24, -15.0f, 0.3f, -16.0f, guitar},
    {InstrumentId::pad, "pad", 36, 96, 89, -22.0f, 0.2f, -10.0f, warm_pad},
    {InstrumentId::organ, "organ", 36, 96, 19, -20.0f, 0.15f, -12.0f, organ},
    {InstrumentId::mallet, "mallet", 45, 108, 12, -13.0f, 0.25f, -14.0f, mallet},
}};

}  // namespace

std::span<const InstrumentRow> instruments() noexcept { return table; }

const InstrumentRow& instrument(InstrumentId id) noexcept { return table[static_cast<std::size_t>(id)]; }

const InstrumentRow* instrument_named(std::string_view name) noexcept {
  for (const InstrumentRow& row : table) {
    if (row.name == name) return &row;
  }
  return nullptr;
}

InstrumentId instrument_for_program(int program, bool drums) noexcept {
  if (drums) return InstrumentId::drum_kit;
  // The families of General MIDI (System Level 1, MIDI Association), eight programs each.
  if (program == 4 || program == 5) return InstrumentId::electric_piano;
  constexpr std::array<InstrumentId, 16> families{
      InstrumentId::piano, InstrumentId::mallet, InstrumentId::organ,  InstrumentId::guitar,
      InstrumentId::bass,  InstrumentId::pad,    InstrumentId::pad,    InstrumentId::organ,
      InstrumentId::organ, InstrumentId::organ,  InstrumentId::organ,  InstrumentId::pad,
      InstrumentId::pad,   InstrumentId::guitar, InstrumentId::mallet, InstrumentId::pad};
  return families[static_cast<std::size_t>(std::clamp(program, 0, 127) / 8)];
}

std::unique_ptr<Player> make_player(InstrumentId id, double sample_rate_hz) {
  if (id == InstrumentId::drum_kit) return std::make_unique<DrumKit>(sample_rate_hz);
  return std::make_unique<PitchedPlayer>(instrument(id).recipe, sample_rate_hz);
}

}  // namespace romanesca
