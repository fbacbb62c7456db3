#include "theory/tunes/music_code.h"

#include <fmt/format.h>

#include <algorithm>

#include "theory/text/characters.h"

namespace romanesca {
namespace {

using SignKind = MusicSign::Kind;

/// Reads one line from left to right. Each function reads what the section of ABC 2.1 says that is named above it.
class MusicCodeReader {
 public:
  MusicCodeReader(std::string_view line, const MusicCodeSettings& settings)
      : line_(line), settings_(settings), unit_(settings.unit) {}

  MusicCode read() {
    while (at_ < line_.size() && !result_.fault) read_sign();
    if (result_.fault) return std::move(result_);
    if (broken_ != 0) fail(broken_at_, 1, "no note after this sign", "> and < stand between two notes");
    if (!result_.fault && tuplet_left_ > 0) {
      fail(tuplet_at_, 1, "notes are missing after this tuplet", "(3 takes three notes or rests: (3CDE");
    }
    return std::move(result_);
  }

 private:
  [[nodiscard]] char here(std::size_t ahead = 0) const {
    return at_ + ahead < line_.size() ? line_[at_ + ahead] : '\0';
  }
  [[nodiscard]] std::string_view rest() const { return line_.substr(at_); }

  void read_sign() {
    const char c = here();
    if (c == ' ' || c == '\t' || c == '\r' || c == '`' || c == ')') {  // ")" ends a slur
      ++at_;
    } else if (c == '|' || (c == ':' && (here(1) == '|' || here(1) == ':')) || (c == '[' && begins_bar_line())) {
      read_bar_line();
    } else if (c == '>' || c == '<') {
      read_broken_rhythm();
    } else if (c == '(') {
      read_tuplet_or_slur();
    } else if (c == '[') {
      read_bracket();
    } else if (c == '"') {
      read_quoted();
    } else if (c == 'z' || c == 'x' || c == 'Z' || c == 'X') {
      read_rest();
    } else if (begins_note()) {
      read_note();
    } else if (!settings_.with_ornaments || !skip_ornament()) {
      fail_unknown();
    }
  }

  // Section 4.1, pitch, and 4.2, accidentals. The signs of engraving are understood too.
  [[nodiscard]] bool begins_note() const {
    const char c = here();
    return (small_letter(c) >= 'a' && small_letter(c) <= 'g') || c == '^' || c == '_' || c == '=' ||
           rest().starts_with("♯") || rest().starts_with("♭") || rest().starts_with("♮");
  }

  std::optional<int> read_accidental() {
    constexpr std::size_t sign_bytes = 3;
    if (rest().starts_with("♯") || rest().starts_with("♭") || rest().starts_with("♮")) {
      const int accidental = rest().starts_with("♯") ? 1 : rest().starts_with("♭") ? -1 : 0;
      at_ += sign_bytes;
      return accidental;
    }
    const char c = here();
    if (c != '^' && c != '_' && c != '=') return std::nullopt;
    ++at_;
    if (c == '=') return 0;
    const int twice = here() == c ? 2 : 1;
    if (twice == 2) ++at_;
    return c == '^' ? twice : -twice;
  }

  /// Its letter, accidental and octave.
  bool read_pitch(MusicSign& note) {
    note.accidental = read_accidental();
    const char c = here();
    constexpr std::string_view letters = "CDEFGAB";
    const std::size_t letter = letters.find(capital(c));
    if (letter == std::string_view::npos) {
      fail(note.at, at_ - note.at, "an accidental without a note",
           "write it before the letter: ^F is F sharp, _B B flat");
      return false;
    }
    note.letter = static_cast<int>(letter);
    note.octave = is_small_letter(c) ? 5 : 4;
    for (++at_; here() == '\'' || here() == ','; ++at_) note.octave += here() == ',' ? -1 : 1;
    if (note.octave >= -1 && note.octave <= 9) return true;
    fail(note.at, at_ - note.at, "this note is too high or too low", "notes go from C,,,,, to b''''");
    return false;
  }

  void read_note() {
    MusicSign note;
    note.at = at_;
    if (!read_pitch(note)) return;
    if (here() == '#') return fail(at_, 1, "\"#\" after a note", "a sharp stands before it: ^F is F sharp, _B B flat");
    add_timed(note);
  }

