// Any bytes as an exported record; what can be read is written and read as the same again.
#include <cstdint>

#include "cli/formats/record_export.h"
#include "theory/text/errors.h"

using namespace romanesca;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Date today{std::chrono::year(2026), std::chrono::month(11), std::chrono::day(20)};
  try {
    const auto records = read_record_json({reinterpret_cast<const char*>(data), size}, "studio.json", today);
    const std::string written = record_json(records);
    if (record_json(read_record_json(written, "again", today)) != written) std::abort();
    (void)record_csv(records);
  } catch (const Failure& failure) {
    if (failure.error().message.empty() || failure.error().hint.empty()) std::abort();
  }
  return 0;
}
