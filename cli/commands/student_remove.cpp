#include <fmt/format.h>

#include <istream>
#include <memory>
#include <nlohmann/json.hpp>
#include <ostream>

#include "cli/commands/student_action.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/formats/wrapped_text.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

struct RemoveOptions {
  std::string name;
  bool yes = false, json = false;
};

void confirm(const Student& student, Console& console) {
  if (!console.in_is_terminal) {
    throw Failure(ExitStatus::wrong_input,
                  fmt::format("{} (id {}) is not removed: nobody is here to ask", student.profile.name, student.id),
                  "say --yes if you are sure");
  }
  console.err << fmt::format(
                     "This removes {} (id {}) and all that is written about them. It cannot be undone.\n"
                     "Type the name to go on: ",
                     student.profile.name, student.id)
              << std::flush;
  std::string line;
  std::getline(console.in, line);
  if (trimmed(line) != student.profile.name) {
    throw Failure(ExitStatus::wrong_input, "that is not the name; nothing was removed");
  }
}

void run_remove(const RemoveOptions& options, Console& console) {
  Store store = value_or_throw(Store::open(console.data));
  const Student student = value_or_throw(student_named(store, options.name));
  if (!options.yes) confirm(student, console);
  const std::size_t entries = value_or_throw(store.history(student.id)).size();
  or_throw(store.remove(student.id));
  const std::string stays =
      "What you have exported, backed up, printed or handed out stays where it is: charts, backing tracks and copies "
      "of the record are not looked for.";
  const nlohmann::ordered_json object{{"schema", 1}, {"removed", student.id}, {"entries", entries}, {"stays", stays}};
  const std::string text = fmt::format("{} and {} {} are removed from {}.\n", student.profile.name, entries,
                                       entries == 1 ? "entry" : "entries", store.file().string());
  write_output(options.json ? object.dump() + "\n" : text + wrapped("", stays, console.width), std::nullopt, console);
}

}  // namespace

std::function<void()> set_up_student_remove(OptionParser& parser, Console& console) {
  auto options = std::make_shared<RemoveOptions>();
  add_student_name(parser, options->name);
  parser.add_flag("--yes", options->yes, "ask nothing");
  parser.add_flag("--json", options->json, "answer as one JSON object");
  return [options, &console] { run_remove(*options, console); };
}

}  // namespace romanesca
