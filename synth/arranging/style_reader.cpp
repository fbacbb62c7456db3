#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <string>
#include <vector>

#include "synth/arranging/drum_names.h"
#include "synth/arranging/style.h"
#include "theory/text/nearest_word.h"
#include "theory/text/toml.h"

namespace romanesca {
namespace {

struct RoleName {
  std::string_view name;
  StyleRole role;
  std::string_view signs;  ///< that its rows may have
  HandRange range;
};
constexpr std::string_view chord_signs = ".-Xxo12345P?";
constexpr HandRange under_the_melody{52, 76};  // E3 to E5: under a melody, above the bass
constexpr HandRange under_the_keys{48, 72};    // organ, pad and strings lie beside the keys, not in them
constexpr HandRange over_the_keys{57, 81};
constexpr std::array<RoleName, 8> roles{{{"drums", StyleRole::drums, ".Xxog?", {}},
                                         {"percussion", StyleRole::drums, ".Xxog?", {}},
                                         {"bass", StyleRole::bass, ".-R35678vAWP=?", {}},
                                         {"keys", StyleRole::chords, chord_signs, under_the_melody},
                                         {"organ", StyleRole::chords, chord_signs, under_the_keys},
                                         {"guitar", StyleRole::guitar, ".-DUC12345P?", {}},
                                         {"pad", StyleRole::chords, chord_signs, over_the_keys},
                                         {"strings", StyleRole::chords, chord_signs, {60, 84}}}};

constexpr std::array<VoicingKind, 5> voicing_kinds{VoicingKind::close, VoicingKind::root_position, VoicingKind::open,
                                                   VoicingKind::shell, VoicingKind::rootless};

/// "did you mean ride?" for a name of the table that is near, else all of its names.
template <typename Table>
std::string names_hint(std::string_view name, const Table& table) {
  std::vector<std::string> names;
  for (const auto& row : table) names.emplace_back(row.name);
  if (const auto near = nearest_word(name, names)) return fmt::format("did you mean {}?", *near);
  return fmt::format("choose {}", fmt::join(names, ", "));
}

/// Reads one file and keeps the first error.
class StyleReader {
 public:
  explicit StyleReader(const EmbeddedText& file) : file_(file) {}

  Parsed<Style> read() {
    const auto parsed = parse_toml(file_);
    if (!parsed) return parsed.error();
    read_head(*parsed);
    for (const TomlEntry& entry : parsed->entries()) {
      const TomlTable* part = entry.value.table();
      if (part == nullptr || fault_) continue;
      const auto role =
          std::find_if(roles.begin(), roles.end(), [&](const RoleName& each) { return each.name == entry.name; });
      if (role == roles.end()) {
        fail(entry.value.place(), fmt::format("unknown part \"{}\"", entry.name), names_hint(entry.name, roles));
      } else {
        read_part(*role, *part);
      }
    }
    if (!fault_ && style_.parts.empty()) fail(parsed->place(), "the style has no part");
    if (fault_) return *fault_;
    sort_parts();
    return std::move(style_);
  }

 private:
  void read_head(const TomlTable& table) {
    style_.id = file_.name;
    style_.feel = table.string("feel").value_or("");
    const auto meter = parse_meter(table.string("meter").value_or(""));
    if (!meter) return fail(table.place(), "meter is missing or unknown");
    style_.meter = *meter;
    style_.steps_per_beat = table.integer("steps_per_beat").value_or(0);
    if (style_.steps_per_beat < 1 || style_.steps_per_beat > 12) {
      return fail(table.place(), "steps_per_beat must be 1 to 12");
    }
    style_.swing_percent = table.integer("swing").value_or(50);
    if (style_.swing_percent < 50 || style_.swing_percent > 75) return fail(table.place(), "swing must be 50 to 75");
    const std::string swung = table.string("swung").value_or("eighths");
    if (swung != "eighths" && swung != "sixteenths") return fail(table.place(), "swung must be eighths or sixteenths");
    style_.swung = swung == "eighths" ? Beats(1, 2) : Beats(1, 4);
    const auto ending = parse_ending(table.string("ending").value_or("hold"));
    if (!ending || *ending == Ending::own) {
      return fail(table.find("ending")->place(), "ending must be none, hold, slow, button, tag or fade");
    }
    style_.ending = *ending;
    const std::string intro = table.string("intro").value_or("band");
    if (intro != "band" && intro != "drums") return fail(table.find("intro")->place(), "intro must be band or drums");
    style_.drums_begin = intro == "drums";
    read_fill_family(table);
    const TomlArray* tempo = table.array("tempo");
    if (tempo == nullptr || tempo->size() != 3) return fail(table.place(), "tempo must be [slowest, usual, fastest]");
    style_.slowest_bpm = (*tempo)[0].number().value_or(0.0);
    style_.usual_bpm = (*tempo)[1].number().value_or(0.0);
    style_.fastest_bpm = (*tempo)[2].number().value_or(0.0);
    const bool rising = slowest_bpm <= style_.slowest_bpm && style_.slowest_bpm <= style_.usual_bpm &&
                        style_.usual_bpm <= style_.fastest_bpm && style_.fastest_bpm <= fastest_bpm;
    if (!rising) fail(table.find("tempo")->place(), "tempo must rise from slowest to fastest, between 20 and 400");
  }

