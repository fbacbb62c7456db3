#include "theory/songs/typed_line.h"

#include <algorithm>
#include <array>

#include "theory/songs/song_words.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

using Kind = LineItem::Kind;

/// digits at the start. @return their value, 1000 for more than 999, and how many bytes; 0 bytes for none
std::pair<int, std::size_t> read_digits(std::string_view text) {
  std::size_t length = 0;
  int value = 0;
  while (length < text.size() && is_digit(text[length])) value = std::min(1000, value * 10 + (text[length++] - '0'));
  return {value, length};
}

bool take(std::string_view& text, std::string_view start) {
  if (!text.starts_with(start)) return false;
  text.remove_prefix(start.size());
  text = trimmed(text);
  return true;
}

/// Signs between chords, and what they are.
struct Mark {
  std::string_view sign;
  Kind kind;
};
constexpr std::array<Mark, 25> marks{
    {{"*", Kind::separator},    {"->", Kind::separator},   {"=>", Kind::separator},    {"→", Kind::separator},
     {"⇒", Kind::separator},    {"➔", Kind::separator},    {"»", Kind::separator},     {"•", Kind::separator},
     {"·", Kind::separator},    {",", Kind::separator},    {";", Kind::separator},     {">", Kind::separator},
     {"~", Kind::separator},    {"+", Kind::separator},    {"‖", Kind::bar_line},      {"𝄆", Kind::repeat_open},
     {"𝄇", Kind::repeat_close}, {"./.", Kind::repeat_bar}, {".//.", Kind::repeat_bar}, {"%", Kind::repeat_bar},
     {"𝄎", Kind::repeat_bar},   {"–", Kind::dash},         {"—", Kind::dash},          {"-", Kind::dash},
     {"\\", Kind::separator}}};

class LineReader {
 public:
  LineReader(std::string_view line, const ChordHabit& habit) : line_(line), habit_(habit) {}

  TypedLine read() {
    while (at_ < line_.size()) read_item();
    result_.bracketed = brackets_ > 0 && (brackets_ == chord_count_ || result_.words > 0);
    // Where chords stand in brackets among words, "A" without brackets is a word.
    for (LineItem& item : result_.items) {
      const bool in_brackets = line_[item.at] == '(' || line_[item.at] == '[' || line_[item.at] == '{';
      if (!result_.bracketed || result_.words == 0 || item.kind != Kind::chord || in_brackets) continue;
      item.kind = Kind::word;
      ++result_.words;
      --result_.chords;
    }
    return std::move(result_);
  }

 private:
  [[nodiscard]] std::string_view rest() const { return line_.substr(at_); }

  void add(Kind kind, std::size_t length, int number = 0) {
    result_.items.push_back({kind, at_, length, number, {}});
    if (kind == Kind::word) ++result_.words;
    if (kind == Kind::no_chord || kind == Kind::repeat_bar) ++result_.chords;
    if (kind == Kind::bar_line || kind == Kind::repeat_open || kind == Kind::repeat_close) result_.barred = true;
    at_ += length;
  }

  void add_chord(const Symbol& symbol, std::size_t length) {
    result_.items.push_back({Kind::chord, at_, length, 0, symbol});
    ++result_.chords;
    ++chord_count_;
    at_ += length;
  }

  void read_item() {
    const char c = line_[at_];
    if (c == ' ' || c == '\t' || c == '\r') {
      ++at_;
      return;
    }
    if (c == '|' || (c == ':' && rest().substr(0, 2).find('|') != std::string_view::npos)) return read_bar_line();
    if (c == '[' && read_ending(1)) return;
    if (c == '(' || c == '[' || c == '{') return read_bracket();
    if (c == ')' || c == ']' || c == '}') {
      return add(group_depth_ > 0 ? Kind::group_close : c == ')' ? Kind::word : Kind::separator, 1);
    }
    if (c == '"' || rest().starts_with("“") || rest().starts_with("„")) return read_quoted();
    if (read_count_here() || read_slashes() || read_mark()) return;
    read_token();
  }

  /// A run of "|" and ":", with the number of an ending after it.
  void read_bar_line() {
    std::size_t length = 0;
    while (at_ + length < line_.size() && (line_[at_ + length] == '|' || line_[at_ + length] == ':')) ++length;
    const std::string_view run = rest().substr(0, length);
    const bool opens = run.back() == ':';
    const bool closes = run.front() == ':';
    if (closes) add(Kind::repeat_close, opens ? length - 1 : length);
    if (opens) add(Kind::repeat_open, closes ? 1 : length);
    if (!opens && !closes) add(Kind::bar_line, length);
    if (at_ < line_.size() && line_[at_] == ']') ++at_;
    if (!opens) read_ending(0);
  }

