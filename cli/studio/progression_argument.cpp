#include "cli/studio/progression_argument.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>

#include "cli/failure.h"
#include "cli/studio/text_file.h"
#include "progressions/library.h"
#include "theory/text/ascii_text.h"
#include "theory/text/nearest_word.h"
#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

/// A file that a teacher may have meant, also one that holds no chords.
bool looks_like_path(const std::string& argument) {
  constexpr std::array<std::string_view, 15> endings{".txt", ".text", ".mid", ".midi", ".musicxml",
                                                     ".xml", ".pdf",  ".doc", ".docx", ".odt",
                                                     ".rtf", ".wav",  ".mp3", ".png",  ".jpg"};
  const std::string ending = std::filesystem::path(argument).extension().string();
  if (std::find(endings.begin(), endings.end(), ending) != endings.end()) return true;
  if (argument.find_first_of(" |\n") != std::string::npos) return false;
  return argument.starts_with("./") || argument.starts_with("../") ||
         (argument.starts_with('/') && argument.size() > 1);
}

bool looks_like_id(const std::string& argument) {
  return argument.size() > 3 &&
         std::all_of(argument.begin(), argument.end(), [](char c) { return is_small_letter(c) || c == '-'; });
}

NamedProgression named(Progression progression, std::string otherwise) {
  const std::string name = progression.title.empty() ? std::move(otherwise) : progression.title;
  return {std::move(progression), name, {}};
}

NamedProgression read_typed(const std::string& argument) {
  if (looks_like_path(argument)) {
    throw Failure(ExitStatus::file_refused, fmt::format("there is no file {}", argument),
                  "look at its name and folder, or give the chords in quotes");
  }
  Parsed<Progression> parsed = parse_progression(argument, "progression");
  if (!parsed && looks_like_id(argument)) {
    std::vector<std::string> ids;
    for (const Pattern& pattern : library()) ids.push_back(pattern.id);
    const auto near = nearest_word(argument, ids);
    throw Failure(ExitStatus::wrong_input,
                  fmt::format("\"{}\" is no chord, no file and no pattern of the library", argument),
                  near ? fmt::format("did you mean {}?", *near) : "romanesca progressions lists the patterns");
  }
  return named(value_or_throw(std::move(parsed)), "progression");
}

}  // namespace

NamedProgression read_progression(const std::string& argument, Console& console) {
  if (argument == "-") {
    return named(value_or_throw(parse_progression(read_text(console.in), "standard input")), "progression");
  }
  std::error_code error;
  const bool there = !argument.empty() && argument.size() < 4096 && std::filesystem::exists(argument, error);
  if (there || error == std::errc::permission_denied) {
    return named(value_or_throw(parse_progression(read_text_file(argument), argument)),
                 std::filesystem::path(argument).stem().string());
  }
  if (const Pattern* pattern = pattern_named(argument)) return {pattern->progression, pattern->id, pattern->mode};
  return read_typed(argument);
}

}  // namespace romanesca
