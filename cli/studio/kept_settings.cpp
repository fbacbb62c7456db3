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
    const auto names = value != nullptr ? parse_note_names(*value) : std::nullopt;
    if (entry.name != "names") {
      return settings_fault(
          {fmt::format("unknown setting \"{}\"", entry.name), "the settings are: names", entry.value.place()}, path,
          *text);
    }
    if (!names) {
      return settings_fault(
          {"unknown names of notes", "choose \"english\", \"german\" or \"solfege\"", entry.value.place()}, path,
          *text);
    }
    settings.names = *names;
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
                                "names = \"{}\"\n",
                                to_string(settings.names)));
}

}  // namespace romanesca
