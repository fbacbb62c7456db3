#include "progressions/exercises/material.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <tuple>

#include "progressions/toml_rows.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

/// All strings of a list; nothing if one of its members is not a string.
std::optional<std::vector<std::string>> strings_of(const TomlTable& table, std::string_view field) {
  std::vector<std::string> result;
  const TomlArray* list = table.array(field);
  if (list == nullptr) return result;
  for (const TomlValue& value : *list) {
    const std::string* text = value.string();
    if (text == nullptr) return std::nullopt;
    result.push_back(*text);
  }
  return result;
}

/// Two rising whole numbers, or nothing.
std::optional<std::pair<int, int>> span_of(const TomlTable& table, std::string_view field) {
  const TomlArray* list = table.array(field);
  if (list == nullptr || list->size() != 2) return std::nullopt;
  const int from = list->front().integer().value_or(-1);
  const int to = list->back().integer().value_or(-1);
  if (from < 0 || to < from) return std::nullopt;
  return std::pair(from, to);
}

Parsed<ExerciseKind> read_kind(const EmbeddedText& file, std::string_view id, const TomlTable& table) {
  const auto fault = [&](std::string_view message) {
    return toml_error(file, table.place(), fmt::format("{}: {}", id, message));
  };
  ExerciseKind kind;
  kind.id = id;
  const auto family = parse_exercise_family(file.name.substr(0, file.name.find('_')));
  if (!family) return fault("the file's name does not begin with a family of exercises");
  kind.family = *family;
  const auto levels = span_of(table, "levels");
  if (!levels || levels->first < 1 || levels->second > 8) return fault("levels must be two numbers from 1 to 8");
  std::tie(kind.lowest, kind.highest) = *levels;
  kind.minutes = table.integer("minutes").value_or(0);
  if (kind.minutes < 2 || kind.minutes > 20) return fault("minutes must be 2 to 20");
  struct Line {
    const char* name;
    std::string* value;
  };
  for (const Line& line :
       {Line{"title", &kind.title}, Line{"goal", &kind.goal}, Line{"easier", &kind.easier},
        Line{"harder", &kind.harder}, Line{"listen", &kind.listen}, Line{"character", &kind.character}}) {
    *line.value = table.string(line.name).value_or("");
    if (line.value->empty()) return fault(fmt::format("{} is missing", line.name));
  }
  struct List {
    const char* name;
    std::vector<std::string>* value;
    bool needed;
  };
  for (const List& list : {List{"steps", &kind.steps, true}, List{"twists", &kind.twists, false},
                           List{"backings", &kind.backings, true}, List{"promises", &kind.promises, false}}) {
    auto strings = strings_of(table, list.name);
    if (!strings || (list.needed && strings->empty()))
      return fault(fmt::format("{} must be a list of texts", list.name));
    *list.value = std::move(*strings);
  }
  for (const std::string& promise : kind.promises) {
    if (std::find(musical_promises.begin(), musical_promises.end(), promise) == musical_promises.end()) {
      return fault(fmt::format("unknown promise \"{}\"", promise));
    }
  }
  return kind;
}

/// "x" begins a note, "-" lets it sound on, "." is silence; blanks and bars do not count.
std::optional<std::vector<RhythmNote>> notes_of(const std::string& signs, const Meter& meter) {
  std::string steps;
  std::copy_if(signs.begin(), signs.end(), std::back_inserter(steps), [](char c) { return c != ' '; });
  if (steps.empty() || steps.find_first_not_of("x-.") != std::string::npos || steps.front() == '-') return std::nullopt;
  const Beats step = meter.bar_length() / static_cast<std::int64_t>(steps.size());
  std::vector<RhythmNote> notes;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    if (steps[i] == '-' && steps[i - 1] == '.') return std::nullopt;
    if (steps[i] == 'x') notes.push_back({step * static_cast<std::int64_t>(i), step});
    if (steps[i] == '-') notes.back().length += step;
  }
  if (notes.empty()) return std::nullopt;
  return notes;
}

