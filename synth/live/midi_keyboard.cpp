#include "synth/live/midi_keyboard.h"

#include <RtMidi.h>

#include <chrono>
#include <thread>

#include "theory/text/errors.h"

namespace romanesca {

MidiKeyboard::MidiKeyboard(PortSelector selector) : selector_(std::move(selector)) { open(); }

MidiKeyboard::~MidiKeyboard() { close(); }

void MidiKeyboard::open() {
  port_ = open_midi_input(selector_);
  port_.midi->ignoreTypes(true, true, true);  // no system exclusive, clock or active sensing
  port_.midi->setCallback(&MidiKeyboard::on_message, this);
}

void MidiKeyboard::close() noexcept {
  if (port_.midi == nullptr) return;
  try {
    port_.midi->cancelCallback();
    port_.midi->closePort();
    std::this_thread::sleep_for(std::chrono::milliseconds(20));  // see MidiOutPort
  } catch (...) {
    return;  // already closed with its server
  }
  port_.midi.reset();
}

void MidiKeyboard::reopen() {
  close();
  try {
    open();
  } catch (const SystemError&) {
    port_.midi.reset();  // tried again later
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
