#include "progressions/level.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <optional>

#include "theory/chords/chord_suffix.h"
#include "theory/text/toml.h"

namespace romanesca {
namespace {

/// The index of a word in a list of names, or nothing.
template <std::size_t N>
std::optional<std::size_t> index_of(const std::optional<std::string>& word,
                                    const std::array<std::string_view, N>& names) {
  const auto found = std::find(names.begin(), names.end(), word.value_or(""));
  if (found == names.end()) return std::nullopt;
  return static_cast<std::size_t>(found - names.begin());
}

constexpr std::array<std::string_view, 4> foreign_names{"none", "applied", "borrowed", "any"};
constexpr std::array<std::string_view, 4> rhythm_names{"held", "halves", "beats", "free"};
constexpr std::array<std::string_view, 4> left_names{"root", "fifth", "octave", "broken"};

Parsed<Level> read_level(const EmbeddedText& file, int number, const TomlTable& table) {
  const auto fault = [&](const std::string& message) {
    return toml_error(file, table.place(), fmt::format("level {}: {}", number, message));
  };
  Level result;
  result.number = number;
  result.name = table.string("name").value_or("");
  struct Field {
    const char* name;
    int* value;
    int lowest, highest;
  };
  for (const Field& field :
       {Field{"accidentals", &result.accidentals, 0, 7}, Field{"inversions", &result.inversions, 0, 3},
        Field{"chords_per_bar", &result.chords_per_bar, 1, 24}, Field{"span", &result.span, 7, 24}}) {
    *field.value = table.integer(field.name).value_or(-1);
    if (*field.value < field.lowest || *field.value > field.highest) {
      return fault(fmt::format("{} must be {} to {}", field.name, field.lowest, field.highest));
    }
  }
  const auto foreign = index_of(table.string("foreign"), foreign_names);
  if (!foreign) return fault(fmt::format("foreign must be one of {}", fmt::join(foreign_names, ", ")));
  result.foreign = static_cast<ForeignChords>(*foreign);
  const auto left = index_of(table.string("left"), left_names);
  if (!left) return fault(fmt::format("left must be one of {}", fmt::join(left_names, ", ")));
  result.left = static_cast<LeftHand>(*left);
  const auto rhythm = index_of(table.string("rhythm"), rhythm_names);
  if (!rhythm) return fault(fmt::format("rhythm must be one of {}", fmt::join(rhythm_names, ", ")));
  result.rhythm = static_cast<Rhythm>(*rhythm);
  const TomlArray* chords = table.array("chords");
  if (chords == nullptr || chords->empty()) return fault("chords is missing");
  for (const TomlValue& value : *chords) {
    const std::string suffix = value.string() != nullptr ? *value.string() : "?";
    const auto type = parse_chord_suffix(suffix);
    if (suffix == "*") {
      result.all_chords = true;
    } else if (type) {
      result.chords.push_back(*type);
    } else {
      return fault(fmt::format("unknown chord \"{}\"", suffix));
    }
  }
  return result;
}

/// What a level must allow for a chord of this origin.
ForeignChords reach_of(Origin origin) {
  switch (origin) {
    case Origin::diatonic:
      return ForeignChords::none;
    case Origin::applied:
    case Origin::blues:
    case Origin::related_two:
    case Origin::line:
      return ForeignChords::applied;
    case Origin::borrowed:
    case Origin::passing:
    case Origin::pedal:
    case Origin::common_tone:
      return ForeignChords::borrowed;
    case Origin::substitute:
    case Origin::dominant:
    case Origin::tonicised:
    case Origin::altered:
    case Origin::parallel:
    case Origin::chromatic_third:
    case Origin::chromatic:
      break;
  }
  return ForeignChords::any;
}

}  // namespace

bool Level::allows(ChordType type) const {
  return all_chords || std::find(chords.begin(), chords.end(), type) != chords.end();
}

bool Level::allows(Origin origin) const { return reach_of(origin) <= foreign; }

bool Level::allows(const Key& key) const { return std::abs(key.signature()) <= accidentals; }

Parsed<std::vector<Level>> read_levels(const EmbeddedText& file) {
  const auto parsed = parse_toml(file);
  if (!parsed) return parsed.error();
  std::vector<Level> result;
  for (int number = 1; number <= 8; ++number) {
    const TomlTable* table = parsed->table(std::to_string(number));
    if (table == nullptr) return toml_error(file, parsed->place(), fmt::format("level {} is missing", number));
    auto read = read_level(file, number, *table);
    if (!read) return read.error();
    result.push_back(std::move(*read));
  }
  return result;
}

std::span<const Level> levels() {
  static const std::vector<Level> all = [] {
    auto read = read_levels(level_texts().front());
    return read ? std::move(*read) : std::vector<Level>(8);  // the tests read the file
  }();
  return all;
}

const Level& level(int number) { return levels()[static_cast<std::size_t>(std::clamp(number, 1, 8) - 1)]; }

HandSettings level_hands(const Level& level) {
  HandSettings settings;
  settings.left = level.left;
  settings.span = level.span;
  settings.most_inversion = level.inversions;
  settings.one_place = level.inversions == 0;
  settings.spare_doublings = true;
  return settings;
}

bool chords_fit(const Analysis& analysis, const Level& level) {
  int bar = 0;
  int in_bar = 0;
  for (const AnalysedChord& each : analysis.chords) {
    if (!each.timed.chord || each.timed.held) continue;
    in_bar = each.timed.bar == bar ? in_bar + 1 : 1;
    bar = each.timed.bar;
    const Chord& chord = *each.timed.chord;
    const int inversion = chord.bass == chord.root ? 0 : chord.inversion().value_or(3);
    // A chord of the piece's own key is none from outside, also where the music is heard in another key for a while.
    const bool known = level.allows(each.reading->origin) || is_diatonic(chord, analysis.keys.main.key);
    const bool playable =
        level.allows(chord.type) && known && inversion <= level.inversions && in_bar <= level.chords_per_bar;
    if (!playable) return false;
  }
  return true;
}

int level_of(const Analysis& analysis, std::span<const Level> of) {
  const auto found = std::find_if(of.begin(), of.end(), [&](const Level& each) {
    const bool keys_fit = std::all_of(analysis.chords.begin(), analysis.chords.end(), [&](const AnalysedChord& chord) {
      return !chord.timed.chord || each.allows(chord.key);
    });
    return keys_fit && chords_fit(analysis, each);
  });
  return found == of.end() ? of.back().number : found->number;
}

std::string_view description(Rhythm rhythm) {
  constexpr std::array<std::string_view, 4> texts{"strike each chord once and hold it", "strike on every second beat",
                                                  "strike on every beat", "find a rhythm of your own"};
  return texts[static_cast<std::size_t>(rhythm)];
}

std::vector<Chord> playable_triads(const Key& key, const Level& level) {
  std::vector<Chord> palette;
  for (int degree = 1; degree <= 7; ++degree) {
    Chord chord = key.diatonic_chord(degree, 3);
    if (key.mode == Mode::minor && degree == 5) chord = Chord::on(chord.root, chord_types::major);
    const bool main = degree == 1 || degree == 4 || degree == 5;
    if (!chord.type.is_diminished() && (main || (level.number > 1 && level.allows(chord.type))))
      palette.push_back(chord);
  }
  return palette;
}

}  // namespace romanesca