  // Section 4.3, note lengths.
  std::optional<Beats> read_length() {
    const std::size_t from = at_;
    const int number = read_number();
    int parts = 1;
    if (here() == '/') {
      ++at_;
      parts = is_digit(here()) ? read_number() : 2;
      for (; here() == '/'; ++at_) parts = std::min(2 * parts, 1024);
    }
    const int upper = at_ > from && is_digit(line_[from]) ? number : 1;
    const bool usual = parts > 0 && parts <= 128 && (48 % parts == 0 || (parts & (parts - 1)) == 0);
    if (upper >= 1 && upper <= 512 && usual) return Beats(upper, parts);
    fail(from, at_ - from, fmt::format("\"{}\" is no length", line_.substr(from, at_ - from)),
         "write 2, 3, 4 for longer notes, / for half as long, 3/2 for half as long again");
    return std::nullopt;
  }

  /// Digits; 1000 for a larger number, 0 for none.
  int read_number() {
    int number = 0;
    for (; is_digit(here()); ++at_) number = std::min(1000, number * 10 + (here() - '0'));
    return number;
  }

  /// A note or rest, with its length and what stands before it that changes it. Section 4.11: a tie after it.
  void add_timed(MusicSign sign) {
    const auto length = read_length();
    if (!length) return;
    sign.duration = times(unit_, *length);
    if (tuplet_left_ > 0) {
      sign.duration = times(sign.duration, tuplet_);
      --tuplet_left_;
    }
    if (broken_ != 0) {
      sign.duration = times(sign.duration, broken_ > 0 ? Beats(1, 1 << broken_) : longer(-broken_));
      broken_ = 0;
    }
    sign.length = at_ - sign.at;
    if (here() == '-' && sign.kind == SignKind::note) {
      sign.tied = true;
      ++at_;
    }
    if (too_short(sign.duration)) return fail_short(sign);
    last_timed_ = result_.signs.size();
    result_.signs.push_back(std::move(sign));
  }

  static Beats times(Beats a, Beats b) { return {a.numerator() * b.numerator(), a.denominator() * b.denominator()}; }
  /// 3/2, 7/4, 15/8 for one, two and three signs.
  static Beats longer(int signs) { return {(2 << signs) - 1, 1 << signs}; }
  static bool too_short(Beats duration) { return duration.denominator() > most_parts_of_quarter; }
  void fail_short(const MusicSign& sign) {
    fail(sign.at, sign.length, "this note is too short", "nobody can play it: write a longer one");
  }

  // Section 4.4, broken rhythm.
  void read_broken_rhythm() {
    const char sign = here();
    const std::size_t from = at_;
    int signs = 0;
    for (; here() == sign; ++at_) ++signs;
    const std::string_view shown = line_.substr(from, at_ - from);
    if (!last_timed_ || broken_ != 0 || signs > 3) {
      return fail(from, at_ - from, fmt::format("\"{}\" does not stand between two notes", shown),
                  "A>B is a dotted note and a short one, A<B the other way round");
    }
    MusicSign& before = result_.signs[*last_timed_];
    before.duration = times(before.duration, sign == '>' ? longer(signs) : Beats(1, 1 << signs));
    if (too_short(before.duration)) return fail_short(before);
    broken_ = sign == '>' ? signs : -signs;
    broken_at_ = from;
    last_timed_.reset();
  }

  // Section 4.5, rests: "z" seen, "x" unseen; "Z" and "X" are whole bars.
  void read_rest() {
    MusicSign sign;
    sign.at = at_;
    const bool bars = here() == 'Z' || here() == 'X';
    sign.kind = bars ? SignKind::bar_rest : SignKind::rest;
    ++at_;
    if (!bars) return add_timed(std::move(sign));
    const bool counted = is_digit(here());
    sign.number = counted ? read_number() : 1;
    sign.length = at_ - sign.at;
    if (sign.number < 1 || sign.number >= 1000)
      return fail(sign.at, sign.length, "rests for too many bars", "write Z or Z4");
    last_timed_.reset();
    result_.signs.push_back(std::move(sign));
  }

