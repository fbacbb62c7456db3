#include "theory/songs/song_facts.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "theory/songs/header_text.h"
#include "theory/songs/song_words.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

bool is_name_of_fact(std::string_view text) {
  constexpr std::array kinds{SongWord::key,   SongWord::tempo,    SongWord::meter, SongWord::capo,
                             SongWord::title, SongWord::composer, SongWord::author};
  return std::any_of(kinds.begin(), kinds.end(), [&](SongWord kind) { return is_song_word(kind, text); });
}

/// Parts of a line that stand apart: two blanks, a tab, a dash between blanks, brackets.
std::vector<std::string_view> chunks_of(std::string_view line) {
  std::vector<std::string_view> chunks;
  std::size_t from = 0;
  const auto cut = [&](std::size_t at, std::size_t length) {
    const std::string_view chunk = trimmed(line.substr(from, at - from));
    if (!chunk.empty()) chunks.push_back(chunk);
    from = at + length;
  };
  for (std::size_t at = 0; at < line.size(); ++at) {
    const std::string_view rest = line.substr(at);
    if (rest.starts_with("  ") || rest.front() == '\t' || rest.front() == '(' || rest.front() == ')' ||
        rest.front() == '|') {
      cut(at, 1);
    } else {
      for (const std::string_view dash : {" - ", " – ", " — ", " • ", " / "}) {
        // "Key - G": the dash stands for a colon.
        if (rest.starts_with(dash) && !is_name_of_fact(folded(line.substr(from, at - from)))) cut(at, dash.size());
      }
    }
  }
  if (from <= line.size()) cut(line.size(), 0);
  return chunks;
}

/// A name and its value: "Key: D", "Tempo = 100", "bpm 116", "key of e". The value may be empty.
struct Named {
  std::string_view value;
  bool sign = false;  ///< a colon or equals sign stood between
};

std::optional<Named> named(std::string_view piece, SongWord kind) {
  const std::string text = folded(piece);
  const std::size_t length = song_word_at_start(kind, text);
  if (length == 0 || length > piece.size()) return std::nullopt;
  std::string_view value = trimmed(piece.substr(length));
  Named result;
  for (bool more = true; more;) {
    more = false;
    for (const std::string_view sign : {":", "=", "- ", "– ", "— "}) {
      if (!value.starts_with(sign)) continue;
      result.sign = more = true;
      value = trimmed(value.substr(sign.size()));
    }
  }
  result.value = value;
  return result;
}

/// A capital letter or one beyond ASCII.
bool begins_name(std::string_view text) {
  const auto first = static_cast<unsigned char>(text.front());
  return (first >= 'A' && first <= 'Z') || first >= 0x80;
}

std::optional<ReadMeter> meter_in(std::string_view text) {
  const std::string plain = folded(text);
  if (const auto whole = parse_any_meter(plain)) return whole;
  const std::size_t end = std::min(plain.find(' '), plain.size());
  const std::string_view word = trimmed(std::string_view(plain).substr(end));
  const bool rest_fits = word.empty() || is_song_word(SongWord::meter, word) || is_song_word(SongWord::character, word);
  if (!rest_fits) return std::nullopt;
  return parse_any_meter(plain.substr(0, end));
}

/// The number of a tempo: "about 132 bpm", "♩=80", "96", "92 beats per minute".
std::optional<double> tempo_in(std::string_view piece, bool named_before) {
  const std::string text = folded(piece);
  const std::size_t at = text.find_first_of("0123456789");
  if (at == std::string_view::npos) return std::nullopt;
  std::size_t end = at;
  while (end < text.size() && (is_digit(text[end]) || text[end] == '.')) ++end;
  while (end > at && text[end - 1] == '.') --end;
  std::string_view before = trimmed(std::string_view(text).substr(0, at));
  std::string_view after = trimmed(std::string_view(text).substr(end));
  bool says = named_before;
  while (!before.empty() && (before.back() == '=' || before.back() == '~' || before.back() == ':')) {
    says = says || before.back() == '=';
    before = trimmed(before.substr(0, before.size() - 1));
  }
  for (const std::string_view note : {"♩", "♪", "𝅘𝅥", "q", "quarter", "crotchet", "♩.", "viertel"}) {
    if (before == note) before = {};
  }
  for (std::size_t length = 1; length > 0 && !before.empty();) {
    length = song_word_at_start(SongWord::tempo, before);
    says = says || length > 0;
    before = trimmed(before.substr(length));
    while (!before.empty() && (before.front() == ':' || before.front() == '=')) before = trimmed(before.substr(1));
    if (length == 0) {
      length = song_word_at_start(SongWord::character, before);
      before = trimmed(before.substr(length));
    }
  }
  constexpr std::array<std::string_view, 8> units{"bpm",  "beats per minute", "beats a minute",     "beats/min",
                                                  "bpm.", "bpm or so",        "schläge pro minute", "bpm approx"};
  const bool unit = std::find(units.begin(), units.end(), after) != units.end();
  if (!before.empty() || !(after.empty() || unit) || !(says || unit)) return std::nullopt;
  const auto tempo = parse_tempo(std::string_view(text).substr(at, end - at));
  if (!tempo) return std::nullopt;
  return *tempo;
}

