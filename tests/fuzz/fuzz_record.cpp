// Any bytes as an exported record; what can be read is written and read as the same again.
#include <cstdint>
#include <cstdlib>

#include "cli/formats/record_export.h"
#include "cli/studio/record/record_json_reader.h"

using namespace romanesca;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Date today{std::chrono::year(2026), std::chrono::month(11), std::chrono::day(20)};
  const auto records = read_record_json({reinterpret_cast<const char*>(data), size}, "studio.json", today);
  if (!records) {
    if (records.error().message.empty() || records.error().hint.empty()) std::abort();
    return 0;
  }
  const std::string written = record_json(*records);
  const auto again = read_record_json(written, "again", today);
  if (!again || record_json(*again) != written) std::abort();
  (void)record_csv(*records);
  return 0;
}
