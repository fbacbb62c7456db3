#include "cli/studio/kept_settings.h"

#include <fmt/format.h>

#include <string>

#include "cli/studio/file_io.h"
#include "theory/text/toml.h"

namespace romanesca {
namespace {

Failure settings_fault(TextError error, const std::filesystem::path& path, const std::string& text) {
  error.source = path.string();
  error.line_text = line_of(text, error.place.line);
  if (error.hint.empty()) error.hint = "correct it, or write it anew with romanesca settings";
  return Failure(std::move(error));
}

}  // namespace

std::filesystem::path settings_file(const std::filesystem::path& configuration) {
  return configuration / "settings.toml";
}

Result<KeptSettings> kept_settings(const std::filesystem::path& configuration) {
  KeptSettings settings;
  const std::filesystem::path path = settings_file(configuration);
  std::error_code ignored;
  if (configuration.empty() || !std::filesystem::exists(path, ignored)) return settings;
  const auto text = read_text_file(path);
  if (!text) return text.error();
  const auto table = parse_toml({"settings", *text});
  if (!table) return settings_fault(table.error(), path, *text);
  for (const TomlEntry& entry : table->entries()) {
    const std::string* const value = entry.value.string();
    const std::string_view word = value != nullptr ? std::string_view(*value) : std::string_view();
    std::string choices;
    if (entry.name == "names") {
      const auto names = parse_note_names(word);
      if (names) settings.names = *names;
      if (!names) choices = "\"english\", \"german\" or \"solfege\"";
    } else if (entry.name == "terms") {
      const auto terms = parse_cadence_terms(word);
      if (terms) settings.terms = *terms;
      if (!terms) choices = "\"british\" or \"american\"";
    } else {
      return settings_fault(
          {fmt::format("unknown setting \"{}\"", entry.name), "the settings are: names, terms", entry.value.place()},
          path, *text);
    }
    if (!choices.empty()) {
      return settings_fault({fmt::format("unknown value of {}", entry.name), "choose " + choices, entry.value.place()},
                            path, *text);
    }
  }
  return settings;
}

Status keep_settings(const KeptSettings& settings, const std::filesystem::path& configuration) {
  if (configuration.empty()) {
    return Failure(ExitStatus::file_refused, "there is no folder for settings", "set HOME or XDG_CONFIG_HOME");
  }
  if (Status made = make_folder(configuration); !made) return made;
  return write_file(settings_file(configuration),
                    fmt::format("# What romanesca does in every command, as romanesca settings wrote it.\n"
                                "# names of notes: english, german (H, Es) or solfege (Do Re Mi)\n"
                                "names = \"{}\"\n"
                                "# names of cadences: british (perfect, imperfect) or american (authentic, half)\n"
                                "terms = \"{}\"\n",
                                to_string(settings.names), to_string(settings.terms)));
}

}  // namespace romanesca
