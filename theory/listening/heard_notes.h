#pragma once

#include <bitset>
#include <cstdint>

namespace romanesca {

/// The keys of one keyboard as they come in. Keys struck twice or let go twice do no harm; notes outside 0 to 127 are
/// left out.
class HeardNotes {
 public:
  using Keys = std::bitset<128>;

  void key_down(int midi) noexcept;
  void key_up(int midi) noexcept;
  /// The sustain pedal (controller 64). @param value 64 and more is down (MIDI 1.0)
  void pedal(int value) noexcept;
  void all_up() noexcept;

  /// Held by fingers.
  [[nodiscard]] const Keys& held() const noexcept { return held_; }
  /// Held by fingers or by the pedal.
  [[nodiscard]] const Keys& sounding() const noexcept { return sounding_; }

 private:
  Keys held_, sounding_;
  bool pedal_ = false;
};

}  // namespace romanesca