std::optional<int> capo_in(std::string_view piece) {
  const std::string text = folded(piece);
  if (text == "no capo" || text == "ohne kapo" || text == "capo none" || text == "capo: none") return 0;
  const std::size_t word = song_word_at_start(SongWord::capo, text);
  if (word == 0) return std::nullopt;
  const std::size_t at = text.find_first_of("0123456789", word);
  if (at == std::string_view::npos || at > word + 12) {
    constexpr std::array<std::string_view, 8> roman{"i", "ii", "iii", "iv", "v", "vi", "vii", "viii"};
    const auto found = std::find(roman.begin(), roman.end(), trimmed(std::string_view(text).substr(word)));
    if (found == roman.end()) return std::nullopt;
    return static_cast<int>(found - roman.begin()) + 1;
  }
  int fret = 0;
  for (std::size_t i = at; i < text.size() && is_digit(text[i]) && fret < 100; ++i) fret = fret * 10 + (text[i] - '0');
  return fret <= 11 ? std::optional(fret) : std::nullopt;
}

class FactReader {
 public:
  explicit FactReader(NoteNames names) : names_(names) {}

  SongFacts read(std::string_view line) {
    for (const std::string_view chunk : chunks_of(line)) read_chunk(chunk);
    return std::move(facts_);
  }

 private:
  void read_chunk(std::string_view chunk) {
    if (read_piece(chunk)) return;
    if (chunk.find(',') == std::string_view::npos && chunk.find(';') == std::string_view::npos) return keep(chunk);
    // A title may have a comma; a list of facts has at least one fact.
    SongFacts before = facts_;
    bool any = false;
    std::string left;
    for (std::string_view rest = chunk; !rest.empty();) {
      const std::size_t end = std::min(rest.find_first_of(",;"), rest.size());
      const std::string_view piece = trimmed(rest.substr(0, end));
      if (read_piece(piece)) {
        any = true;
      } else if (!piece.empty()) {
        left += (left.empty() ? "" : ", ") + std::string(piece);
      }
      rest.remove_prefix(std::min(end + 1, rest.size()));
    }
    if (!any) {
      facts_ = std::move(before);
      return keep(chunk);
    }
    if (!left.empty()) keep(left);
  }

  void keep(std::string_view text) {
    if (text.find_first_not_of(":.,; ") != std::string_view::npos) facts_.other.emplace_back(text);
  }

  bool read_piece(std::string_view piece) {
    while (!piece.empty() && (piece.back() == ':' || piece.back() == '.')) piece.remove_suffix(1);
    return read_key(piece) || read_meter(piece) || read_tempo(piece) || read_capo(piece) || read_text(piece);
  }

  bool read_key(std::string_view piece) {
    const auto value = named(piece, SongWord::key);
    if (value) {
      if (value->value.empty()) return false;
      const std::string_view text = value->value;
      facts_.key = facts_.key ? facts_.key : key_at_start(text);
      if (!facts_.key && value->sign) bad(piece, text);
      return facts_.key.has_value() || value->sign;
    }
    // "G major" and "Fis-Dur" alone: with a word for the mode, so that no chord is taken for a key.
    const std::string text = folded(piece);
    const bool mode = text.ends_with("major") || text.ends_with("minor") || text.ends_with("dur") ||
                      text.ends_with("moll") || text.ends_with("maggiore") || text.ends_with("minore");
    if (!mode) return false;
    const auto key = read_typed_key(piece, names_);
    if (key) facts_.key = key;
    return key.has_value();
  }

  /// The key at the start of a value, with other words after it left out: "G (capo)" "D, sort of".
  std::optional<KeyText> key_at_start(std::string_view text) {
    const auto first = [&](std::string_view part) {
      if (const auto key = read_typed_key(part, names_)) return key;
      for (const NoteNames each : {NoteNames::english, NoteNames::german, NoteNames::solfege}) {
        if (const auto key = read_typed_key(part, each)) return key;
      }
      return std::optional<KeyText>();
    };
    if (const auto key = first(text)) return key;
    const auto again = named(text, SongWord::key);  // "key change: now in G"
    return again && again->value.size() < text.size() ? key_at_start(again->value) : std::nullopt;
  }

