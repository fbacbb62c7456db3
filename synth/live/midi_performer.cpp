#include "synth/live/midi_performer.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace romanesca {
namespace {

constexpr int note_off = 0x80, note_on = 0x90, control = 0xB0, program_change = 0xC0;
constexpr int channel_volume = 7, sustain = 64, all_sound_off = 120, all_notes_off = 123;
constexpr int percussion = 9, high_click = 76, low_click = 77;

/// The level of a part as channel volume: General MIDI level 2 has gain = 40 log10(volume / 127) dB; 100 is the
/// default.
int midi_volume_of(float gain_db) noexcept {
  return std::clamp(static_cast<int>(std::lround(100 * std::pow(10.0, static_cast<double>(gain_db) / 40))), 1, 127);
}

}  // namespace

void MidiPerformer::send(std::int64_t due_ns, std::span<const std::uint8_t> message) noexcept {
  if (now_ != nullptr) lateness_.add(now_() - due_ns);
  output_.send(message);
}

void MidiPerformer::send3(std::int64_t due_ns, int status, int first, int second) noexcept {
  const std::array<std::uint8_t, 3> bytes{static_cast<std::uint8_t>(status), static_cast<std::uint8_t>(first & 0x7F),
                                          static_cast<std::uint8_t>(second & 0x7F)};
  send(due_ns, bytes);
}

void MidiPerformer::key_down(std::int64_t due_ns, std::uint8_t part, std::uint8_t midi,
                             std::uint8_t velocity) noexcept {
  if (piece_ != nullptr) send3(due_ns, note_on | piece_->parts[part].channel, midi, velocity);
}

void MidiPerformer::key_up(std::int64_t due_ns, std::uint8_t part, std::uint8_t midi) noexcept {
  if (piece_ != nullptr) send3(due_ns, note_off | piece_->parts[part].channel, midi, 64);
}

void MidiPerformer::piece_changed(std::int64_t due_ns, const LivePiece& piece) noexcept {
  piece_ = &piece;
  for (const LivePart& part : piece.parts) {
    const std::array<std::uint8_t, 2> program{static_cast<std::uint8_t>(program_change | part.channel),
                                              static_cast<std::uint8_t>(part.program & 0x7F)};
    send(due_ns, program);
    if (part.pitched) send3(due_ns, control | part.channel, channel_volume, midi_volume_of(part.gain_db));
  }
}

void MidiPerformer::click(std::int64_t due_ns, bool first_of_bar) noexcept {
  const int key = first_of_bar ? high_click : low_click;
  send3(due_ns, note_on | percussion, key, first_of_bar ? 110 : 90);
  send3(due_ns, note_off | percussion, key, 64);  // a wood block needs no length
}

void MidiPerformer::transport(std::int64_t due_ns, Transport what) noexcept {
  if (!with_clock_) return;
  const std::array<std::uint8_t, 1> byte{what == Transport::start    ? std::uint8_t{0xFA}
                                         : what == Transport::resume ? std::uint8_t{0xFB}
                                                                     : std::uint8_t{0xFC}};
  send(due_ns, byte);
}

void MidiPerformer::clock(std::int64_t due_ns) noexcept {
  const std::array<std::uint8_t, 1> byte{0xF8};
  if (with_clock_) send(due_ns, byte);
}

void MidiPerformer::silence(std::int64_t due_ns) noexcept {
  for (int channel = 0; channel < 16; ++channel) {
    send3(due_ns, control | channel, sustain, 0);
    send3(due_ns, control | channel, all_notes_off, 0);
    send3(due_ns, control | channel, all_sound_off, 0);
  }
}

}  // namespace romanesca
