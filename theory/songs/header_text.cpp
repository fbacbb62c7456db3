#include "theory/songs/header_text.h"

#include <fmt/format.h>

#include <array>
#include <cstdlib>

#include "theory/text/characters.h"
#include "theory/text/nearest_word.h"

namespace romanesca {
namespace {

const std::array<std::string, 7> header_names{"title", "composer", "key", "tempo", "meter", "style", "capo"};

/// decimal = digits [ "." digits ], up to nine digits before the point; the same in every locale.
std::optional<double> read_decimal(std::string_view text) {
  double value = 0;
  double place = 0;
  std::size_t digits = 0;
  for (const char c : text) {
    if (c == '.' && place == 0) {
      place = 1;
    } else if (is_digit(c) && digits < 9) {
      ++digits;
      value = value * 10 + (c - '0');
      place *= 10;
    } else {
      return std::nullopt;
    }
  }
  if (digits == 0) return std::nullopt;
  return place == 0 ? value : value / place;
}

bool has_line(const Progression& progression, std::string_view name) {
  if (name == "title") return !progression.title.empty();
  if (name == "composer") return !progression.composer.empty();
  if (name == "style") return !progression.style.empty();
  if (name == "key") return progression.key.has_value();
  if (name == "tempo") return progression.tempo_bpm.has_value();
  if (name == "capo") return progression.capo != 0;
  return name == "meter" && progression.written_meter.has_value();
}

bool writable(const KeyText& key) {
  if (key.mode) return Key{key.tonic, *key.mode}.can_be_written();
  return Key{key.tonic, Mode::major}.can_be_written() || Key{key.tonic, Mode::minor}.can_be_written();
}

}  // namespace

std::optional<HeaderLine> split_header(std::string_view line) {
  const std::size_t colon = line.find(':');
  if (colon == std::string_view::npos || line.find('|') < colon) return std::nullopt;
  const std::string_view name = trimmed(line.substr(0, colon));
  if (name.empty()) return std::nullopt;
  for (const char c : name) {
    if (!is_letter(c)) return std::nullopt;
  }
  return HeaderLine{name, trimmed(line.substr(colon + 1))};
}

std::optional<KeyText> parse_written_key(std::string_view text) {
  const auto key = parse_key(text);
  if (!key || !writable(*key)) return std::nullopt;
  return key;
}

TextError key_error(std::string_view text) {
  TextError error{fmt::format("unknown key \"{}\"", text), "write it like Eb, F# minor or D dorian"};
  if (const auto key = parse_key(text)) {
    const Key full{key->tonic, key->mode.value_or(Mode::major)};
    const int accidentals = std::abs(full.signature());
    error.message =
        fmt::format("{} would need {} {}", to_string(full), accidentals, full.signature() > 0 ? "sharps" : "flats");
    error.hint = fmt::format("write {}, the same keys on the piano", to_string(simplest_spelling(full)));
  } else if (!text.empty() && (text.front() == 'H' || text.front() == 'h')) {
    const std::string meant = "B" + std::string(text.substr(1));
    if (parse_key(meant)) error.hint = fmt::format("did you mean {}? (the German H is B in English)", meant);
  }
  return error;
}

Parsed<double> parse_tempo(std::string_view text) {
  const auto bpm = read_decimal(text);
  if (!bpm)
    return TextError{fmt::format("cannot read the tempo \"{}\"", text), "write beats a minute as a number, like 84"};
  if (*bpm >= slowest_bpm && *bpm <= fastest_bpm) return *bpm;
  return TextError{fmt::format("the tempo {} is out of range", text),
                   fmt::format("choose {:.0f} to {:.0f} beats a minute", slowest_bpm, fastest_bpm)};
}

std::optional<TextError> apply_header(const HeaderLine& line, Progression& progression) {
  constexpr TextPlace in_name{0, 1, 1};
  const std::string name = small_letters(line.name);
  if (has_line(progression, name)) {
    return TextError{fmt::format("\"{}:\" is given twice", line.name), "keep one of the two", in_name};
  }
  if (name == "title") {
    progression.title = line.value;
  } else if (name == "composer") {
    progression.composer = line.value;
  } else if (name == "style") {
    progression.style = line.value;
  } else if (name == "key") {
    progression.key = parse_written_key(line.value);
    if (!progression.key) return key_error(line.value);
  } else if (name == "tempo") {
    const auto tempo = parse_tempo(line.value);
    if (!tempo) return tempo.error();
    progression.tempo_bpm = *tempo;
  } else if (name == "meter") {
    progression.written_meter = parse_meter(line.value);
    if (!progression.written_meter) {
      return TextError{fmt::format("unknown meter \"{}\"", line.value), "choose 2/4, 3/4, 4/4, 5/4, 6/8, 9/8 or 12/8"};
    }
  } else if (name == "capo") {
    if (line.value.size() != 1 || !is_digit(line.value.front())) {
      return TextError{fmt::format("unknown fret \"{}\"", line.value), "write capo: and a number from 0 to 9"};
    }
    progression.capo = line.value.front() - '0';
  } else {
    const auto near = nearest_word(name, header_names);
    return TextError{fmt::format("unknown header \"{}:\"", line.name),
                     near ? fmt::format("did you mean {}:?", *near)
                          : "the headers are title, composer, key, tempo, meter, style, capo; begin a comment with #",
                     in_name};
  }
  return std::nullopt;
}

std::string write_key_line(const KeyText& key, NoteNames names) {
  return fmt::format("key: {}{}{}\n", name_in(key.tonic, names), key.mode ? " " : "",
                     key.mode ? to_string(*key.mode) : "");
}

std::string write_header(const Progression& progression) {
  std::string text;
  if (!progression.title.empty()) text += fmt::format("title: {}\n", progression.title);
  if (!progression.composer.empty()) text += fmt::format("composer: {}\n", progression.composer);
  const bool other_names = progression.names != NoteNames::english && progression.notation == Notation::absolute;
  if (other_names) text += fmt::format("names: {}\n", to_string(progression.names));
  if (progression.key) text += write_key_line(*progression.key, other_names ? progression.names : NoteNames::english);
  if (progression.tempo_bpm) text += fmt::format("tempo: {}\n", *progression.tempo_bpm);
  if (progression.written_meter) text += fmt::format("meter: {}\n", to_string(*progression.written_meter));
  if (!progression.style.empty()) text += fmt::format("style: {}\n", progression.style);
  if (progression.capo != 0) text += fmt::format("capo: {}\n", progression.capo);
  return text;
}

}  // namespace romanesca