  // Sections 4.8 to 4.10: bar lines, repeats, endings.
  [[nodiscard]] bool begins_bar_line() const { return here(1) == '|' || is_digit(here(1)); }

  void read_bar_line() {
    MusicSign sign;
    sign.kind = SignKind::bar_line;
    sign.at = at_;
    std::string run;
    while (here() == '|' || here() == ':' || (here() == ']' && run.ends_with('|')) ||
           (here() == '[' && begins_bar_line())) {
      run += here();
      ++at_;
    }
    sign.closes = run.starts_with(':');
    sign.opens = run.ends_with(':');
    sign.double_bar = run.find("||") != std::string_view::npos || run.find("|]") != std::string_view::npos;
    if (is_digit(here())) {
      sign.ending = sign.ending_to = read_number();
      while ((here() == ',' || here() == '-') && is_digit(here(1))) {
        ++at_;
        sign.ending_to = read_number();
      }
      sign.ending_to = std::max(sign.ending, sign.ending_to);
      if (here() == '.') ++at_;
    }
    sign.length = at_ - sign.at;
    last_timed_.reset();
    result_.signs.push_back(std::move(sign));
  }

  // Section 4.13, duplets, triplets and so on: "(p:q:r", p notes in the time of q, for the next r notes.
  void read_tuplet_or_slur() {
    const std::size_t from = at_++;
    if (!is_digit(here())) return;  // section 4.11: a slur
    const int p = read_number();
    const bool odd_time = settings_.meter.is_compound();
    int q = p == 3 || p == 6 ? 2 : p == 2 || p == 4 || p == 8 ? 3 : odd_time ? 3 : 2;
    int r = p;
    if (here() == ':') {
      ++at_;
      if (is_digit(here())) q = read_number();
      if (here() == ':') {
        ++at_;
        if (is_digit(here())) r = read_number();
      }
    }
    const bool fits = p >= 2 && p <= 9 && q >= 1 && q <= 9 && r >= 1 && r <= 99;
    if (!fits || tuplet_left_ > 0) {
      return fail(from, at_ - from, "this tuplet cannot be read", "a triplet is (3CDE: three notes in the time of two");
    }
    tuplet_ = Beats(q, p);
    tuplet_left_ = r;
    tuplet_at_ = from;
  }

  // Section 4.17, notes that sound together, and section 3.2, fields inside a line.
  void read_bracket() {
    const std::size_t from = at_;
    const std::size_t close = rest().find(']');
    if (close == std::string_view::npos) return fail(from, 1, "\"[\" is not closed", "close it with ]");
    if (is_letter(here(1)) && here(2) == ':') {
      MusicSign field;
      field.kind = SignKind::field;
      field.at = from;
      field.length = close + 1;
      field.text = line_.substr(from + 1, close - 1);
      at_ += close + 1;
      if (field.text.front() == 'L' && !change_unit(field)) return;
      result_.signs.push_back(std::move(field));
      return;
    }
    if (!settings_.with_ornaments) {
      return fail(from, close + 1, "a tune has one note at a time", "keep the note that is sung");
    }
    read_notes_together(from + close);
  }

  bool change_unit(const MusicSign& field) {
    const auto unit = parse_unit_length(trimmed(std::string_view(field.text).substr(2)));
    if (!unit) {
      fail(field.at, field.length, "this is no length for the notes", "write [L:1/8], [L:1/4] or [L:1/16]");
      return false;
    }
    unit_ = *unit;
    return true;
  }

  /// The highest note, which is the tune. @param end where "]" stands
  void read_notes_together(std::size_t end) {
    const std::size_t from = at_++;
    std::optional<MusicSign> highest;
    Beats inside(1);
    bool tied = false;
    while (at_ < end && !result_.fault) {
      if (!begins_note()) {
        ++at_;
        continue;
      }
      MusicSign note;
      note.at = at_;
      if (!read_pitch(note)) return;
      const auto length = read_length();
      if (!length) return;
      tied = tied || here() == '-';
      if (highest && note.octave * 7 + note.letter <= highest->octave * 7 + highest->letter) continue;
      inside = *length;
      highest = note;
    }
    at_ = std::max(at_, end) + 1;
    if (!highest || result_.fault) return;
    highest->at = from;
    const Beats unit = unit_;
    unit_ = times(unit_, inside);
    add_timed(*highest);
    unit_ = unit;
    if (!result_.fault && tied) result_.signs.back().tied = true;
  }

