#include <fmt/format.h>

#include <memory>

#include "cli/commands/command_table.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/formats/chords_json.h"
#include "cli/options.h"
#include "cli/studio/kept_settings.h"

namespace romanesca {
namespace {

struct SettingsOptions {
  std::string names, terms;
  bool json = false;
};

}  // namespace

std::function<void()> set_up_settings(OptionParser& parser, Console& console) {
  auto options = std::make_shared<SettingsOptions>();
  parser.add_option("--names", options->names, "names of notes: english, german (H, Es) or solfege (Do Re Mi)")
      .value_name("NAMES");
  parser.add_option("--terms", options->terms, "names of cadences: british (perfect) or american (authentic)")
      .value_name("TERMS");
  parser.add_flag("--json", options->json, "answer as one JSON object");
  return [options, &console] {
    KeptSettings settings;
    auto kept = kept_settings(console.configuration);
    const bool changes = !options->names.empty() || !options->terms.empty();
    // A file that is wrong is written anew.
    if (kept || !changes) settings = value_or_throw(std::move(kept));
    if (!options->names.empty()) {
      const auto names = parse_note_names(options->names);
      if (!names) unknown_value("--names", options->names, "english, german or solfege");
      settings.names = *names;
    }
    if (!options->terms.empty()) {
      const auto terms = parse_cadence_terms(options->terms);
      if (!terms) unknown_value("--terms", options->terms, "british or american");
      settings.terms = *terms;
    }
    if (changes) or_throw(keep_settings(settings, console.configuration));
    const std::string names(to_string(settings.names));
    const std::string terms(to_string(settings.terms));
    const OrderedJson json{{"schema", 1}, {"settings", {{"names", names}, {"terms", terms}}}};
    write_output(options->json ? json.dump() + "\n"
                               : fmt::format("names of notes: {}\nnames of cadences: {}\n\nKept in {}\n", names, terms,
                                             settings_file(console.configuration).string()),
                 std::nullopt, console);
  };
}

}  // namespace romanesca