Parsed<ExerciseRhythm> read_rhythm(const EmbeddedText& file, std::string_view id, const TomlTable& table) {
  const auto fault = [&](std::string_view message) {
    return toml_error(file, table.place(), fmt::format("{}: {}", id, message));
  };
  ExerciseRhythm rhythm{std::string(id), {}, table.integer("level").value_or(0), {}};
  const auto meter = parse_meter(table.string("meter").value_or(""));
  if (!meter) return fault("meter must be one like 4/4");
  rhythm.meter = *meter;
  if (rhythm.level < 1 || rhythm.level > 8) return fault("level must be 1 to 8");
  auto notes = notes_of(table.string("steps").value_or(""), *meter);
  if (!notes) return fault("steps must hold only x, - and ., and begin with x or .");
  rhythm.notes = std::move(*notes);
  return rhythm;
}

Parsed<ExerciseBacking> read_backing(const EmbeddedText& file, std::string_view id, const TomlTable& table) {
  const auto fault = [&](std::string_view message) {
    return toml_error(file, table.place(), fmt::format("{}: {}", id, message));
  };
  ExerciseBacking backing;
  backing.style = id;
  const auto meter = parse_meter(table.string("meter").value_or(""));
  if (!meter) return fault("meter must be one like 4/4");
  backing.meter = *meter;
  backing.level = table.integer("level").value_or(0);
  if (backing.level < 1 || backing.level > 8) return fault("level must be 1 to 8");
  const auto tempo = span_of(table, "tempo");
  if (!tempo || tempo->first < 20 || tempo->second > 400) return fault("tempo must be two numbers from 20 to 400");
  std::tie(backing.slowest_bpm, backing.fastest_bpm) = *tempo;
  return backing;
}

/// Whether the text has the word or its plural, not as a part of a longer word.
bool mentions(std::string_view text, std::string_view word) {
  for (auto at = text.begin(); at != text.end();) {
    const auto found = std::search(at, text.end(), word.begin(), word.end(), same_letter);
    if (found == text.end()) return false;
    auto after = found + static_cast<std::ptrdiff_t>(word.size());
    if (after != text.end() && *after == 's') ++after;
    const bool begins = found == text.begin() || !is_letter(*(found - 1));
    if (begins && (after == text.end() || !is_letter(*after))) return true;
    at = found + 1;
  }
  return false;
}

}  // namespace

Parsed<std::vector<ExerciseKind>> read_exercise_kinds(const EmbeddedText& file) {
  return read_rows<ExerciseKind>(file, read_kind);
}

Parsed<std::vector<ExerciseRhythm>> read_exercise_rhythms(const EmbeddedText& file) {
  return read_rows<ExerciseRhythm>(file, read_rhythm);
}

Parsed<std::vector<ExerciseBacking>> read_exercise_backings(const EmbeddedText& file) {
  return read_rows<ExerciseBacking>(file, read_backing);
}

Parsed<std::vector<ExplainedWord>> read_explained_words(const EmbeddedText& file) {
  return read_rows<ExplainedWord>(
      file, [](const EmbeddedText& where, std::string_view id, const TomlTable& table) -> Parsed<ExplainedWord> {
        ExplainedWord word{table.string("word").value_or(std::string(id)), table.string("means").value_or("")};
        if (word.meaning.empty()) return toml_error(where, table.place(), fmt::format("{}: means is missing", id));
        return word;
      });
}

std::span<const ExerciseKind> exercise_kinds() {
  static const auto kinds = rows_of<ExerciseKind>(exercise_kind_texts(), read_exercise_kinds);
  return kinds;
}

std::span<const ExerciseRhythm> exercise_rhythms() {
  static const auto rhythms = rows_of<ExerciseRhythm>(exercise_rhythm_texts(), read_exercise_rhythms);
  return rhythms;
}

std::span<const ExerciseBacking> exercise_backings() {
  static const auto backings = rows_of<ExerciseBacking>(exercise_backing_texts(), read_exercise_backings);
  return backings;
}

std::span<const ExplainedWord> explained_words() {
  static const auto words = rows_of<ExplainedWord>(exercise_word_texts(), read_explained_words);
  return words;
}

const ExerciseKind* exercise_kind_named(std::string_view id) {
  const auto all = exercise_kinds();
  const auto found = std::find_if(all.begin(), all.end(), [&](const ExerciseKind& kind) { return kind.id == id; });
  return found == all.end() ? nullptr : &*found;
}

std::vector<ExplainedWord> words_to_explain(std::string_view text) {
  std::vector<ExplainedWord> found;
  for (const ExplainedWord& word : explained_words()) {
    if (mentions(text, word.word)) found.push_back(word);
  }
  return found;
}

}  // namespace romanesca
