// The flat interface of the module "engine": questions and answers as text, performances as numbers. WebAssembly alone.
#include "cli/web/page_answer.h"
#include "cli/web/performance_bytes.h"

namespace {

using romanesca::PageAnswer;

std::string asked, answered;
std::vector<std::vector<std::int64_t>> performances;

}  // namespace

extern "C" {

/// Room for a question of so many bytes. @return its address
[[clang::export_name("question_room")]] char* question_room(std::uint32_t bytes) {
  asked.resize(bytes);
  return asked.data();
}

/// Answers it. @return the length of the answer in bytes
[[clang::export_name("answer_question")]] std::uint32_t answer_question() {
  PageAnswer answer = romanesca::page_answer(asked);
  answered = answer.json.dump(-1, ' ', false, romanesca::OrderedJson::error_handler_t::replace);
  performances.clear();
  for (const romanesca::Performance& each : answer.performances) {
    performances.push_back(romanesca::performance_numbers(each));
  }
  return static_cast<std::uint32_t>(answered.size());
}

[[clang::export_name("answer_text")]] const char* answer_text() { return answered.data(); }

[[clang::export_name("performance_count")]] std::uint32_t performance_count() {
  return static_cast<std::uint32_t>(performances.size());
}
/// How many numbers of 64 bits.
[[clang::export_name("performance_length")]] std::uint32_t performance_length(std::uint32_t which) {
  return static_cast<std::uint32_t>(performances[which].size());
}
[[clang::export_name("performance_at")]] const std::int64_t* performance_at(std::uint32_t which) {
  return performances[which].data();
}
}
