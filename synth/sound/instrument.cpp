#include "synth/sound/instrument.h"

#include <algorithm>
#include <array>
#include <utility>

namespace romanesca {
namespace {

using Id = InstrumentId;

// name, drums, lowest, highest, program, gain, pan, reverb, insert
constexpr std::array<InstrumentRow, 23> table{{
    {Id::drum_kit, "drum-kit", true, 35, 81, 0, -2.5f, 0, -22, Insert::none},
    {Id::brush_kit, "brush-kit", true, 35, 81, 40, -0.5f, 0, -18, Insert::none},
    {Id::electric_bass, "electric-bass", false, 28, 60, 33, -9, 0, -40, Insert::none},
    {Id::upright_bass, "upright-bass", false, 28, 60, 32, -9, 0, -26, Insert::none},
    {Id::piano, "piano", false, 21, 108, 0, -17, -0.15f, -17, Insert::none},
    {Id::electric_piano, "electric-piano", false, 28, 103, 4, -16, -0.2f, -16, Insert::chorus},
    {Id::nylon_guitar, "nylon-guitar", false, 40, 88, 24, -18.5f, 0.3f, -16, Insert::none},
    {Id::steel_guitar, "steel-guitar", false, 40, 88, 25, -19, 0.3f, -17, Insert::none},
    {Id::organ, "organ", false, 36, 96, 16, -21, 0.15f, -14, Insert::rotary},
    {Id::strings, "strings", false, 36, 96, 48, -24.5f, 0, -11, Insert::chorus},
    {Id::pad, "pad", false, 36, 96, 89, -26, 0.1f, -11, Insert::chorus},
    {Id::bell, "bell", false, 60, 108, 9, -15.4f, 0.25f, -12, Insert::none},
    {Id::vibraphone, "vibraphone", false, 53, 96, 11, -16, 0.25f, -13, Insert::fans},
    {Id::lead, "lead", false, 48, 96, 80, -17.5f, 0, -14, Insert::none},
    {Id::click, "click", true, 76, 77, 0, -2, 0, -60, Insert::none},
    {Id::clean_guitar, "clean-guitar", false, 40, 88, 27, -19, 0.3f, -16, Insert::none},
    {Id::muted_guitar, "muted-guitar", false, 40, 88, 28, -11, 0.3f, -22, Insert::none},
    {Id::driven_guitar, "driven-guitar", false, 40, 88, 29, -22.5f, 0.3f, -19, Insert::none},
    {Id::synth_bass, "synth-bass", false, 28, 60, 38, -10, 0, -40, Insert::none},
    {Id::brass, "brass", false, 40, 88, 61, -21, -0.1f, -14, Insert::chorus},
    {Id::accordion, "accordion", false, 41, 96, 21, -22.5f, 0.15f, -17, Insert::chorus},
    {Id::clarinet, "clarinet", false, 50, 92, 71, -19.5f, 0.1f, -14, Insert::none},
    {Id::flute, "flute", false, 60, 96, 73, -18, -0.1f, -13, Insert::none},
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
  // The brush set of General MIDI 2 is program 41 counted from 1, on the percussion channel.
  if (drums) return program == 40 ? Id::brush_kit : Id::drum_kit;
  // Programs of General MIDI System Level 1 that differ from their family, then the families of eight.
  constexpr std::array<std::pair<int, InstrumentId>, 24> own{
      {{4, Id::electric_piano}, {5, Id::electric_piano}, {11, Id::vibraphone},   {12, Id::vibraphone},
       {13, Id::vibraphone},    {21, Id::accordion},     {22, Id::accordion},    {23, Id::accordion},
       {24, Id::nylon_guitar},  {26, Id::clean_guitar},  {27, Id::clean_guitar}, {28, Id::muted_guitar},
       {29, Id::driven_guitar}, {30, Id::driven_guitar}, {31, Id::clean_guitar}, {32, Id::upright_bass},
       {38, Id::synth_bass},    {39, Id::synth_bass},    {43, Id::upright_bass}, {46, Id::nylon_guitar},
       {47, Id::bell},          {52, Id::pad},           {53, Id::pad},          {54, Id::pad}}};
  for (const auto& [each, id] : own) {
    if (each == program) return id;
  }
  constexpr std::array<InstrumentId, 16> families{
      Id::piano,    Id::bell,  Id::organ, Id::steel_guitar, Id::electric_bass, Id::strings,      Id::strings, Id::brass,
      Id::clarinet, Id::flute, Id::lead,  Id::pad,          Id::pad,           Id::nylon_guitar, Id::bell,    Id::pad};
  return families[static_cast<std::size_t>(std::clamp(program, 0, 127) / 8)];
}

}  // namespace romanesca
