#include "cli/options.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "cli/failure.h"
#include "cli/studio/output_file.h"
#include "theory/songs/header_text.h"
#include "theory/songs/placement.h"

namespace romanesca {

void CommonOptions::add_progression(OptionParser& parser, bool required) {
  parser.add_option("progression", progression, "chords in quotes, a file, a library id, or - for standard input")
      .required(required)
      .value_name("PROGRESSION");
}

void CommonOptions::add_key(OptionParser& parser) {
  parser.add_option("--key", key, "the key to put it in, like Eb, \"F# minor\" or \"D dorian\"").value_name("KEY");
}

void CommonOptions::add_json(OptionParser& parser) { parser.add_flag("--json", json, "answer as one JSON object"); }

void CommonOptions::add_out(OptionParser& parser, const std::string& endings) {
  parser.add_option("--out", out, "write to this file: " + endings).value_name("FILE");
}

std::optional<KeyText> CommonOptions::key_given() const {
  if (key.empty()) return std::nullopt;
  const auto read = parse_written_key(key);
  if (!read) {
    const HeaderFault fault = key_fault(key);
    throw Failure(ExitStatus::wrong_input, "--key: " + fault.message, fault.hint);
  }
  return read;
}

void check_level(const std::string& option, int level) {
  if (level >= 1 && level <= 8) return;
  throw Failure(ExitStatus::wrong_input, fmt::format("{}: there is no level {}", option, level), "levels are 1 to 8");
}

namespace {

/// ".wav, .flac or .mid"
std::string choice_of(const std::vector<std::string>& endings) {
  std::string text;
  for (std::size_t i = 0; i < endings.size(); ++i) {
    const bool last = i + 1 == endings.size();
    text += (i == 0 ? "." : last ? " or ." : ", .") + endings[i];
  }
  return text;
}

}  // namespace

void check_ending(const std::string& path, const std::vector<std::string>& endings, const std::string& option) {
  const std::string ending = ending_of(path);
  if (std::find(endings.begin(), endings.end(), ending) != endings.end()) return;
  throw Failure(ExitStatus::wrong_input,
                ending.empty() ? fmt::format("{}: {} has no ending, so its format is not clear", option, path)
                               : fmt::format("{}: I cannot write .{} files here", option, ending),
                "end the name in " + choice_of(endings));
}

std::optional<std::string> CommonOptions::out_given(const std::vector<std::string>& endings) const {
  if (out.empty()) return std::nullopt;
  if (out.size() > 1) throw Failure(ExitStatus::wrong_input, "--out: one file at a time", "run it again for the other");
  check_ending(out.front(), endings);
  return out.front();
}

PlacedProgression place(NamedProgression source, const std::optional<KeyText>& key, MinorDegrees style) {
  const bool absolute = source.progression.notation == Notation::absolute;
  // Not copied where it need not be: a long song has many chords.
  Progression original = absolute ? std::exchange(source.progression, {}) : source.progression;
  Parsed<Placement> placed = place_in_key(std::move(original), key, source.library_mode, style);
  if (!placed) {
    const std::string& hint = placed.error().hint;  // "write "A major" to move them as they are"
    throw Failure(ExitStatus::wrong_input, "--key: " + placed.error().message,
                  "write --key" + hint.substr(hint.find(' ')));
  }
  return {std::move(source), std::move(placed->progression), placed->key, std::move(placed->analysis)};
}

}  // namespace romanesca
