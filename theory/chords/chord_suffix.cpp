#include "theory/chords/chord_suffix.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>

namespace romanesca {
namespace {

using namespace intervals;

constexpr Interval flat_ninth = minor_second, ninth = major_second, sharp_ninth{9, 0}, eleventh = perfect_fourth,
                   sharp_eleventh{6, 0}, flat_thirteenth = minor_sixth, thirteenth = major_sixth;

/// The suffix being read: what is left of it, and the chord so far.
struct Suffix {
  std::string_view rest;
  ChordType type = chord_types::major;

  bool take(std::string_view word) {
    if (rest.empty() || rest.front() != word.front() || !rest.starts_with(word)) return false;
    rest.remove_prefix(word.size());
    return true;
  }
  template <std::size_t N>
  bool take_any(const std::array<std::string_view, N>& words) {
    for (const std::string_view word : words) {
      if (take(word)) return true;
    }
    return false;
  }
};

enum class Seventh { none, minor, major, diminished };

constexpr std::array<std::string_view, 5> minor_words{"minor", "min", "mi", "m", "-"};
constexpr std::array<std::string_view, 6> major_words{"major", "maj", "Maj", "ma", "M", "j"};
constexpr std::array<std::string_view, 5> half_words{"half-dim", "halfdim", "hdim", "ø", "0"};

Interval interval_of(Seventh seventh) {
  return seventh == Seventh::major        ? major_seventh
         : seventh == Seventh::diminished ? diminished_seventh
                                          : minor_seventh;
}

/// number = "13" | "11" | "9" | "7": a stack of thirds up to that number. @return false if there is none.
bool read_stack(Suffix& suffix, Seventh seventh) {
  const bool to_13 = suffix.take("13");
  const bool to_11 = !to_13 && suffix.take("11");
  const bool to_9 = !to_13 && !to_11 && suffix.take("9");
  if (!to_13 && !to_11 && !to_9 && !suffix.take("7")) return false;
  suffix.type.add(interval_of(seventh));
  if (to_9 || to_11 || to_13) suffix.type.add(ninth);
  if (to_11) suffix.type.add(eleventh);
  if (to_13) suffix.type.add(thirteenth);
  return true;
}

/// sixth = "6/9" | "69" | "6"
bool read_sixth(Suffix& suffix) {
  if (suffix.take("6/9") || suffix.take("69")) {
    suffix.type.add(ninth);
  } else if (!suffix.take("6")) {
    return false;
  }
  suffix.type.add(major_sixth);
  return true;
}

/// major seventh after a quality: "maj7" | "M9" | "j7" | triangle with or without a number, in brackets or not.
bool read_major_seventh(Suffix& suffix) {
  if (suffix.rest.empty()) return false;
  Suffix trial = suffix;
  const bool bracket = trial.take("(");
  if (!bracket) trial.take("/");
  if (trial.take("Δ")) {
    if (!read_stack(trial, Seventh::major)) trial.type.add(major_seventh);
  } else if (!trial.take_any(major_words) || !read_stack(trial, Seventh::major)) {
    return false;
  }
  if (bracket && !trial.take(")")) return false;
  suffix = trial;
  return true;
}

/// quality = minor | major | diminished | half-diminished | augmented | nothing, with the number that belongs to it.
void read_quality(Suffix& suffix) {
  const bool lowered_fifth = suffix.rest.starts_with("-5");
  const bool major_word = suffix.rest.starts_with("ma") && !suffix.rest.starts_with("madd");
  if (!lowered_fifth && !major_word && suffix.take_any(minor_words)) {
    suffix.type = chord_types::minor;
    if (read_major_seventh(suffix) || read_sixth(suffix)) return;
    read_stack(suffix, Seventh::minor);
  } else if (suffix.take("dim") || suffix.take("°") || suffix.take("o")) {
    suffix.type = chord_types::diminished;
    if (!read_major_seventh(suffix)) read_stack(suffix, Seventh::diminished);
  } else if (suffix.take_any(half_words)) {
    suffix.type = chord_types::diminished;
    if (!read_stack(suffix, Seventh::minor)) suffix.type.add(minor_seventh);
  } else if (suffix.take("aug") || (suffix.rest.starts_with("+") && suffix.take("+"))) {
    suffix.type = chord_types::augmented;
    if (suffix.take("5") || read_major_seventh(suffix)) return;
    read_stack(suffix, Seventh::minor);
  } else if (suffix.take("Δ")) {
    if (!read_stack(suffix, Seventh::major)) suffix.type.add(major_seventh);
  } else if (suffix.take_any(major_words)) {
    if (!read_sixth(suffix)) read_stack(suffix, Seventh::major);
  } else if (!read_sixth(suffix) && !read_stack(suffix, Seventh::minor)) {
    if (suffix.take("5")) {
      suffix.type.remove(major_third);
    } else if (suffix.take("2")) {
      suffix.type.add(ninth);
    } else if (suffix.take("4")) {
      suffix.type.replace(major_third, perfect_fourth);
    }
  }
}

/// suspension = "sus" [ "24" | "4" | "2" | number [ "sus" rest ] ]
void suspend(Suffix& suffix) {
  suffix.type.remove(major_third);
  suffix.type.remove(minor_third);
  if (suffix.take("24") || suffix.take("2/4") || suffix.take("4/2")) {
    suffix.type.add(major_second);
    suffix.type.add(perfect_fourth);
  } else if (suffix.take("2")) {
    suffix.type.add(major_second);
  } else {
    if (!suffix.take("4")) read_stack(suffix, Seventh::minor);
    suffix.type.add(perfect_fourth);
  }
}

struct Alteration {
  std::string_view word;
  Interval removes, adds;
};

constexpr Interval nothing{99, 0};  // outside the range of a chord type: removes no tone
constexpr std::array<Alteration, 25> alterations{{
    {"b13", thirteenth, flat_thirteenth},
    {"-13", thirteenth, flat_thirteenth},
    {"#13", thirteenth, Interval{10, 0}},
    {"#11", eleventh, sharp_eleventh},
    {"+11", eleventh, sharp_eleventh},
    {"b11", eleventh, Interval{-8, 0}},
    {"b9", ninth, flat_ninth},
    {"-9", ninth, flat_ninth},
    {"#9", ninth, sharp_ninth},
    {"+9", ninth, sharp_ninth},
    {"b5", perfect_fifth, diminished_fifth},
    {"-5", perfect_fifth, diminished_fifth},
    {"#5", perfect_fifth, augmented_fifth},
    {"+5", perfect_fifth, augmented_fifth},
    {"b6", nothing, minor_sixth},
    {"#4", nothing, sharp_eleventh},
    {"b2", nothing, flat_ninth},
    {"#2", nothing, sharp_ninth},
    {"13", nothing, thirteenth},
    {"11", nothing, eleventh},
    {"9", nothing, ninth},
    {"6", nothing, major_sixth},
    {"4", nothing, eleventh},
    {"2", nothing, ninth},
    {"+4", nothing, sharp_eleventh},
}};

/// alteration after "add": the tone comes in and drives none out.
bool read_added(Suffix& suffix) {
  suffix.take("-");
  if (suffix.take("b3")) {
    suffix.type.add(minor_third);
    return true;
  }
  if (suffix.take("#7") || suffix.take("maj7")) {
    suffix.type.add(major_seventh);
    return true;
  }
  if (suffix.take("b7") || suffix.take("7")) {
    suffix.type.add(minor_seventh);
    return true;
  }
  for (const Alteration& each : alterations) {
    if (suffix.take(each.word)) {
      suffix.type.add(each.adds);
      return true;
    }
  }
  return false;
}

/// omission = ("no" | "omit") number
bool read_omission(Suffix& suffix) {
  if (suffix.take("1")) {
    suffix.type.remove(unison);
  } else if (suffix.take("3")) {
    suffix.type.remove(major_third);
    suffix.type.remove(minor_third);
  } else if (suffix.take("5")) {
    for (const Interval fifth : {perfect_fifth, diminished_fifth, augmented_fifth}) suffix.type.remove(fifth);
  } else if (suffix.take("7")) {
    for (const Interval seventh : {minor_seventh, major_seventh, diminished_seventh}) suffix.type.remove(seventh);
  } else if (suffix.take("9")) {
    suffix.type.remove(ninth);
  } else {
    return false;
  }
  return true;
}

/// modifier = suspension | "add" tone | omission | "alt" | major seventh | alteration
/// @param set_off in brackets or after a slash, where a bare number may stand: "7(9)", but not "79"
bool read_modifier(Suffix& suffix, bool set_off) {
  if (suffix.take("sus")) {
    suspend(suffix);
    return true;
  }
  if (suffix.take("add")) return read_added(suffix);
  if (suffix.take("no") || suffix.take("omit")) return read_omission(suffix);
  if (suffix.take("alt")) {
    suffix.type.replace(perfect_fifth, augmented_fifth);
    for (const Interval tone : {minor_seventh, flat_ninth, sharp_ninth}) suffix.type.add(tone);
    return true;
  }
  if (suffix.take("maj7") || suffix.take("M7")) {
    suffix.type.add(major_seventh);
    return true;
  }
  if (suffix.rest == "+" || suffix.rest == "aug") {  // 7+, 7aug, m+
    suffix.rest = {};
    suffix.type.replace(perfect_fifth, augmented_fifth);
    return true;
  }
  for (const Alteration& each : alterations) {
    const bool bare_number = each.word.front() >= '0' && each.word.front() <= '9';
    if ((set_off || !bare_number) && suffix.take(each.word)) {
      suffix.type.replace(each.removes, each.adds);
      return true;
    }
  }
  return false;
}

}  // namespace

std::optional<ChordType> parse_chord_suffix(std::string_view text) {
  Suffix suffix{text};
  if (text.empty()) return suffix.type;
  read_quality(suffix);
  bool open = false;
  while (!suffix.rest.empty()) {
    if (!open && (suffix.take("(") || suffix.take("["))) {
      open = true;
    } else if (open && (suffix.take(")") || suffix.take("]"))) {
      open = false;
    } else if (open && (suffix.take(",") || suffix.take(" "))) {
      continue;
    } else if (suffix.rest.size() > 1 && suffix.rest.front() == '/' && suffix.take("/")) {
      if (!read_modifier(suffix, true)) return std::nullopt;
    } else if (!read_modifier(suffix, open)) {
      return std::nullopt;
    }
  }
  if (open || suffix.type.size() == 0) return std::nullopt;
  return suffix.type;
}

std::optional<std::vector<std::string>> modifiers_between(ChordType from, ChordType target) {
  std::vector<std::string> words;
  const bool seventh = target.has_seventh();
  const auto apply = [&](std::string_view word, Interval removes, Interval adds) {
    if (!target.has(adds) || from.has(adds)) return;
    const bool drives_out = from.has(removes) && !target.has(removes);
    const bool plain = adds == ninth || adds == eleventh || adds == thirteenth || adds == minor_third;
    const bool fifth = adds == diminished_fifth || adds == augmented_fifth;
    const bool bare = drives_out || (!plain && !from.has(removes) && (seventh || fifth));
    words.push_back(fmt::format("{}{}", bare ? "" : "add", word));
    if (drives_out) from.remove(removes);
    from.add(adds);
  };
  apply("b5", perfect_fifth, diminished_fifth);
  apply("#5", perfect_fifth, augmented_fifth);
  apply("b9", ninth, flat_ninth);
  apply("9", nothing, ninth);
  apply("#9", ninth, sharp_ninth);
  apply("11", nothing, eleventh);
  apply("b11", eleventh, Interval{-8, 0});
  apply("#11", eleventh, sharp_eleventh);
  apply("b13", thirteenth, flat_thirteenth);
  apply("13", nothing, thirteenth);
  apply("#13", thirteenth, Interval{10, 0});
  const auto add_only = [&](std::string_view word, Interval tone) {
    if (!target.has(tone) || from.has(tone)) return;
    words.emplace_back(word);
    from.add(tone);
  };
  add_only("addb3", minor_third);
  add_only("addb7", minor_seventh);
  add_only("add#7", major_seventh);
  // What is left out is said first: "no5" after a "#5" would take that away again.
  const auto omit = [&](const char* word, Interval tone) {
    if (target.has(tone) || !from.has(tone)) return;
    words.insert(words.begin(), word);
    from.remove(tone);
  };
  omit("no1", unison);
  omit("no3", major_third);
  omit("no3", minor_third);
  omit("no5", perfect_fifth);
  omit("no5", diminished_fifth);
  omit("no5", augmented_fifth);
  if (from != target) return std::nullopt;
  return words;
}

std::string write_chord_suffix(ChordType type) {
  const auto rows = chord_type_rows();
  const auto own = std::find_if(rows.begin(), rows.end(), [&](const ChordTypeRow& row) { return row.type == type; });
  if (own != rows.end()) return own->symbol;
  std::string best;
  std::size_t fewest = 99;
  for (const ChordTypeRow& row : rows) {
    const bool bracketed = row.symbol.ends_with(')');
    const auto words = modifiers_between(row.type, type);
    if (!words || bracketed) continue;
    // All alterations together, in brackets: 7(b9,b13) and not 7b9(b13).
    const bool added_seventh = std::find(words->begin(), words->end(), "add#7") != words->end();
    const std::size_t count =
        words->size() + (row.symbol.find_first_of("b#") != std::string::npos ? 1 : 0) + (added_seventh ? 1 : 0);
    if (count >= fewest) continue;
    fewest = count;
    best = fmt::format("{}({})", row.symbol, fmt::join(*words, ","));
  }
  return best;
}

}  // namespace romanesca
