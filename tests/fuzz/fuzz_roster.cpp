// Any bytes as a roster.
#include <cstdint>

#include "cli/studio/roster.h"
#include "theory/text/errors.h"

using namespace romanesca;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  try {
    for (const RosterLine& line : read_roster_text({reinterpret_cast<const char*>(data), size}, "class.csv")) {
      if (line.file.empty() || line.file.find('/') != std::string::npos || line.file.front() == '.') std::abort();
      if (line.wish.student.empty() || line.line < 1) std::abort();
    }
  } catch (const Failure& failure) {
    if (failure.error().message.empty() || failure.error().hint.empty()) std::abort();
  }
  return 0;
}
