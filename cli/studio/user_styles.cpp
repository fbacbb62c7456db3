#include "cli/studio/user_styles.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <filesystem>

#include "cli/failure.h"
#include "cli/studio/file_reason.h"
#include "cli/studio/text_file.h"
#include "synth/sound/instrument.h"

namespace romanesca {
namespace {

Style read_user_style(const std::filesystem::path& path) {
  const std::string text = read_text_file(path);
  const std::string id = path.stem().string();
  auto style = read_style({id, text});
  if (!style) {
    style.error().source = path.string();
    style.error().line_text = line_of(text, style.error().place.line);
    if (style.error().hint.empty()) style.error().hint = "mend it, or take the file out of that folder";
  }
  Style read = value_or_throw(std::move(style));
  for (const StylePart& part : read.parts) {
    if (instrument_named(part.instrument) != nullptr) continue;
    std::vector<std::string_view> names;
    for (const InstrumentRow& row : instruments()) names.push_back(row.name);
    throw Failure(ExitStatus::wrong_input,
                  fmt::format("{}: {} has no instrument called \"{}\"", path.string(), part.name, part.instrument),
                  fmt::format("the instruments are {}", fmt::join(names, ", ")));
  }
  return read;
}

}  // namespace

std::vector<Style> user_styles(const Console& console) {
  std::vector<Style> all(styles().begin(), styles().end());
  const std::filesystem::path folder = console.configuration / "styles";
  std::error_code ignored;
  if (console.configuration.empty() || !std::filesystem::is_directory(folder, ignored)) return all;
  std::error_code error;
  const std::filesystem::directory_iterator files(folder, error);
  if (error) {
    const FileReason reason = reason_not_read(error.value());
    throw Failure(ExitStatus::file_refused, fmt::format("cannot read the folder {}: {}", folder.string(), reason.why),
                  "it holds your own styles; make it readable again, or rename it");
  }
  for (const auto& entry : files) {
    if (entry.path().extension() != ".toml") continue;
    Style own = read_user_style(entry.path());
    std::erase_if(all, [&](const Style& style) { return style.id == own.id; });
    all.push_back(std::move(own));
  }
  std::sort(all.begin(), all.end(), [](const Style& a, const Style& b) { return a.id < b.id; });
  return all;
}

}  // namespace romanesca
