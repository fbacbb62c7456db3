// Any bytes as a request of the page: an answer is always an object, and what is to sound is a plan that can be read.
#include <cstdint>
#include <nlohmann/json.hpp>

#include "cli/web/page_engine.h"
#include "cli/web/plan_bytes.h"

using namespace romanesca;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size > 2048) return 0;
  PageEngine engine;
  const std::string answer = engine.answer({reinterpret_cast<const char*>(data), size});
  if (!nlohmann::json::parse(answer, nullptr, false).is_object()) std::abort();
  if (!engine.plan().empty() && !read_plan(engine.plan())) std::abort();
  return 0;
}
