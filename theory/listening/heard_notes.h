#pragma once

#include <bitset>
#include <cstddef>

namespace romanesca {

/// The keys that are down on one keyboard. Keys struck twice or released twice do no harm; notes outside 0 to 127 are
/// left out.
class HeardNotes {
 public:
  using Keys = std::bitset<128>;

  void key_down(int midi) noexcept {
    if (!is_key(midi)) return;
    held_.set(static_cast<std::size_t>(midi));
    sounding_.set(static_cast<std::size_t>(midi));
  }
  void key_up(int midi) noexcept {
    if (!is_key(midi)) return;
    held_.reset(static_cast<std::size_t>(midi));
    if (!pedal_) sounding_.reset(static_cast<std::size_t>(midi));
  }
  /// The sustain pedal (controller 64). @param value 64 and more is down (MIDI 1.0)
  void pedal(int value) noexcept {
    pedal_ = value >= 64;
    if (!pedal_) sounding_ = held_;
  }
  void all_up() noexcept { *this = HeardNotes(); }

  /// Held by fingers.
  [[nodiscard]] const Keys& held() const noexcept { return held_; }
  /// Held by fingers or by the pedal.
  [[nodiscard]] const Keys& sounding() const noexcept { return sounding_; }

 private:
  static bool is_key(int midi) noexcept { return midi >= 0 && midi < 128; }

  Keys held_, sounding_;
  bool pedal_ = false;
};

}  // namespace romanesca