  bool read_meter(std::string_view piece) {
    if (const auto alone = meter_in(piece)) {
      if (facts_.meter && *facts_.meter != alone->meter) return bad(piece, piece);
      state(*alone, piece);
      return true;
    }
    const auto value = named(piece, SongWord::meter);
    if (!value || value->value.empty()) return false;
    const std::string_view beats = value->value;  // "in 3"
    const bool counts = beats.size() == 1 && beats.front() >= '2' && beats.front() <= '5';
    const auto meter = counts ? std::optional(ReadMeter{{beats.front() - '0', 4}}) : meter_in(beats);
    if (meter) state(*meter, beats);
    const bool fraction = value->value.find('/') != std::string_view::npos &&
                          value->value.find_first_not_of("0123456789/") == std::string_view::npos;
    if (!meter && value->sign && fraction) return bad(piece, value->value);
    return meter.has_value();
  }

  void state(const ReadMeter& meter, std::string_view written) {
    facts_.meter = meter.meter;
    if (meter.other) facts_.other_meter = written;
  }

  bool read_tempo(std::string_view piece) {
    const auto value = named(piece, SongWord::tempo);
    const auto tempo = tempo_in(piece, value && value->sign);
    if (tempo) facts_.tempo_bpm = tempo;
    const bool number = value && value->sign && value->value.find_first_of("0123456789") != std::string_view::npos;
    if (!tempo && number && !read_other_fact(value->value)) return bad(piece, value->value);
    return tempo.has_value();
  }

  /// "Tempo: 3/4", "Tempo: waltz, 3/4": another fact in its place.
  static bool read_other_fact(std::string_view value) { return value.find('/') != std::string_view::npos; }

  bool read_capo(std::string_view piece) {
    const auto fret = capo_in(piece);
    if (fret) facts_.capo = fret;
    const auto value = named(piece, SongWord::capo);
    const bool number = value && value->sign && value->value.find_first_of("0123456789") != std::string_view::npos;
    if (!fret && number) return bad(piece, value->value);
    return fret.has_value();
  }

  bool read_text(std::string_view piece) {
    if (const auto value = named(piece, SongWord::names); value && value->sign) {
      facts_.names = parse_note_names(value->value);
      return facts_.names.has_value() || bad(piece, value->value);
    }
    if (const auto value = named(piece, SongWord::title); value && value->sign) {
      facts_.title = value->value;
      return true;
    }
    if (const auto value = named(piece, SongWord::style); value && value->sign) {
      facts_.style = value->value;
      return true;
    }
    // "by Ada Reed", but no line that begins like "by the river".
    if (const auto value = named(piece, SongWord::composer);
        value && !value->value.empty() && (value->sign || begins_name(value->value))) {
      facts_.composer = value->value;
      return true;
    }
    if (const auto value = named(piece, SongWord::author); value && (value->sign || !value->value.empty())) {
      facts_.author = piece;
      return true;
    }
    if (const auto value = named(piece, SongWord::guitar); value && value->sign) {
      facts_.guitar = true;
      keep(piece);
      return true;
    }
    return false;
  }

  bool bad(std::string_view name, std::string_view value) {
    facts_.bad_name = name;
    facts_.bad_value = value;
    return true;
  }

  SongFacts facts_;
  NoteNames names_;
};

}  // namespace

SongFacts read_song_facts(std::string_view line, NoteNames names) {
  constexpr std::size_t longest = 400;  // bytes: what is longer states nothing that a musician would look for
  if (line.size() <= longest) return FactReader(names).read(line);
  SongFacts facts;
  facts.other.emplace_back(line);
  return facts;
}

TextError value_error(const SongFacts& facts) {
  const std::string name = folded(facts.bad_name);
  const std::string& value = facts.bad_value;
  const auto is = [&](SongWord kind) { return song_word_at_start(kind, name) > 0; };
  if (is(SongWord::names)) return {fmt::format("unknown names \"{}\"", value), "choose english, german or solfege"};
  if (is(SongWord::capo)) return {fmt::format("unknown fret \"{}\"", value), "write a number from 0 to 9"};
  if (value.find('/') != std::string_view::npos) {
    return {fmt::format("unknown meter \"{}\"", value), "choose 2/4, 3/4, 4/4, 5/4, 6/8, 9/8 or 12/8"};
  }
  if (is(SongWord::tempo)) {
    const auto tempo = parse_tempo(value);
    if (!tempo) return tempo.error();
  }
  return key_error(value);
}

}  // namespace romanesca