  /// The family that the style names, else the one for its grid.
  void read_fill_family(const TomlTable& table) {
    const bool triplets = style_.meter.is_compound() || style_.steps_per_beat % 3 == 0;
    const bool swings = style_.swing_percent > 57 && style_.swung == Beats(1, 2);
    const std::string id = table.string("fills").value_or(triplets ? "triplet" : swings ? "swing" : "straight");
    if (id == "none") return;
    style_.fills = fills_named(id);
    if (style_.fills != nullptr) return;
    std::vector<std::string> ids{"none"};
    for (const FillFamily& family : fill_families()) ids.push_back(family.id);
    fail(table.find("fills")->place(), fmt::format("unknown fills \"{}\"", id),
         fmt::format("choose {}", fmt::join(ids, ", ")));
  }

  void read_part(const RoleName& role, const TomlTable& table) {
    StylePart part;
    part.role = role.role;
    part.name = role.name;
    part.range = role.range;
    part.level_db = static_cast<float>(table.number("level_db").value_or(0.0));
    if (part.level_db < -24 || part.level_db > 12) return fail(table.place(), "level_db must be -24 to 12");
    part.lean_ms = table.number("lean_ms").value_or(0.0);
    if (part.lean_ms < -30 || part.lean_ms > 30) return fail(table.place(), "lean_ms must be -30 to 30");
    if (const auto wanted = table.string("voicing")) {
      const auto kind = std::find_if(voicing_kinds.begin(), voicing_kinds.end(),
                                     [&](VoicingKind each) { return to_string(each) == *wanted; });
      if (kind == voicing_kinds.end()) return fail(table.place(), fmt::format("unknown voicing \"{}\"", *wanted));
      part.voicing = *kind;
    }
    if (const auto mark = table.string("mark")) {
      part.mark = drum_key(*mark);
      if (part.mark == 0) return fail(table.place(), fmt::format("unknown drum \"{}\"", *mark), drum_names_hint(*mark));
    }
    read_patterns(role, table, part);
    if (!fault_) read_instrument(table, part);
    style_.parts.push_back(std::move(part));
  }

  void read_instrument(const TomlTable& table, StylePart& part) {
    const std::string word = table.string("instrument").value_or("");
    if (const InstrumentRow* const row = instrument_named(word)) {
      part.instrument = row->id;
      return;
    }
    std::vector<std::string> names;
    for (const InstrumentRow& row : instruments()) names.emplace_back(row.name);
    const auto near = nearest_word(word, names);
    const TomlValue* const value = table.find("instrument");
    fail(value != nullptr ? value->place() : table.place(), word.empty()
                                                                ? fmt::format("{} has no instrument", part.name)
                                                                : fmt::format("unknown instrument \"{}\"", word));
    fault_->hint =
        near ? fmt::format("did you mean {}?", *near) : fmt::format("choose one of {}", fmt::join(names, ", "));
  }

  /// A drum has its rows in the part's table and in tables within it; others have one row under each name.
  void read_patterns(const RoleName& role, const TomlTable& table, StylePart& part) {
    const auto variant = [&](std::string_view name) -> std::optional<StylePattern>* {
      return name == "soft"                                     ? &part.soft
             : name == "full"                                   ? &part.full
             : name == "fill"                                   ? &part.fill
             : name == "brief" && role.role != StyleRole::drums ? &part.brief
                                                                : nullptr;
    };
    for (const auto& [name, value] : table.entries()) {
      if (name == "instrument" || name == "level_db" || name == "lean_ms" || name == "voicing" || name == "mark" ||
          fault_)
        continue;
      if (name == "fill" && role.name == "drums") {
        read_own_fill(role, value, part);
        continue;
      }
      if (std::optional<StylePattern>* other = variant(name)) {
        read_variant(role, name, value, other->emplace());
      } else {
        read_row(role, name, value, part.play);
      }
    }
    for (StylePattern* pattern : {&part.play, part.soft ? &*part.soft : nullptr, part.full ? &*part.full : nullptr,
                                  part.fill ? &*part.fill : nullptr}) {
      if (pattern == nullptr) continue;
      std::sort(pattern->begin(), pattern->end(), [](const StyleRow& a, const StyleRow& b) { return a.drum < b.drum; });
    }
  }

