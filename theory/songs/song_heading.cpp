#include "theory/songs/song_heading.h"

#include <algorithm>
#include <array>

#include "theory/songs/song_words.h"
#include "theory/songs/typed_line.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

/// A character beyond ASCII that is no letter of Europe: a picture or a sign.
bool is_picture(std::string_view text) {
  const auto byte = static_cast<unsigned char>(text.front());
  return byte >= 0xE2;
}

std::size_t skip_signs(std::string_view line, std::size_t at) {
  while (at < line.size()) {
    const char c = line[at];
    if (c == ' ' || c == '\t' || c == '#' || c == '*' || c == '_' || c == '=') {
      ++at;
    } else if (is_picture(line.substr(at))) {
      do ++at;
      while (at < line.size() && !begins_code_point(line[at]));
    } else {
      break;
    }
  }
  return at;
}

/// The longest phrase of the kind at a place in a line. @return its length in bytes of the line, 0 for none
std::size_t phrase_at(std::string_view line, std::size_t at, SongWord kind) {
  constexpr std::size_t window = 40;
  // folded() keeps the length of everything but runs of blanks, which no heading has inside its words.
  const std::string text = folded(line.substr(at, window));
  const std::size_t length = song_word_at_start(kind, text);
  return at + length <= line.size() ? length : 0;
}

std::size_t skip_blanks(std::string_view line, std::size_t at) {
  while (at < line.size() && (line[at] == ' ' || line[at] == '\t')) ++at;
  return at;
}

/// A number or letter that tells sections of a kind apart: "2", "IV", "B", "2a". @return where it ends
std::size_t skip_number(std::string_view line, std::size_t at) {
  const std::size_t from = skip_blanks(line, at);
  std::size_t end = from;
  while (end < line.size() && is_digit(line[end])) ++end;
  if (end > from && end < line.size() && (line[end] == '.' || line[end] == 'a' || line[end] == 'b')) {
    if (line[end] != '.' || end + 1 == line.size() || line[end + 1] == ' ') ++end;
  }
  const bool times = end < line.size() && (line[end] == 'x' || line[end] == 'X');
  if (end > from && end - from <= 2 && !times) return end;
  const std::size_t word = std::min(line.find_first_of(" \t:.-()[]", from), line.size());
  const std::string_view text = line.substr(from, word - from);
  const bool roman = !text.empty() && text.find_first_not_of("IV") == std::string_view::npos;
  const bool ends = word == line.size() || line[word] == ':' || line[word] == ']';
  return roman && text.size() <= 3 && ends ? word : at;
}

/// Reads what stands after the name: counts, remarks, "same as verse 1", a sign before the chords.
class AfterName {
 public:
  AfterName(std::string_view line, std::size_t at, SongHeading& heading) : line_(line), heading_(heading), at_(at) {}

  void read() {
    for (;;) {
      at_ = skip_signs(line_, at_);
      if (at_ >= line_.size()) break;
      if (line_[at_] == '(' && read_brackets()) continue;
      if (read_times() || read_same()) continue;
      if (heading_.bare && read_sign()) continue;
      break;
    }
    heading_.rest = std::min(at_, line_.size());
  }

 private:
  bool read_brackets() {
    const std::size_t end = line_.find(')', at_);
    if (end == std::string_view::npos) return false;
    const std::string_view inside = trimmed(line_.substr(at_ + 1, end - at_ - 1));
    const std::string text = folded(inside);
    if (const auto count = read_count(text); count && !count->bars) {
      heading_.times = count->number;
      heading_.has_times = true;
    } else if (is_song_word(SongWord::recall, text)) {
      heading_.same_as = "same";
    } else if (const std::size_t length = song_word_at_start(SongWord::same_as, text);
               length > 0 && read_song_heading(std::string_view(text).substr(length))) {
      heading_.same_as = trimmed(std::string_view(text).substr(length));
    } else if (count) {
      return false;
    } else {
      heading_.remark = inside;
    }
    at_ = end + 1;
    return true;
  }

  bool read_times() {
    std::size_t end = at_;
    for (int words = 0; words < 2 && end < line_.size(); ++words) {
      end = std::min(line_.find_first_of(" \t:", skip_blanks(line_, end)), line_.size());
      const auto count = read_count(folded(line_.substr(at_, end - at_)));
      if (!count || count->bars) continue;
      heading_.times = count->number;
      heading_.has_times = true;
      at_ = end;
      return true;
    }
    return false;
  }