  /// "[1", "1.", "1-3." after a bar line. @param skip the bytes of an opening bracket
  bool read_ending(std::size_t skip) {
    std::string_view text = rest().substr(skip);
    const auto [number, digits] = read_digits(text);
    if (digits == 0 || digits > 1 || number < 1) return false;
    std::size_t length = digits;
    int last = number;
    while (length + 1 < text.size() && (text[length] == ',' || text[length] == '-') && is_digit(text[length + 1])) {
      last = text[length + 1] - '0';
      length += 2;
    }
    const bool marked = length < text.size() && (text[length] == '.' || text[length] == ')' || text[length] == ':');
    const bool closed = length < text.size() && text[length] == ']';
    const bool parted = length == text.size() || text[length] == ' ' || text[length] == '\t';
    if (!marked && !closed && !(parted && habit_.notation != Notation::number)) return false;
    if (marked || closed) ++length;
    if (skip == 0 && !marked && !result_.barred) return false;
    add(Kind::ending, length + skip, last >= number ? last - number + 1 : 1);
    return true;
  }

  /// Where a word that begins at a byte ends; no later than what a short word may have.
  [[nodiscard]] std::size_t word_end(std::size_t from, std::string_view signs) const {
    constexpr std::size_t longest_word = 32;
    const std::string_view near = line_.substr(from, longest_word);
    return from + std::min(near.find_first_of(signs), near.size());
  }

  /// Where a sign comes next, within the length of a remark.
  [[nodiscard]] std::size_t found_near(std::string_view sign) const {
    constexpr std::size_t longest_remark = 200;
    const std::size_t found = rest().substr(0, longest_remark).find(sign);
    return found == std::string_view::npos ? found : at_ + found;
  }

  /// What stands in brackets: a count, a chord, several chords, or a remark.
  void read_bracket() {
    const char open = line_[at_];
    const char close = open == '(' ? ')' : open == '[' ? ']' : '}';
    const std::size_t end = found_near(std::string_view(&close, 1));
    if (end == std::string_view::npos) return add(open == '(' ? Kind::word : Kind::separator, 1);
    const std::string_view inside = trimmed(line_.substr(at_ + 1, end - at_ - 1));
    const std::size_t length = end + 1 - at_;
    const std::string words = folded(inside);
    if (const auto count = read_count(words)) return add(count->bars ? Kind::bars : Kind::times, length, count->number);
    if (const std::size_t comma = words.find(','); comma != std::string_view::npos) {
      const auto first = read_count(std::string_view(words).substr(0, comma));
      if (first) return add(first->bars ? Kind::bars : Kind::times, length, first->number);
    }
    if (is_rest(words)) return add(Kind::no_chord, length);
    if (const auto symbol = read_typed_chord(inside, habit_)) {
      ++brackets_;
      return add_chord(*symbol, length);
    }
    const bool several = group_depth_ == 0 && inside.find_first_of(" |-,") != std::string_view::npos;
    if (several && LineReader(inside, habit_).read().is_chords()) {
      ++group_depth_;
      return add(Kind::group_open, 1);
    }
    add(Kind::remark, length);
  }

  void read_quoted() {
    const std::size_t from = line_[at_] == '"' ? 1 : std::string_view("“").size();
    at_ += from;
    const std::size_t straight = found_near("\"");
    const std::size_t curly = found_near("”");
    at_ -= from;
    const std::size_t end = std::min(straight, curly);
    const std::size_t tail = curly < straight ? std::string_view("”").size() : 1;
    add(Kind::remark, end == std::string_view::npos ? from : end + tail - at_);
  }

  static bool is_rest(std::string_view words) {
    constexpr std::array<std::string_view, 10> rests{"n.c.",      "nc",      "n.c",    "tacet", "no chord",
                                                     "no chords", "silence", "silent", "rest",  "n. c."};
    return std::find(rests.begin(), rests.end(), words) != rests.end();
  }

  /// "x2", "2x", "twice", "for 4 bars" without brackets.
  bool read_count_here() {
    if (result_.chords == 0) return false;
    const char c = line_[at_];
    const bool can = is_digit(c) || c == 'x' || c == 'X' || c == '*' || is_letter(c) || rest().starts_with("×");
    if (!can) return false;
    // The longest of the next three words that is one.
    std::size_t best = 0;
    Count count;
    std::size_t end = at_;
    for (int words = 0; words < 3 && end < line_.size(); ++words) {
      while (end < line_.size() && (line_[end] == ' ' || line_[end] == '\t')) ++end;
      end = word_end(end, " \t|,;()[]");
      if (end - at_ > 24) break;
      const auto read = read_count(folded(line_.substr(at_, end - at_)));
      if (read && !(habit_.notation == Notation::number && is_digit(c) && words == 0 && end - at_ == 1)) {
        best = end - at_;
        count = *read;
      }
    }
    if (best == 0) return false;
    add(count.bars ? Kind::bars : Kind::times, best, count.number);
    return true;
  }

