#include "synth/live/midi_keyboard.h"

#include <RtMidi.h>

#include <chrono>
#include <thread>

#include "theory/text/errors.h"

namespace romanesca {

MidiKeyboard::MidiKeyboard(PortSelector wish) : wish_(std::move(wish)) { open(); }

MidiKeyboard::~MidiKeyboard() { close(); }

void MidiKeyboard::open() {
  port_ = open_midi_input(wish_);
  port_.midi->ignoreTypes(true, true, true);  // system exclusive, clock and active sensing are of no use here
  port_.midi->setCallback(&MidiKeyboard::on_message, this);
}

void MidiKeyboard::close() noexcept {
  if (port_.midi == nullptr) return;
  try {
    port_.midi->cancelCallback();
    port_.midi->closePort();
    std::this_thread::sleep_for(std::chrono::milliseconds(20));  // see MidiLine
  } catch (...) {
    return;  // gone with its system
  }
  port_.midi.reset();
}

void MidiKeyboard::reopen() {
  close();
  try {
    open();
  } catch (const SystemError&) {
    port_.midi.reset();  // the next time
  }
}

void MidiKeyboard::on_message(double /*delta*/, std::vector<unsigned char>* bytes, void* self) noexcept {
  auto& keyboard = *static_cast<MidiKeyboard*>(self);
  if (bytes == nullptr) return;
  keyboard.reader_.read(bytes->data(), bytes->size(), [&](MidiHeard heard) {
    heard.time_ns = monotonic_ns();
    if (!keyboard.queue_.put(heard)) keyboard.lost_.fetch_add(1, std::memory_order_relaxed);
  });
}

}  // namespace romanesca
