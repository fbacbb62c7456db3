#include "theory/listening/heard_notes.h"

namespace romanesca {
namespace {

bool is_key(int midi) noexcept { return midi >= 0 && midi < 128; }

}  // namespace

void HeardNotes::key_down(int midi) noexcept {
  if (!is_key(midi)) return;
  held_.set(static_cast<std::size_t>(midi));
  sounding_.set(static_cast<std::size_t>(midi));
}

void HeardNotes::key_up(int midi) noexcept {
  if (!is_key(midi)) return;
  held_.reset(static_cast<std::size_t>(midi));
  if (!pedal_) sounding_.reset(static_cast<std::size_t>(midi));
}

void HeardNotes::pedal(int value) noexcept {
  pedal_ = value >= 64;
  if (!pedal_) sounding_ = held_;
}

void HeardNotes::all_up() noexcept {
  held_.reset();
  sounding_.reset();
  pedal_ = false;
}

}  // namespace romanesca