  bool read_slashes() {
    std::size_t length = 0;
    int slashes = 0;
    while (at_ + length < line_.size() && line_[at_ + length] == '/') {
      ++length;
      ++slashes;
    }
    if (slashes == 0 || (at_ + length < line_.size() && line_[at_ + length] == '.')) {
      if (slashes == 0 || !rest().starts_with("/.")) return false;
      add(Kind::repeat_bar, length + 1);
      return true;
    }
    add(Kind::hold, length, slashes);
    return true;
  }

  bool read_mark() {
    if (rest().starts_with(".") && !rest().starts_with("./")) {
      const std::size_t dots = std::min(rest().find_first_not_of('.'), rest().size());
      for (std::size_t i = 0; i < dots; ++i) add(Kind::dash, 1);
      return true;
    }
    for (const Mark& mark : marks) {
      if (!rest().starts_with(mark.sign)) continue;
      if (mark.kind == Kind::dash && dash_begins_arrow(mark.sign.size())) continue;
      add(mark.kind, mark.sign.size());
      return true;
    }
    return false;
  }

  [[nodiscard]] bool dash_begins_arrow(std::size_t length) const { return rest().substr(length).starts_with(">"); }

  /// Up to a blank, a bar line, or a sign that stands between chords.
  [[nodiscard]] std::size_t token_end() const {
    std::size_t end = at_;
    int depth = 0;
    while (end < line_.size()) {
      const char c = line_[end];
      if (c == '(') ++depth;
      if (c == ')' && --depth < 0) break;
      if (depth == 0 && (c == ' ' || c == '\t' || c == '|' || c == ',' || c == ';' || c == '[' || c == ']' ||
                         c == '>' || c == '~' || c == '\r')) {
        break;
      }
      if (c == ':' && end + 1 < line_.size() && line_[end + 1] == '|') break;
      if (line_.substr(end).starts_with("→") || line_.substr(end).starts_with("•")) break;
      if (c == '-' && end + 1 < line_.size() && line_[end + 1] == '>') break;
      if (c == '=' && end + 1 < line_.size() && line_[end + 1] == '>') break;
      if (depth > 0 && end - at_ > 64) return std::min(line_.find_first_of(" \t|(", at_ + 1), line_.size());
      ++end;
    }
    return end;
  }

  void read_token() {
    const std::size_t end = token_end();
    if (end == at_) return add(Kind::word, 1);
    std::string_view token = line_.substr(at_, end - at_);
    if (read_rest_words()) return;
    if (result_.chords > 0 && (token == "then" || token == "dann" || token == "poi" || token == "to")) {
      return add(Kind::separator, token.size());
    }
    if (const bool numbers_apart = habit_.notation == Notation::number && token.find('-') != std::string_view::npos;
        numbers_apart && read_joined(token)) {
      return;
    }
    if (read_whole(token) || read_joined(token)) return;
    // "C..." holds, "C." ends a sentence, "C(louder)" has a remark.
    std::string_view plain = token;
    while (!plain.empty() &&
           (plain.back() == '.' || plain.back() == '!' || plain.back() == '?' || plain.back() == ':')) {
      plain.remove_suffix(1);
    }
    if (plain.size() < token.size() && !plain.empty() && read_whole(plain)) {
      if (token.size() - plain.size() > 1 && token.back() == '.') {
        for (std::size_t i = plain.size(); i < token.size(); ++i) add(Kind::dash, 1);
      } else {
        at_ += token.size() - plain.size();
      }
      return;
    }
    if (const std::size_t bracket = token.find('('); bracket != std::string_view::npos && bracket > 0) {
      if (read_whole(token.substr(0, bracket))) return;
    }
    add(Kind::word, token.size());
  }

  bool read_rest_words() {
    for (const std::size_t words : {std::size_t{2}, std::size_t{1}}) {
      std::size_t end = at_;
      for (std::size_t i = 0; i < words; ++i) {
        while (end < line_.size() && line_[end] == ' ') ++end;
        end = word_end(end, " \t|,;");
      }
      if (end - at_ > 12 || !is_rest(folded(line_.substr(at_, end - at_)))) continue;
      add(Kind::no_chord, end - at_);
      return true;
    }
    return false;
  }