  bool read_same() {
    const std::string text = folded(line_.substr(at_));
    std::string_view plain = text;
    while (!plain.empty() && (plain.back() == '.' || plain.back() == '!' || plain.back() == ')'))
      plain.remove_suffix(1);
    if (is_song_word(SongWord::recall, plain)) {
      heading_.same_as = "same";
    } else {
      const std::size_t length = song_word_at_start(SongWord::same_as, plain);
      if (length == 0) return false;
      // As written: "A" is a part, "a" is a word.
      std::string_view other = trimmed(line_.substr(std::min(at_ + length, line_.size())));
      while (!other.empty() && (other.back() == '.' || other.back() == '!' || other.back() == ')'))
        other.remove_suffix(1);
      if (!other.empty() && is_capital(other.front()) && (other.size() == 1 || other[1] == ' ')) {
        SongHeading part;
        AfterName(other, 1, part).read();
        if (part.rest < other.size()) return false;
        heading_.same_as = other.substr(0, 1);
        heading_.has_times = part.has_times;
        heading_.times = part.times;
      } else {
        const auto heading = read_song_heading(other);
        if (!heading || heading->rest < other.size()) return false;
        heading_.same_as = heading->name;
        if (heading->has_times) {
          heading_.has_times = true;
          heading_.times = heading->times;
        }
      }
    }
    at_ = line_.size();
    return true;
  }

  bool read_sign() {
    const std::string_view rest = line_.substr(at_);
    std::size_t length = 0;
    if (rest.front() == ':' || rest.front() == '=') {
      length = 1;
    } else {
      for (const std::string_view dash : {"->", "-", "–", "—", "|", ";", ","}) {
        if (length == 0 && rest.starts_with(dash)) length = dash == "|" ? 0 : dash.size();
      }
    }
    if (length == 0 && rest.front() == ']') length = 1;
    if (length == 0) return false;
    heading_.bare = false;
    at_ += length;
    return true;
  }

  std::string_view line_;
  SongHeading& heading_;
  std::size_t at_;
};

/// "A", "B2", "A'" as the whole name of a part, where a colon follows.
std::optional<std::size_t> letter_part(std::string_view line, std::size_t at) {
  if (at >= line.size() || line[at] < 'A' || line[at] > 'H') return std::nullopt;
  std::size_t end = at + 1;
  while (end < line.size() && (is_digit(line[end]) || line[end] == '\'') && end - at < 4) ++end;
  if (skip_blanks(line, end) < line.size() && line[skip_blanks(line, end)] == ':') return end;
  return std::nullopt;
}

std::optional<SongHeading> read_words(std::string_view line, std::size_t from) {
  std::size_t at = from;
  bool recalls = false;
  for (std::size_t length = 1; length > 0;) {
    length = phrase_at(line, at, SongWord::before_section);
    if (length == 0) break;
    recalls = recalls || phrase_at(line, at, SongWord::before_recall) == length;
    at = skip_blanks(line, at + length);
    if (recalls) from = at;
  }
  if (recalls && phrase_at(line, at, SongWord::before_recall) > 0)
    at = skip_blanks(line, at + 4);  // "back to the verse"
  std::size_t end = at;
  bool known = false;
  for (int words = 0; words < 3; ++words) {  // "Verse", "Theme B", "Chorus Solo"
    const std::size_t length = phrase_at(line, end, SongWord::section);
    if (length == 0) break;
    known = true;
    end += length;
    const std::size_t next = skip_blanks(line, end);
    if (phrase_at(line, next, SongWord::section) == 0) break;
    end = next;
  }
  SongHeading heading;
  if (!known) {
    const bool lone_letter = recalls && at + 1 == line.size() && line[at] >= 'A' && line[at] <= 'H';
    const auto letter = lone_letter ? std::optional(at + 1) : letter_part(line, at);
    if (!letter) return std::nullopt;
    end = *letter;
  } else {
    end = skip_number(line, end);
    const std::size_t next = skip_blanks(line, end);  // "Part A"
    const bool single = next + 1 == line.size() || (next + 1 < line.size() && !is_letter(line[next + 1]));
    const std::string kind = folded(line.substr(at, end - at));
    if ((kind == "part" || kind == "teil" || kind == "section" || kind == "parte" || kind == "theme") && single &&
        next < line.size() && line[next] >= 'A' && line[next] <= 'H') {
      end = next + 1;
    }
  }
  heading.name = trimmed(line.substr(from, end - from));
  if (recalls) heading.same_as = heading.name;
  AfterName(line, end, heading).read();
  return heading;
}

}  // namespace

