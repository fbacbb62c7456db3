// Any bytes as the file of learned controls; then as what a device with foot switches sends.
#include <cstdint>

#include "cli/play/controllers.h"
#include "synth/live/midi_keyboard.h"
#include "theory/text/errors.h"

using namespace romanesca;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  Controllers controllers{std::filesystem::path()};
  try {
    for (const LearnedControl& control : read_controls({reinterpret_cast<const char*>(data), size}, "controls.txt")) {
      if (control.number > 127 || control.channel > 15) std::abort();
      controllers.learn(control);
    }
  } catch (const Failure& failure) {
    if (failure.error().message.empty() || failure.error().hint.empty()) std::abort();
  }
  MidiMessageReader reader;
  reader.read(data, size, [&](const MidiHeard& heard) {
    if (heard.status < 0x80 || heard.first > 127 || heard.second > 127) std::abort();
    (void)controllers.asks(heard);
    const auto control = Controllers::control_of(heard);
    if (!control) return;
    controllers.learn(*control);
    if (description(*control).empty()) std::abort();
  });
  return 0;
}