  /// A fill of a whole bar on the style's own grid.
  void read_own_fill(const RoleName& role, const TomlValue& value, StylePart& part) {
    DrumFill fill;
    read_variant(role, "fill", value, fill.rows);
    if (fault_ || fill.rows.empty()) return;
    fill.pulses = style_.meter.pulses();
    fill.steps_per_pulse = style_.steps_per_bar() / fill.pulses;
    for (const StyleRow& row : fill.rows) {
      if (row.ways.size() == 1 && static_cast<int>(row.ways.front().size()) == style_.steps_per_bar()) continue;
      return fail(value.place(), "a row of a fill is one bar long, and has no other ways");
    }
    part.fills.push_back(std::move(fill));
  }

  void read_variant(const RoleName& role, std::string_view name, const TomlValue& value, StylePattern& pattern) {
    if (value.string() != nullptr || value.array() != nullptr) return read_row(role, "play", value, pattern);
    const TomlTable* const rows = value.table();
    if (rows == nullptr) return fail(value.place(), fmt::format("\"{}\" must be a row or a table of rows", name));
    for (const auto& [row, steps] : rows->entries()) read_row(role, row, steps, pattern);
  }

  /// One way to play a row, or an array of ways.
  void read_row(const RoleName& role, std::string_view name, const TomlValue& value, StylePattern& pattern) {
    if (fault_ || (value.string() != nullptr && *value.string() == "tacet")) return;
    StyleRow row;
    if (role.role == StyleRole::drums) {
      row.drum = drum_key(name);
      if (row.drum == 0) return fail(value.place(), fmt::format("unknown drum \"{}\"", name), drum_names_hint(name));
    } else if (name != "play") {
      return fail(value.place(), fmt::format("unknown row \"{}\" of {}", name, role.name));
    }
    if (const TomlArray* const ways = value.array()) {
      for (const TomlValue& way : *ways) read_way(role, way, row);
      if (row.ways.empty()) fail(value.place(), "a row needs at least one way");
    } else {
      read_way(role, value, row);
    }
    pattern.push_back(std::move(row));
  }

  void read_way(const RoleName& role, const TomlValue& value, StyleRow& row) {
    if (fault_) return;
    std::string steps;
    for (const char sign : value.string() != nullptr ? *value.string() : "") {
      if (sign == ' ' || sign == '|') continue;
      if (role.signs.find(sign) == std::string_view::npos) {
        return fail(value.place(), fmt::format("unknown sign \"{}\" for {}", sign, role.name));
      }
      steps += sign;
    }
    if (steps.empty() || steps.size() % static_cast<std::size_t>(style_.steps_per_bar()) != 0) {
      return fail(value.place(),
                  fmt::format("{} steps do not fill whole bars of {}", steps.size(), style_.steps_per_bar()));
    }
    if (steps.front() == '-' && steps.find('P') == std::string::npos) {
      return fail(value.place(), "a row must begin with a stroke or a rest, not with -");
    }
    if (!row.ways.empty() && row.ways.front().size() != steps.size()) {
      return fail(value.place(), "all ways of a row must be as long as the first");
    }
    row.ways.push_back(std::move(steps));
  }

  /// In the order of the roles, not of the file.
  void sort_parts() {
    const auto place = [](const StylePart& part) {
      return std::find_if(roles.begin(), roles.end(), [&](const RoleName& role) { return role.name == part.name; });
    };
    std::sort(style_.parts.begin(), style_.parts.end(),
              [&](const StylePart& a, const StylePart& b) { return place(a) < place(b); });
  }

  void fail(const TextPlace& place, std::string message, std::string hint = {}) {
    if (!fault_) fault_ = toml_error(file_, place, std::move(message), std::move(hint));
  }

  const EmbeddedText& file_;
  Style style_;
  std::optional<TextError> fault_;
};

}  // namespace

Parsed<Style> read_style(const EmbeddedText& file) { return StyleReader(file).read(); }

}  // namespace romanesca
