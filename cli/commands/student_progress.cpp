#include <memory>

#include "cli/commands/student_action.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/formats/progress_text.h"
#include "cli/options.h"
#include "cli/studio/file_io.h"
#include "cli/studio/lesson_proposals.h"

namespace romanesca {
namespace {

struct ProgressOptions {
  std::string name, date, out;
  bool json = false;
};

void run_progress(const ProgressOptions& options, Console& console) {
  if (!options.out.empty()) check_ending(options.out, {"html", "txt", "json"});
  const Date date = date_or_today(options.date, console);
  Store store = value_or_throw(Store::open(console.data));
  const Student student = value_or_throw(student_named(store, options.name));
  const Learner learner = learner_of({student, value_or_throw(store.history(student.id))}, date);
  const std::vector<SkillState> states = skill_states(learner);
  constexpr int columns = 80;
  const std::string ending = options.out.empty() ? "" : ending_of(options.out);
  const std::optional<std::string> file = options.out.empty() ? std::nullopt : std::optional(options.out);
  const bool json = options.json || ending == "json";
  write_output(ending == "html" ? progress_page(student, states, date)
               : json           ? progress_json(student, states, learner.today)
                                : progress_text(student, states, learner.today, file ? columns : console.width),
               file, console);
}

}  // namespace

std::function<void()> set_up_student_progress(OptionParser& parser, Console& console) {
  auto options = std::make_shared<ProgressOptions>();
  add_student_name(parser, options->name);
  parser.add_option("--out", options->out, "a page for parents as .html; or .txt, .json").value_name("FILE");
  add_date(parser, options->date);
  parser.add_flag("--json", options->json, "answer as one JSON object");
  return [options, &console] { run_progress(*options, console); };
}

}  // namespace romanesca
