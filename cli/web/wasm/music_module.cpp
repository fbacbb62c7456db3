// What the page's first module offers: text in, JSON out, and the plan of what is to be sounded.
#include <cstddef>
#include <string>

#include "cli/web/page_engine.h"

namespace {

romanesca::PageEngine engine;  // NOLINT: a module is one object
std::string question, reply;   // NOLINT

}  // namespace

extern "C" {

/// Room for a request of so many bytes.
[[clang::export_name("room")]] char* room(std::size_t size) {
  question.resize(size);
  return question.data();
}
/// Answers the request that was put there. @return the answer's length in bytes
[[clang::export_name("answer")]] std::size_t answer() {
  reply = engine.answer(question);
  return reply.size();
}
[[clang::export_name("reply")]] const char* reply_bytes() { return reply.data(); }
[[clang::export_name("plan")]] const unsigned char* plan() { return engine.plan().data(); }
[[clang::export_name("plan_size")]] std::size_t plan_size() { return engine.plan().size(); }
}
