#include "cli/options.h"

#include <fmt/format.h>

#include <algorithm>

#include "cli/or_throw.h"
#include "cli/studio/output_file.h"

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

std::optional<KeyText> CommonOptions::key_given() const { return value_or_throw(romanesca::key_given(key)); }

NamedProgression CommonOptions::source(Console& console) const {
  return value_or_throw(read_progression(progression, console.in));
}

Placement CommonOptions::placed(Console& console) const {
  const auto key_now = key_given();
  return value_or_throw(place(source(console), key_now));
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

}  // namespace romanesca