std::optional<SongHeading> read_song_heading(std::string_view line) {
  std::size_t at = skip_signs(line, 0);
  if (at >= line.size()) return std::nullopt;
  const bool bracket = line[at] == '[' || line[at] == '(' || line[at] == '<' || line[at] == '{';
  if (!bracket) return read_words(line, at);
  const char close = line[at] == '[' ? ']' : line[at] == '(' ? ')' : line[at] == '<' ? '>' : '}';
  const std::size_t end = line.find(close, at);
  if (end == std::string_view::npos) return std::nullopt;
  const std::string_view inside = line.substr(0, end).substr(at + 1);
  const auto words = read_words(inside, skip_signs(inside, 0));
  SongHeading heading;
  if (words && (words->rest >= inside.size() || !words->bare)) {
    heading = *words;
    if (words->rest < inside.size()) heading.remark = trimmed(inside.substr(words->rest));  // "[Verse 1: softly]"
  } else {
    if (close != ']' || trimmed(inside).empty()) return std::nullopt;
    heading.name = trimmed(inside);
    heading.known_word = false;
  }
  AfterName(line, end + 1, heading).read();
  return heading;
}

std::string heading_id(std::string_view name) {
  std::string id;
  for (const char c : folded(name)) {
    if (is_letter(c) || is_digit(c) || static_cast<unsigned char>(c) >= 0x80) id += c;
  }
  return id;
}

std::string heading_kind(std::string_view name) {
  const std::string text = folded(name);
  std::string_view rest = text;
  for (std::size_t length = 1; length > 0;) {
    length = song_word_at_start(SongWord::before_section, rest);
    rest = trimmed(rest.substr(length));
  }
  while (!rest.empty() && (is_digit(rest.back()) || rest.back() == ' ' || rest.back() == '.')) rest.remove_suffix(1);
  return heading_id(rest);
}

std::optional<std::vector<FormStep>> read_form(std::string_view line) {
  constexpr std::size_t longest = 1000;  // bytes
  if (line.size() > longest) return std::nullopt;
  std::string text = folded(line);
  while (!text.empty() && (text.back() == '.' || text.back() == '!')) text.pop_back();
  for (const std::string_view sign : {"->", "→", " - ", " – ", " and ", " then ", ";", "/", ">"}) {
    for (std::size_t at = text.find(sign); at != std::string_view::npos; at = text.find(sign, at + 1))
      text.replace(at, sign.size(), ",");
  }
  std::string_view rest = text;
  std::vector<FormStep> steps;
  while (!rest.empty()) {
    const std::size_t end = std::min(rest.find(','), rest.size());
    std::string_view part = trimmed(rest.substr(0, end));
    rest.remove_prefix(std::min(end + 1, rest.size()));
    for (const std::string_view word : {"then ", "and ", "the ", "it ", "finally ", "after that "}) {
      if (part.starts_with(word)) part = trimmed(part.substr(word.size()));
    }
    if (part.empty()) continue;
    bool ending = false;
    for (const std::string_view words :
         {"ends on ", "end on ", "ends with ", "end with ", "finish on ", "finishes on "}) {
      if (!part.starts_with(words)) continue;
      const std::size_t at = line.size() - 1 - (line.back() == '.' || line.back() == '!' ? 1 : 0);
      const std::size_t from = line.find_last_of(" \t", at);
      steps.push_back({{}, false, 1, std::string(trimmed(line.substr(from + 1, at - from)))});
      ending = true;
    }
    if (ending) continue;
    const auto heading = read_song_heading(part);
    if (!heading || heading->rest < part.size() || !heading->known_word) return std::nullopt;
    steps.push_back({heading->name, heading->has_times, heading->times, {}});
  }
  if (steps.size() < 2) return std::nullopt;
  return steps;
}

}  // namespace romanesca
