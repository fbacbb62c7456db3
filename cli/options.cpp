#include "cli/options.h"

#include <fmt/format.h>

#include <algorithm>

#include "cli/failure.h"
#include "cli/output_file.h"
#include "theory/header_text.h"
#include "theory/transposition.h"

namespace romanesca {

void CommonOptions::add_progression(CLI::App& app) {
  app.add_option("progression", progression, "chords in quotes, a file, a library id, or - for standard input")
      ->required()
      ->type_name("PROGRESSION");
}

void CommonOptions::add_key(CLI::App& app) {
  app.add_option("--key", key, "the key to put it in, like Eb, \"F# minor\" or \"D dorian\"")->type_name("KEY");
}

void CommonOptions::add_json(CLI::App& app) { app.add_flag("--json", json, "answer as one JSON object"); }

void CommonOptions::add_out(CLI::App& app, const std::string& endings) {
  app.add_option("--out", out, "write to this file: " + endings)->type_name("FILE");
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

namespace {

/// The analysis of realised numerals, labelled with the numerals as they were written.
Analysis analyse_realised(const Progression& numerals, const Key& key, MinorDegrees style) {
  return analyse(numerals, KeyText{key.tonic, key.mode}, style);
}

Key checked(const Key& key) {
  if (key.can_be_written()) return key;
  throw Failure(ExitStatus::wrong_input,
                fmt::format("--key: {} cannot be written with seven accidentals", to_string(key)),
                fmt::format("write {}, the same keys on the piano", to_string(simplest_spelling(key))));
}

Failure other_mode(const Key& from, const KeyText& to) {
  const Key meant{to.tonic, from.mode};
  return {ExitStatus::wrong_input,
          fmt::format("--key: these chords are in {}; {} would be another piece, not another key", to_string(from),
                      to_string(Key{to.tonic, *to.mode})),
          fmt::format("write --key \"{}\" to move them as they are", to_string(simplest_spelling(meant)))};
}

}  // namespace

PlacedProgression place(NamedProgression source, const std::optional<KeyText>& key, MinorDegrees style) {
  PlacedProgression placed;
  const Progression& original = source.progression;
  if (original.notation != Notation::absolute) {
    placed.key = key_of_numerals(original, key);
    const bool open = !(key ? key : original.key).value_or(KeyText{}).mode;
    if (open && source.library_mode) placed.key.mode = *source.library_mode;
    placed.key = checked(placed.key);
    placed.progression = realised(original, placed.key);
    placed.analysis = analyse_realised(original, placed.key, style);
  } else {
    placed.progression = std::move(source.progression);  // not copied: a long song has many chords
    source.progression = {};
    placed.analysis = analyse(placed.progression, std::nullopt, style);
    placed.key = placed.analysis.keys.main.key;
    if (key) {
      if (key->mode && is_minorish(*key->mode) != is_minorish(placed.key.mode)) throw other_mode(placed.key, *key);
      const Key goal = checked({key->tonic, placed.key.mode});
      const bool named = placed.progression.key.has_value();
      placed.progression = transposed(placed.progression, interval_between(placed.key.tonic, goal.tonic));
      placed.progression.key = KeyText{goal.tonic, goal.mode};
      // The stated key keeps the reading the same; the confidence stays that of the original.
      const double confidence = placed.analysis.keys.main.confidence;
      placed.analysis = analyse(placed.progression, std::nullopt, style);
      if (!named) placed.analysis.keys.main.confidence = confidence;
      placed.key = goal;
    }
  }
  placed.source = std::move(source);
  return placed;
}

}  // namespace romanesca
