#include "cli/web/page_answer.h"

#include <array>

namespace romanesca {
namespace {

struct Question {
  std::string_view name;
  Parsed<PageAnswer> (*answer)(const PageRequest&);
};
constexpr std::array<Question, 9> questions{{{"song", song_answer},
                                             {"library", library_answer},
                                             {"styles", styles_answer},
                                             {"exercises", exercises_answer},
                                             {"check", check_answer_of_page},
                                             {"backing", backing_answer},
                                             {"notes", notes_answer},
                                             {"heard", heard_answer},
                                             {"packet", packet_answer}}};

/// The error as a page shows it: without the name of a command-line option before it.
OrderedJson error_json(const TextError& error) {
  std::string message = error.message;
  const std::size_t colon = message.find(": ");
  if (message.starts_with("--") && colon != std::string::npos) message.erase(0, colon + 2);
  return {{"error",
           {{"message", message},
            {"hint", error.hint},
            {"line", error.place.line},
            {"column", error.place.column},
            {"width", error.place.width}}}};
}

PageAnswer refused(const std::string& message) { return {error_json(unplaced_error(message)), {}}; }

}  // namespace

PageAnswer page_answer(std::string_view request) {
  OrderedJson json = OrderedJson::parse(request, nullptr, false);
  if (!json.is_object()) return refused("this is no question");
  const PageRequest asked(std::move(json));
  const std::string name = asked.text("ask");
  for (const Question& question : questions) {
    if (question.name != name) continue;
    Parsed<PageAnswer> answer = question.answer(asked);
    return answer ? std::move(*answer) : PageAnswer{error_json(answer.error()), {}};
  }
  return refused("nobody answers " + name);
}

}  // namespace romanesca
