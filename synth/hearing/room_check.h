#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "synth/hearing/tone_listener.h"

namespace romanesca {

/// What a microphone gives of a room and a piano.
struct RoomReport {
  double quiet_dbfs = -120;  ///< mean level of the room alone, re a full square wave
  double piano_dbfs = -120;  ///< level of the loudest tenth of a second while the piano was played
  double hum_hz = 0;         ///< 50 or 60 where the mains hum is heard, else 0
  bool clipped = false;      ///< samples at full level, more than one in ten thousand
  int onsets = 0;            ///< while the piano was played
  double tuning_cents = 0;   ///< of the piano above 440 Hz
};

/// What stands out in a report. The thresholds are judgement, without a source.
struct RoomFindings {
  bool heard = false;      ///< a piano at least 3 dB above the room
  bool soft = false;       ///< a piano below -45 dBFS
  bool loud_room = false;  ///< less than 15 dB below the piano
  bool in_tune = false;    ///< within 5 cents of 440 Hz
};
[[nodiscard]] RoomFindings findings_of(const RoomReport& report) noexcept;

/// Measures a room: first alone, then while the piano is played. Allocates in its constructor only.
class RoomCheck {
 public:
  /// @param input_rate_hz 8000 to 192000
  explicit RoomCheck(double input_rate_hz);
  /// The room alone.
  void push_quiet(std::span<const float> samples) noexcept;
  /// The piano is played. Calls @p use with what is heard.
  template <typename Use>
  void push_playing(std::span<const float> samples, const Use& use) noexcept {
    measure_playing(samples);
    listener_.push(samples, use);
  }
  [[nodiscard]] RoomReport report() const noexcept;

 private:
  /// How strong one frequency is: a resonator without loss (Goertzel, Am. Math. Monthly 65, 1958).
  struct Line {
    double factor = 0, before = 0, last = 0;
    void push(double sample) noexcept;
    [[nodiscard]] double power() const noexcept { return before * before + last * last - factor * before * last; }
  };
  void measure_playing(std::span<const float> samples) noexcept;

  static constexpr std::array<double, 8> line_hz{50, 60, 100, 120, 43, 55, 85, 110};  ///< hum, and beside it
  double rate_hz_;
  std::array<Line, line_hz.size()> lines_{};
  double quiet_ = 0, block_ = 0, loudest_ = 0;
  std::size_t quiet_count_ = 0, block_count_ = 0, playing_count_ = 0, clipped_ = 0;
  ToneListener listener_;
};

}  // namespace romanesca
