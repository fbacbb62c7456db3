#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "synth/sound/instrument.h"
#include "theory/notes/note_event.h"

namespace romanesca {

/// Musical time in seconds: tempos, each of which holds from its position to the next.
class TempoMap {
 public:
  /// One tempo throughout. @param quarters_per_minute 1 to 2000.
  explicit TempoMap(double quarters_per_minute = 120);

  /// Another tempo from @p at on. Positions must ascend; one equal to the last replaces it.
  void change(Beats at, double quarters_per_minute);

  [[nodiscard]] double seconds_at(Beats position) const noexcept;
  /// The nearest frame, counted from the start of the piece so that rounding does not accumulate.
  [[nodiscard]] std::int64_t frame_at(Beats position, double sample_rate_hz) const noexcept;

  struct Tempo {
    Beats at;
    double seconds = 0;  ///< of that position
    double quarters_per_minute = 120;
  };
  [[nodiscard]] const std::vector<Tempo>& tempos() const noexcept { return tempos_; }

 private:
  std::vector<Tempo> tempos_;
};

/// A part of the band.
struct Part {
  std::string name;
  InstrumentId instrument = InstrumentId::piano;
  float gain_db = 0;  ///< on top of the instrument's own, -60 to 12
  bool muted = false;
};

/// Notes, who plays them, and how fast: all that is needed to make sound.
struct Performance {
  std::vector<NoteEvent> events;  ///< any order; part is an index into parts
  std::vector<Part> parts;
  TempoMap tempo;
  Beats length;  ///< musical length; notes may ring past it
};

}  // namespace romanesca
