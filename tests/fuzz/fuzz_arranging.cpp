// Any progression that can be read, in any style that fits its meter, through the arranger into a moment of sound.
#include <cstdlib>

#include "synth/arranging/arranger.h"
#include "theory/songs/progression_text.h"

using namespace romanesca;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size < 2 || size > 512) return 0;
  const auto read = parse_progression({reinterpret_cast<const char*>(data) + 1, size - 1}, "fuzz");
  if (!read) return 0;
  const Timeline line = timeline(*read, {});
  if (line.bars > 64) return 0;
  for (const Style& style : styles()) {
    if (style.meter != line.meter()) continue;
    const auto arrangement = arrange(line, style);
    for (const auto& event : arrangement.events) {
      if (event.midi > 127 || event.length <= Beats(0)) std::abort();
    }
  }
  return 0;
}
