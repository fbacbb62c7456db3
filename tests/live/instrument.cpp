#include "tests/live/instrument.h"

#include <algorithm>
#include <chrono>
#include <thread>

#include "synth/live/clock_thread.h"

namespace romanesca::test {

Instrument::Instrument(const std::string& name) : midi_(std::make_unique<RtMidiIn>(RtMidi::UNIX_JACK, name, 4096)) {
  midi_->ignoreTypes(false, false, false);
  midi_->setCallback(&Instrument::on_message, this);
  midi_->openVirtualPort("in");
}

void Instrument::on_message(double /*delta*/, std::vector<unsigned char>* bytes, void* self) {
  auto& instrument = *static_cast<Instrument*>(self);
  const std::scoped_lock lock(instrument.mutex_);
  instrument.got_.push_back({monotonic_ns(), {bytes->begin(), bytes->end()}});
}

std::vector<Instrument::Got> Instrument::got() const {
  const std::scoped_lock lock(mutex_);
  return got_;
}

std::map<std::pair<int, int>, int> Instrument::unbalanced() const {
  std::map<std::pair<int, int>, int> down;
  for (const Got& each : got()) {
    if (each.bytes.size() < 3) continue;
    const std::pair key{each.bytes[0] & 0x0F, each.bytes[1]};
    if ((each.bytes[0] & 0xF0) == 0x90) ++down[key];
    if ((each.bytes[0] & 0xF0) == 0x80) --down[key];
  }
  std::erase_if(down, [](const auto& each) { return each.second == 0; });
  return down;
}

std::size_t Instrument::notes() const {
  const auto all = got();
  return static_cast<std::size_t>(
      std::count_if(all.begin(), all.end(), [](const Got& each) { return (each.bytes.at(0) & 0xF0) == 0x90; }));
}

Keyboard::Keyboard(const std::string& name) : midi_(std::make_unique<RtMidiOut>(RtMidi::UNIX_JACK, name)) {
  midi_->openVirtualPort("out");
}

Keyboard::~Keyboard() {
  midi_->closePort();
  std::this_thread::sleep_for(std::chrono::milliseconds(20));
}

void Keyboard::send(const std::vector<unsigned char>& bytes) { midi_->sendMessage(&bytes); }

}  // namespace romanesca::test
