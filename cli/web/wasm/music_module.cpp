// The functions of the page's first module: JSON in, JSON and the bytes of a sound plan out.
#include <cstddef>
#include <string>

#include "cli/web/page_engine.h"

namespace {

romanesca::PageEngine engine;  // NOLINT: a module is one object
std::string request, reply;    // NOLINT

}  // namespace

extern "C" {

/// Reserves memory for a request. @param size in bytes @return where to write it
[[clang::export_name("reserve")]] char* reserve(std::size_t size) {
  request.resize(size);
  return request.data();
}
/// Answers the request written there. @return length of the reply in bytes
[[clang::export_name("answer")]] std::size_t answer() {
  reply = engine.answer(request);
  return reply.size();
}
[[clang::export_name("reply")]] const char* reply_bytes() { return reply.data(); }
[[clang::export_name("plan")]] const unsigned char* plan() { return engine.plan().data(); }
[[clang::export_name("plan_size")]] std::size_t plan_size() { return engine.plan().size(); }
/// @return where to write so many samples of a recording, floats
[[clang::export_name("recording")]] float* recording(std::size_t count) { return engine.reserve_recording(count); }
}
