#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <string_view>

#include "synth/sound/player.h"

namespace romanesca {

enum class InstrumentId {
  drum_kit,
  brush_kit,
  electric_bass,
  upright_bass,
  piano,
  electric_piano,
  nylon_guitar,
  steel_guitar,
  organ,
  strings,
  pad,
  bell,
  vibraphone,
  lead,
  click,
  clean_guitar,
  muted_guitar,
  driven_guitar,
  synth_bass,
  brass,
  accordion,
  clarinet,
  flute
};

/// The effect of an instrument's channel strip.
enum class Insert { none, chorus, rotary, fans };

/// A row of the one table of instruments.
struct InstrumentRow {
  InstrumentId id;
  std::string_view name;  ///< as styles and files write it: "electric-piano"
  bool drums;             ///< its notes are keys of General MIDI percussion, on channel 10 of a MIDI file
  int lowest, highest;    ///< MIDI notes it is made for; others sound too
  int program;            ///< General MIDI program, 0 to 127, for MIDI files
  float gain_db;          ///< that balances it with the others, found by measuring a note of each
  float pan;              ///< -1 left, 0 middle, 1 right
  float reverb_db;        ///< level sent to the reverb, relative to the dry sound
  Insert insert;
};

[[nodiscard]] std::span<const InstrumentRow> instruments() noexcept;
[[nodiscard]] const InstrumentRow& instrument(InstrumentId id) noexcept;
/// By its name; null for an unknown one.
[[nodiscard]] const InstrumentRow* instrument_named(std::string_view name) noexcept;
/// Makes a player. @param sample_rate_hz 8000 to 192000 @param keys that will be played, for drums.
[[nodiscard]] std::unique_ptr<Player> make_player(InstrumentId id, double sample_rate_hz, const KeySet& keys);
/// The most similar to a General MIDI program. @param program 0 to 127. @param drums on the percussion channel.
[[nodiscard]] InstrumentId instrument_for_program(int program, bool drums) noexcept;

}  // namespace romanesca
