// Any bytes as a roster.
#include <cstdint>
#include <cstdlib>

#include "cli/studio/roster.h"

using namespace romanesca;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto lines = read_roster_text({reinterpret_cast<const char*>(data), size}, "class.csv");
  if (!lines) {
    const TextError& error = lines.error().error();
    if (error.message.empty() || error.hint.empty()) std::abort();
    return 0;
  }
  for (const RosterLine& line : *lines) {
    if (line.file.empty() || line.file.find('/') != std::string::npos || line.file.front() == '.') std::abort();
    if (line.request.student.empty() || line.line < 1) std::abort();
  }
  return 0;
}
