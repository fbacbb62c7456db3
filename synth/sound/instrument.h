#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <string_view>

#include "synth/sound/recipe.h"

namespace romanesca {

enum class InstrumentId { drum_kit, bass, electric_piano, piano, guitar, pad, organ, mallet };

/// A row of the one table of instruments.
struct InstrumentRow {
  InstrumentId id;
  std::string_view name;                    ///< as styles and files write it: "electric-piano"
  int lowest, highest;                      ///< MIDI notes it is made for; others sound too
  int program;                              ///< General MIDI program, 0 to 127, that a MIDI file asks for
  float gain_db;                            ///< that balances it with the others, found by measuring a note of each
  float pan;                                ///< its place: -1 left, 0 middle, 1 right
  float reverb_db;                          ///< level sent to the reverb, relative to the dry sound
  Recipe (*recipe)(const Touch&) noexcept;  ///< nothing for drums
};

[[nodiscard]] std::span<const InstrumentRow> instruments() noexcept;
[[nodiscard]] const InstrumentRow& instrument(InstrumentId id) noexcept;
/// By its name; nothing for another word.
[[nodiscard]] const InstrumentRow* instrument_named(std::string_view name) noexcept;
/// The nearest to a General MIDI program. @param program 0 to 127. @param drums on the percussion channel.
[[nodiscard]] InstrumentId instrument_for_program(int program, bool drums) noexcept;

/// Something that plays notes. All memory is settled when it is made; nothing below allocates, locks or throws.
class Player {
 public:
  virtual ~Player() = default;
  Player() = default;
  Player(const Player&) = delete;
  Player& operator=(const Player&) = delete;

  /// @param midi 0 to 127 @param velocity 1 to 127 @param seed makes the noise of the attack.
  virtual void note_on(int midi, int velocity, std::uint32_t seed) noexcept = 0;
  virtual void note_off(int midi) noexcept = 0;
  /// Adds to the output. @param frames at most slice_frames.
  virtual void add_to(float* out, std::size_t frames) noexcept = 0;
  [[nodiscard]] virtual bool silent() const noexcept = 0;
};

/// @param sample_rate_hz 8000 to 192000.
[[nodiscard]] std::unique_ptr<Player> make_player(InstrumentId id, double sample_rate_hz);

}  // namespace romanesca