  /// The token as a chord, with a word for its quality after it: "C maj7".
  bool read_whole(std::string_view token) {
    const auto symbol = read_typed_chord(token, habit_);
    if (!symbol) return false;
    if (habit_.notation == Notation::absolute) {
      const std::size_t next = at_ + token.size();
      if (next < line_.size() && line_[next] == ' ') {
        const std::size_t stop = std::min(line_.find_first_of(" \t|,;-([", next + 1), line_.size());
        const std::string_view quality = line_.substr(next + 1, stop - next - 1);
        if (is_quality(quality)) {
          if (const auto joined = read_typed_chord(std::string(token) + std::string(quality), habit_)) {
            add_chord(*joined, stop - at_);
            return true;
          }
        }
      }
    }
    add_chord(*symbol, token.size());
    return true;
  }

  /// "maj7", "min", "dim", "sus4" after a blank belong to the chord before them; so do "m7" and "7".
  static bool is_quality(std::string_view word) {
    if (word.empty() || word.size() > 10) return false;
    const std::string small = small_letters(word);
    constexpr std::array<std::string_view, 10> starts{"maj", "min", "dom", "dim", "aug",
                                                      "sus", "add", "mi",  "ma",  "moll"};
    const auto begins = [&](std::string_view start) { return small.starts_with(start); };
    if (std::any_of(starts.begin(), starts.end(), begins)) return true;
    constexpr std::array<std::string_view, 9> whole{"m", "m7", "7", "9", "6", "m6", "m9", "dur", "13"};
    return std::find(whole.begin(), whole.end(), small) != whole.end();
  }

  /// Several chords with hyphens, dashes or slashes between them and no blanks: "C-G-Am-F".
  bool read_joined(std::string_view token) {
    for (const std::string_view sign : {"-", "–", "—", "/", ".", "+", "·"}) {
      if (token.find(sign) == std::string_view::npos || (sign == "/" && habit_.notation != Notation::absolute))
        continue;
      std::vector<std::string_view> parts;
      for (std::string_view left = token;;) {
        const std::size_t end = std::min(left.find(sign), left.size());
        if (end > 0) parts.push_back(left.substr(0, end));
        if (end == left.size()) break;
        left.remove_prefix(end + sign.size());
      }
      if (parts.size() < 2 || parts.size() > 400) continue;
      const auto reads = [&](std::string_view part) { return read_typed_chord(part, habit_).has_value(); };
      if (!std::all_of(parts.begin(), parts.end(), reads)) continue;
      const std::size_t from = at_;
      for (const std::string_view part : parts) {
        at_ = from + static_cast<std::size_t>(part.data() - token.data());
        add_chord(*read_typed_chord(part, habit_), part.size());
      }
      at_ = from + token.size();
      return true;
    }
    return false;
  }

  std::string_view line_;
  ChordHabit habit_;
  TypedLine result_;
  std::size_t at_ = 0;
  std::size_t chord_count_ = 0;
  std::size_t brackets_ = 0;
  int group_depth_ = 0;
};

}  // namespace

std::optional<Count> read_count(std::string_view text) {
  if (is_song_word(SongWord::twice, text)) return Count{2, false};
  if (is_song_word(SongWord::thrice, text)) return Count{3, false};
  bool named = take(text, "for ") || take(text, "play this ") || take(text, "play ") || take(text, "repeat ");
  named = take(text, "x") || take(text, "×") || take(text, "*") || named;
  constexpr std::array<std::string_view, 8> numbers{"one", "two", "three", "four", "five", "six", "seven", "eight"};
  auto [number, length] = read_digits(text);
  for (std::size_t i = 0; length == 0 && i < numbers.size(); ++i) {
    if (!text.starts_with(numbers[i])) continue;
    number = static_cast<int>(i) + 1;
    length = numbers[i].size();
  }
  if (length == 0 || number < 1) return std::nullopt;
  const std::string_view unit = trimmed(text.substr(length));
  constexpr std::array<std::string_view, 12> bars{"bars", "bar",   "measures", "measure", "takte",   "takt",
                                                  "bar.", "bars.", "battute",  "misure",  "mesures", "compases"};
  constexpr std::array<std::string_view, 10> times{"x",     "×",    "times", "time", "mal",
                                                   "volte", "fois", "veces", "x.",   "*"};
  if (std::find(bars.begin(), bars.end(), unit) != bars.end()) return Count{number, true};
  if (std::find(times.begin(), times.end(), unit) != times.end()) return Count{number, false};
  if (unit.empty() && named) return Count{number, false};
  return std::nullopt;
}

TypedLine read_typed_line(std::string_view line, const ChordHabit& habit) { return LineReader(line, habit).read(); }

}  // namespace romanesca
