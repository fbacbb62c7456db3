#include "synth/arranging/style.h"

#define TOML_EXCEPTIONS 0
#define TOML_HEADER_ONLY 1
#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <array>

#include "theory/data_text.h"

namespace romanesca {
namespace {

struct DrumName {
  std::string_view name;
  int key;
};
/// General MIDI percussion keys (General MIDI System Level 1, MIDI Association).
constexpr std::array<DrumName, 16> drum_names{{{"kick", 36},
                                               {"stick", 37},
                                               {"snare", 38},
                                               {"clap", 39},
                                               {"low-tom", 41},
                                               {"hat", 42},
                                               {"pedal-hat", 44},
                                               {"mid-tom", 45},
                                               {"open-hat", 46},
                                               {"high-tom", 50},
                                               {"crash", 49},
                                               {"ride", 51},
                                               {"tambourine", 54},
                                               {"shaker", 70},
                                               {"high-block", 76},
                                               {"low-block", 77}}};

struct RoleName {
  std::string_view name;
  StyleRole role;
  std::string_view signs;  ///< that its row may hold
};
constexpr std::array<RoleName, 5> roles{{{"drums", StyleRole::drums, ".Xxo"},
                                         {"bass", StyleRole::bass, ".-R583A"},
                                         {"keys", StyleRole::keys, ".-Xxo12345"},
                                         {"guitar", StyleRole::guitar, ".-DU12345"},
                                         {"pad", StyleRole::pad, ".-Xxo"}}};

/// Reads one file and remembers the first fault.
class StyleReader {
 public:
  explicit StyleReader(const EmbeddedText& file) : file_(file) {}

  Parsed<Style> read() {
    const DataText data = read_data_text(file_.text);
    if (data.fault) {
      TextError error = fault({}, std::string(data.fault->message));
      error.place = data.fault->place;
      return error;
    }
    const toml::parse_result parsed = toml::parse(data.ascii);
    if (!parsed) return fault(parsed.error().source(), std::string(parsed.error().description()));
    const toml::table& table = parsed.table();
    style_.id = file_.name;
    style_.feel = table["feel"].value_or(std::string());
    const auto meter = parse_meter(table["meter"].value_or(std::string_view()));
    if (!meter) return fault(table.source(), "meter is missing or not one I know");
    style_.meter = *meter;
    style_.steps_per_beat = table["steps_per_beat"].value_or(0);
    if (style_.steps_per_beat < 1 || style_.steps_per_beat > 12) {
      return fault(table.source(), "steps_per_beat is 1 to 12");
    }
    const toml::array* tempo = table["tempo"].as_array();
    if (tempo == nullptr || tempo->size() != 3) return fault(table.source(), "tempo is [slowest, usual, fastest]");
    style_.slowest_bpm = tempo->get(0)->value_or(0.0);
    style_.usual_bpm = tempo->get(1)->value_or(0.0);
    style_.fastest_bpm = tempo->get(2)->value_or(0.0);
    for (const RoleName& role : roles) {
      const toml::table* part = table[role.name].as_table();
      if (part == nullptr) continue;
      if (auto error = read_part(role, *part)) return *error;
    }
    return style_;
  }

 private:
  std::optional<TextError> read_part(const RoleName& role, const toml::table& table) {
    StylePart part{role.role,
                   std::string(role.name),
                   table["instrument"].value_or(std::string()),
                   table["level_db"].value_or(0.0),
                   {}};
    for (const auto& [key, node] : table) {
      const std::string_view name = key.str();
      if (name == "instrument" || name == "level_db") continue;
      StyleRow row;
      if (role.role == StyleRole::drums) {
        const auto drum =
            std::find_if(drum_names.begin(), drum_names.end(), [&](const DrumName& each) { return each.name == name; });
        if (drum == drum_names.end()) return fault(node.source(), fmt::format("\"{}\" is no drum I know", name));
        row.drum = drum->key;
      } else if (name != "play") {
        return fault(node.source(), fmt::format("\"{}\" is no row of {}", name, role.name));
      }
      for (const char sign : node.value_or(std::string())) {
        if (sign == ' ' || sign == '|') continue;
        if (role.signs.find(sign) == std::string_view::npos) {
          return fault(node.source(), fmt::format("\"{}\" is no sign for {}", sign, role.name));
        }
        row.steps += sign;
      }
      if (row.steps.empty() || row.steps.size() % static_cast<std::size_t>(style_.steps_per_bar()) != 0) {
        return fault(node.source(),
                     fmt::format("{} steps fill no whole bars of {}", row.steps.size(), style_.steps_per_bar()));
      }
      part.rows.push_back(std::move(row));
    }
    std::sort(part.rows.begin(), part.rows.end(), [](const StyleRow& a, const StyleRow& b) { return a.drum < b.drum; });
    style_.parts.push_back(std::move(part));
    return std::nullopt;
  }

  TextError fault(const toml::source_region& where, std::string message) const {
    TextError error;
    error.source = std::string(file_.name) + ".toml";
    error.place = {static_cast<int>(where.begin.line), static_cast<int>(where.begin.column), 1};
    error.message = std::move(message);
    return error;
  }

  const EmbeddedText& file_;
  Style style_;
};

}  // namespace

Parsed<Style> read_style(const EmbeddedText& file) { return StyleReader(file).read(); }

std::span<const Style> styles() {
  static const std::vector<Style> all = [] {
    std::vector<Style> read;
    for (const EmbeddedText& file : style_texts()) {
      // The tests read every file; one with a fault would not have come this far.
      if (auto style = read_style(file)) read.push_back(std::move(*style));
    }
    std::sort(read.begin(), read.end(), [](const Style& a, const Style& b) { return a.id < b.id; });
    return read;
  }();
  return all;
}

const Style* style_named(std::string_view id) {
  const auto all = styles();
  const auto found = std::find_if(all.begin(), all.end(), [&](const Style& style) { return style.id == id; });
  return found == all.end() ? nullptr : &*found;
}

const Style& usual_style(const Meter& meter) {
  if (meter == Meter{4, 4}) return *style_named("pop");
  const auto all = styles();
  const auto found = std::find_if(all.begin(), all.end(), [&](const Style& style) { return style.meter == meter; });
  return found == all.end() ? all.front() : *found;
}

}  // namespace romanesca