  // Sections 4.18, chord symbols, and 4.19, annotations.
  void read_quoted() {
    const std::size_t close = line_.find('"', at_ + 1);
    if (close == std::string_view::npos) return fail(at_, 1, "the quotation mark is not closed", "close it with \"");
    const std::string_view text = line_.substr(at_ + 1, close - at_ - 1);
    if (!settings_.with_ornaments) {
      return fail(at_, close + 1 - at_, "chords stand in the line above the tune", "take it out here");
    }
    constexpr std::string_view annotations = "^_<>@";
    if (!text.empty() && annotations.find(text.front()) == std::string_view::npos) {
      MusicSign sign;
      sign.kind = SignKind::chord_symbol;
      sign.at = at_ + 1;
      sign.length = text.size();
      sign.text = text;
      result_.signs.push_back(std::move(sign));
    }
    at_ = close + 1;
  }

  // Sections 4.12, grace notes; 4.14 and 4.16, ornaments; 6.1.2, space; 6.1.1, line ends.
  bool skip_ornament() {
    const char c = here();
    for (const auto& [open, close] : {std::pair('{', '}'), std::pair('!', '!'), std::pair('+', '+')}) {
      if (c != open) continue;
      const std::size_t end = line_.find(close, at_ + 1);
      if (end == std::string_view::npos && c != '!') return false;
      at_ = end == std::string_view::npos ? at_ + 1 : end + 1;
      return true;
    }
    const bool letter = (c >= 'H' && c <= 'W') || (c >= 'h' && c <= 'w');
    const bool sign = c == '.' || c == '~' || c == '\\' || c == '$' || c == '*' || c == ';' || c == '?' || c == '@';
    if (c == 'y') {
      ++at_;
      while (is_digit(here()) || here() == '/') ++at_;
      return true;
    }
    if (!letter && !sign) return false;
    ++at_;
    return true;
  }

  void fail_unknown() {
    std::size_t length = 1;
    while (at_ + length < line_.size() && !begins_code_point(line_[at_ + length])) ++length;
    const std::string shown(line_.substr(at_, length));
    if (here() == '&') return fail(at_, 1, "a tune has one voice", "keep the voice that is sung");
    const bool german_b = here() == 'H' || here() == 'h';
    fail(at_, length, fmt::format("\"{}\" is no note", shown),
         german_b ? "notes are written C D E F G A B here; _B is B flat"
                  : "notes are C D E F G A B and c d e f g a b an octave higher; z is a rest, ^F F sharp, _B B flat");
  }

  void fail(std::size_t at, std::size_t length, std::string message, std::string hint) {
    result_.fault = MusicFault{at, std::max<std::size_t>(1, length), std::move(message), std::move(hint)};
  }

  std::string_view line_;
  const MusicCodeSettings& settings_;
  MusicCode result_;
  std::size_t at_ = 0;
  Beats unit_;
  Beats tuplet_;
  int tuplet_left_ = 0;
  std::size_t tuplet_at_ = 0;
  int broken_ = 0;  // signs of broken rhythm before the next note: positive for ">"
  std::size_t broken_at_ = 0;
  std::optional<std::size_t> last_timed_;  // index of the note or rest that a sign of broken rhythm may follow
};

}  // namespace

MusicCode read_music_code(std::string_view line, const MusicCodeSettings& settings) {
  return MusicCodeReader(line, settings).read();
}

std::optional<Beats> parse_unit_length(std::string_view text) {
  if (text == "1") return Beats(4);
  for (int parts = 1; parts <= 128; parts *= 2) {
    if (text == fmt::format("1/{}", parts)) return Beats(4, parts);
  }
  return std::nullopt;
}

std::string length_text(Beats units) {
  if (units.denominator() == 1) return units == Beats(1) ? "" : fmt::format("{}", units.numerator());
  if (units.numerator() == 1) return units.denominator() == 2 ? "/" : fmt::format("/{}", units.denominator());
  return fmt::format("{}/{}", units.numerator(), units.denominator());
}

}  // namespace romanesca
