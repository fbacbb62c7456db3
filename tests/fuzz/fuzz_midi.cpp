// Any bytes as a Standard MIDI File.
#include <cstdint>

#include "synth/files/midi_reader.h"

using namespace romanesca;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  (void)read_midi({data, size});
  return 0;
}
