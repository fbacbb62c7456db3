#include "synth/arranging/drum_fills.h"

#include <fmt/format.h>

#include <algorithm>

#include "synth/arranging/drum_names.h"
#include "theory/text/toml.h"

namespace romanesca {
namespace {

/// The signs of a row without blanks; an error for others than @p known.
Parsed<std::string> signs_of(const EmbeddedText& file, const TomlValue& value, std::string_view known) {
  std::string signs;
  for (const char sign : value.string() != nullptr ? *value.string() : "") {
    if (sign == ' ' || sign == '|') continue;
    if (known.find(sign) == std::string_view::npos) {
      return toml_error(file, value.place(), fmt::format("unknown sign \"{}\" for a fill", sign));
    }
    signs += sign;
  }
  return signs;
}

Parsed<DrumFill> read_fill(const EmbeddedText& file, const TomlTable& table, int steps_per_pulse) {
  DrumFill fill;
  fill.steps_per_pulse = steps_per_pulse;
  for (const auto& [name, value] : table.entries()) {
    if (name == "build") {
      fill.build = value.boolean() != nullptr && *value.boolean();
      continue;
    }
    const int drum = drum_key(name);
    if (drum == 0)
      return toml_error(file, value.place(), fmt::format("unknown drum \"{}\"", name), drum_names_hint(name));
    auto signs = signs_of(file, value, ".Xxog");
    if (!signs) return signs.error();
    const auto length = static_cast<int>(signs->size());
    const bool fits = fill.rows.empty() || signs->size() == fill.rows.front().ways.front().size();
    if (length == 0 || length % steps_per_pulse != 0 || !fits) {
      return toml_error(
          file, value.place(),
          fmt::format("{} steps do not fill whole beats of {}, as long as the other rows", length, steps_per_pulse));
    }
    fill.pulses = length / steps_per_pulse;
    fill.rows.push_back({drum, {std::move(*signs)}});
  }
  if (fill.rows.empty()) return toml_error(file, table.place(), "the fill has no row");
  return fill;
}

}  // namespace

Parsed<FillFamily> read_fills(const EmbeddedText& file) {
  const auto parsed = parse_toml(file);
  if (!parsed) return parsed.error();
  FillFamily family;
  family.id = file.name;
  const int steps = parsed->integer("steps_per_beat").value_or(0);
  if (steps < 1 || steps > 12) return toml_error(file, parsed->place(), "steps_per_beat must be 1 to 12");
  for (const TomlEntry& entry : parsed->entries()) {
    const TomlTable* const table = entry.value.table();
    if (table == nullptr) continue;
    auto fill = read_fill(file, *table, steps);
    if (!fill) return fill.error();
    family.fills.push_back(std::move(*fill));
  }
  if (family.fills.empty()) return toml_error(file, parsed->place(), "the file has no fill");
  return family;
}

std::span<const FillFamily> fill_families() {
  static const std::vector<FillFamily> all = [] {
    std::vector<FillFamily> read;
    for (const EmbeddedText& file : fill_texts()) {
      // The tests read every file, so a built-in one has no errors.
      if (auto family = read_fills(file)) read.push_back(std::move(*family));
    }
    std::sort(read.begin(), read.end(), [](const FillFamily& a, const FillFamily& b) { return a.id < b.id; });
    return read;
  }();
  return all;
}

const FillFamily* fills_named(std::string_view id) {
  for (const FillFamily& family : fill_families()) {
    if (family.id == id) return &family;
  }
  return nullptr;
}

}  // namespace romanesca
