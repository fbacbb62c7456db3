#include "cli/studio/own_settings.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <filesystem>

#include "cli/studio/file_io.h"
#include "synth/sound/instrument.h"

namespace romanesca {
namespace {

Result<Style> read_own_style(const std::filesystem::path& path) {
  const auto read = read_text_file(path);
  if (!read) return read.error();
  const std::string& text = *read;
  const std::string id = path.stem().string();
  auto style = read_style({id, text});
  if (!style) {
    style.error().source = path.string();
    style.error().line_text = line_of(text, style.error().place.line);
    if (style.error().hint.empty()) style.error().hint = "correct it, or take the file out of that folder";
    return style.error();
  }
  for (const StylePart& part : style->parts) {
    if (instrument_named(part.instrument) != nullptr) continue;
    std::vector<std::string_view> names;
    for (const InstrumentRow& row : instruments()) names.push_back(row.name);
    return Failure(ExitStatus::wrong_input,
                   fmt::format("{}: {} has no instrument called \"{}\"", path.string(), part.name, part.instrument),
                   fmt::format("the instruments are {}", fmt::join(names, ", ")));
  }
  return std::move(*style);
}

}  // namespace

Result<std::vector<Style>> own_styles(const std::filesystem::path& configuration) {
  std::vector<Style> all(styles().begin(), styles().end());
  const std::filesystem::path folder = configuration / "styles";
  std::error_code ignored;
  if (configuration.empty() || !std::filesystem::is_directory(folder, ignored)) return all;
  std::error_code error;
  const std::filesystem::directory_iterator files(folder, error);
  if (error) {
    const FileReason reason = reason_not_read(error.value());
    return Failure(ExitStatus::file_refused, fmt::format("cannot read the folder {}: {}", folder.string(), reason.why),
                   "it holds your own styles; make it readable again, or rename it");
  }
  for (const auto& entry : files) {
    if (entry.path().extension() != ".toml") continue;
    auto own = read_own_style(entry.path());
    if (!own) return own.error();
    std::erase_if(all, [&](const Style& style) { return style.id == own->id; });
    all.push_back(std::move(*own));
  }
  std::sort(all.begin(), all.end(), [](const Style& a, const Style& b) { return a.id < b.id; });
  return all;
}

Result<std::vector<Level>> own_levels(const std::filesystem::path& configuration) {
  const std::filesystem::path path = configuration / "levels.toml";
  std::error_code ignored;
  if (configuration.empty() || !std::filesystem::exists(path, ignored)) {
    return std::vector<Level>(levels().begin(), levels().end());
  }
  const auto text = read_text_file(path);
  if (!text) return text.error();
  auto read = read_levels({"levels", *text});
  if (read) return std::move(*read);
  read.error().source = path.string();
  read.error().line_text = line_of(*text, read.error().place.line);
  if (read.error().hint.empty()) read.error().hint = "correct it, or rename the file";
  return read.error();
}

Result<Level> own_level(const std::string& option, int number, const std::filesystem::path& configuration) {
  if (const Status checked = check_level(option, number); !checked) return checked.error();
  auto all = own_levels(configuration);
  if (!all) return all.error();
  return std::move((*all)[static_cast<std::size_t>(number) - 1]);
}

Result<HandSettings> student_hands(int level, int span, const std::filesystem::path& configuration) {
  const auto of_student = own_level("--level", level, configuration);
  if (!of_student) return of_student.error();
  HandSettings settings = level_hands(*of_student);
  if (span != 0) settings.span = span;
  return settings;
}

Status check_level(const std::string& option, int level) {
  if (level >= 1 && level <= 8) return ok;
  return Failure(ExitStatus::wrong_input, fmt::format("{}: there is no level {}", option, level), "levels are 1 to 8");
}

}  // namespace romanesca
