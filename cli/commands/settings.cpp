#include <fmt/format.h>

#include <memory>

#include "cli/commands/command_table.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/formats/chords_json.h"
#include "cli/studio/kept_settings.h"

namespace romanesca {
namespace {

struct SettingsOptions {
  std::string names;
  bool json = false;
};

}  // namespace

std::function<void()> set_up_settings(OptionParser& parser, Console& console) {
  auto options = std::make_shared<SettingsOptions>();
  parser.add_option("--names", options->names, "names of notes: english, german (H, Es) or solfege (Do Re Mi)")
      .value_name("NAMES");
  parser.add_flag("--json", options->json, "answer as one JSON object");
  return [options, &console] {
    // A file that is wrong is written anew.
    KeptSettings settings;
    if (options->names.empty()) {
      settings = value_or_throw(kept_settings(console.configuration));
    } else {
      const auto names = parse_note_names(options->names);
      if (!names) {
        throw Failure(ExitStatus::wrong_input, fmt::format("--names: unknown value \"{}\"", options->names),
                      "choose english, german or solfege");
      }
      settings.names = *names;
      or_throw(keep_settings(settings, console.configuration));
    }
    const std::string names(to_string(settings.names));
    const OrderedJson json{{"schema", 1}, {"settings", {{"names", names}}}};
    write_output(options->json ? json.dump() + "\n"
                               : fmt::format("names of notes: {}\n\nKept in {}\n", names,
                                             settings_file(console.configuration).string()),
                 std::nullopt, console);
  };
}

}  // namespace romanesca
