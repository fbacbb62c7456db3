#include "progressions/exercises/level_step.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>

#include "progressions/toml_rows.h"
#include "theory/chords/chord.h"
#include "theory/notes/interval.h"

namespace romanesca {
namespace {

bool is_degree(const std::string& text) {
  const std::size_t at = text.starts_with('b') || text.starts_with('#') ? 1 : 0;
  return text.size() == at + 1 && text[at] >= '1' && text[at] <= '7';
}

std::optional<CadenceKind> cadence_named(const std::string& word) {
  constexpr std::array kinds{CadenceKind::authentic, CadenceKind::plagal, CadenceKind::deceptive, CadenceKind::half};
  for (const CadenceKind kind : kinds) {
    if (cadence_term(kind).find(" " + word + " ") != std::string_view::npos) return kind;
  }
  return std::nullopt;
}

std::optional<ChordType> chord_named(const std::string& word) {
  const auto chord = parse_chord(word == "major" ? "C" : "C" + word);
  return chord ? std::optional(chord->type) : std::nullopt;
}

/// Reads one level; what the ones before it brought is in `step` already.
class StepReader {
 public:
  StepReader(const EmbeddedText& file, std::string_view id, const TomlTable& table, LevelStep& step)
      : file_(file), id_(id), table_(table), step_(step) {}

  std::optional<TextError> read() {
    struct Line {
      const char* name;
      std::string* value;
    };
    for (const Line& line : {Line{"harmony", &step_.harmony}, Line{"hands", &step_.hands},
                             Line{"rhythm", &step_.rhythm}, Line{"ear", &step_.ear}, Line{"form", &step_.form}}) {
      *line.value = table_.string(line.name).value_or("");
      if (line.value->empty()) return fault(fmt::format("{} is missing", line.name));
    }
    struct CountLine {
      const char* name;
      int* value;
      int most;
    };
    for (const CountLine& count : {CountLine{"questions", &step_.questions, 12}, CountLine{"rounds", &step_.rounds, 8},
                                   CountLine{"bars", &step_.bars, 8}, CountLine{"inversions", &step_.inversions, 3},
                                   CountLine{"loop", &step_.loop, 8}}) {
      *count.value = table_.integer(count.name).value_or(-1);
      if (*count.value < 0 || *count.value > count.most) {
        return fault(fmt::format("{} must be 0 to {}", count.name, count.most));
      }
    }
    if (auto wrong = add("intervals", step_.intervals, [](const std::string& text) { return parse_interval(text); }))
      return wrong;
    if (auto wrong = add("chords", step_.chords, chord_named)) return wrong;
    if (auto wrong = add("cadences", step_.cadences, cadence_named)) return wrong;
    return add("degrees", step_.degrees,
               [](const std::string& text) { return is_degree(text) ? std::optional(text) : std::nullopt; });
  }

 private:
  [[nodiscard]] TextError fault(const std::string& message) const {
    return toml_error(file_, table_.place(), fmt::format("{}: {}", id_, message));
  }

  /// Adds what a list brings, each read from its text.
  template <typename Value, typename Parse>
  [[nodiscard]] std::optional<TextError> add(const char* name, std::vector<Value>& values, Parse parse) {
    const TomlArray* list = table_.array(name);
    if (list == nullptr) return fault(fmt::format("{} must be a list", name));
    for (const TomlValue& each : *list) {
      const std::string* text = each.string();
      if (text == nullptr) return fault(fmt::format("{} must be a list of texts", name));
      const auto value = parse(*text);
      if (!value.has_value()) return fault(fmt::format("{}: cannot read \"{}\"", name, *text));
      values.push_back(value.value());
    }
    return std::nullopt;
  }

  const EmbeddedText& file_;
  std::string_view id_;
  const TomlTable& table_;
  LevelStep& step_;
};

}  // namespace

std::string full_name(Interval interval) {
  constexpr std::array<std::string_view, 13> names{
      "unison",        "minor second", "major second", "minor third",   "major third",   "perfect fourth", "tritone",
      "perfect fifth", "minor sixth",  "major sixth",  "minor seventh", "major seventh", "octave"};
  const int semitones = interval.semitones();
  return semitones >= 0 && semitones <= 12 ? std::string(names[static_cast<std::size_t>(semitones)]) : "";
}

Parsed<std::vector<LevelStep>> read_level_steps(const EmbeddedText& file) {
  LevelStep so_far;
  auto rows = read_rows<LevelStep>(
      file, [&](const EmbeddedText& where, std::string_view id, const TomlTable& table) -> Parsed<LevelStep> {
        if (auto wrong = StepReader(where, id, table, so_far).read()) return *wrong;
        LevelStep step = so_far;
        so_far.number = step.number + 1;
        return step;
      });
  if (rows && rows->size() != 8) return toml_error(file, {1, 1, 1}, "there must be eight levels");
  return rows;
}

std::span<const LevelStep> level_steps() {
  static const auto steps = rows_of<LevelStep>(exercise_level_texts(), read_level_steps);
  return steps;
}

const LevelStep& level_step(int number) {
  return level_steps()[static_cast<std::size_t>(std::clamp(number, 1, 8) - 1)];
}

}  // namespace romanesca
