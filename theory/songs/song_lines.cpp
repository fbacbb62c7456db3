#include "theory/songs/song_lines.h"

#include <algorithm>
#include <array>

#include "theory/songs/song_heading.h"
#include "theory/songs/song_tune_lines.h"
#include "theory/songs/song_words.h"
#include "theory/songs/typed_line.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

void blank(std::string& text, std::size_t at, std::size_t length) {
  for (std::size_t i = at; i < std::min(at + length, text.size()); ++i) text[i] = ' ';
}

/// Pictures, no-break and zero-width blanks, and marks of bold type become blanks.
void blank_decoration(std::string& text) {
  constexpr std::array<std::string_view, 9> signs{"\xC2\xA0",     "\xEF\xB8\x8F", "\xE2\x80\x8B",
                                                  "\xE2\x80\x8D", "\xE2\x98",     "\xE2\x9C",
                                                  "\xE2\x9D",     "\xE2\xAD",     "\xEF\xBB\xBF"};
  for (std::size_t i = 0; i < text.size(); ++i) {
    const std::string_view rest = std::string_view(text).substr(i);
    if (rest.starts_with("**") || rest.starts_with("__")) blank(text, i, 2);
    if (rest.starts_with("\xF0\x9F")) blank(text, i, 4);
    for (const std::string_view sign : signs) {
      if (rest.starts_with(sign)) blank(text, i, sign[0] == '\xE2' ? 3 : sign.size());
    }
    if (text[i] == '`') text[i] = ' ';
  }
  const std::string_view all = trimmed(text);  // "*Key of G*"
  if (all.size() > 2 && all.front() == '*' && all.back() == '*' && all.find('*', 1) == all.size() - 1) {
    const auto from = static_cast<std::size_t>(all.data() - text.data());
    blank(text, from + all.size() - 1, 1);
    blank(text, from, 1);
  }
}

/// ">" of a quoted letter, the bullet or number of a list, "Bar 5:" before chords.
void blank_start(std::string& text, bool& quoted) {
  std::size_t at = text.find_first_not_of(" \t");
  while (at != std::string_view::npos && text[at] == '>') {
    text[at] = ' ';
    quoted = true;
    at = text.find_first_not_of(" \t", at);
  }
  if (at == std::string_view::npos) return;
  const std::string_view rest = std::string_view(text).substr(at);
  for (const std::string_view bullet : {"- ", "* ", "+ ", "• ", "· ", "– ", "▪ ", "◦ ", "-\t", "•\t"}) {
    if (rest.starts_with(bullet)) return blank(text, at, bullet.size() - 1);
  }
  std::size_t end = at;
  const std::string small = folded(rest.substr(0, 12));
  for (const std::string_view word : {"bars ", "bar ", "takte ", "takt ", "measures ", "measure ", "m. ", "mm. "}) {
    if (small.starts_with(word)) end = at + word.size();
  }
  const bool named = end > at;
  const std::size_t digits = end;
  while (end < text.size() && is_digit(text[end])) ++end;
  if (end == digits) return;
  if (named && end < text.size() && text[end] == '-') {
    ++end;
    while (end < text.size() && is_digit(text[end])) ++end;
  }
  if (end >= text.size() || (text[end] != '.' && text[end] != ')' && text[end] != ':')) return;
  if (end - digits > 4 || (!named && text[end] == ':')) return;
  if (end + 1 < text.size() && text[end + 1] != ' ' && text[end + 1] != '\t') return;
  blank(text, at, end + 1 - at);
}

/// A "#" at the start or after a blank begins a comment, but two at the start are a heading's, and "#IV" is a chord.
void take_comment(SongLine& line) {
  std::string& text = line.text;
  for (std::size_t at = text.find('#'); at != std::string_view::npos; at = text.find('#', at + 1)) {
    const bool first = text.find_first_not_of(" \t") == at;
    if (!first && text[at - 1] != ' ' && text[at - 1] != '\t' && text[at - 1] != '|') continue;
    if (at + 1 < text.size() && text[at + 1] == '#') {
      if (first) return;
      continue;
    }
    const std::size_t end = std::min(text.find_first_of(" \t|", at), text.size());
    if (parse_symbol(std::string_view(text).substr(at, end - at))) continue;
    line.title_mark = first;
    line.comment = trimmed(std::string_view(text).substr(at));
    blank(text, at, text.size());
    return;
  }
}

bool is_table_rule(std::string_view text) {
  return text.find("--") != std::string_view::npos && text.find_first_not_of("|-:+= \t") == std::string_view::npos &&
         text.find('|') != std::string_view::npos;
}

/// The share of a line that chords of a habit are.
struct Share {
  std::size_t chords = 0, words = 0;
  bool barred = false;
};

Share share_of(std::string_view text, const ChordHabit& habit) {
  std::string_view rest = text;
  if (const auto heading = read_song_heading(text); heading && !heading->bare) rest = text.substr(heading->rest);
  const TypedLine line = read_typed_line(rest, habit);
  Share share{line.chords, line.words, line.barred};
  // "La la la" is sung.
  if (habit.names == NoteNames::solfege && line.chords > 2 && !line.barred) {
    const auto first = std::find_if(line.items.begin(), line.items.end(),
                                    [](const LineItem& item) { return item.kind == LineItem::Kind::chord; });
    const bool same = std::all_of(line.items.begin(), line.items.end(), [&](const LineItem& item) {
      return item.kind != LineItem::Kind::chord || item.symbol == first->symbol;
    });
    if (same) share.chords = 0;
  }
  return share;
}

/// As much of a line as shows how its chords are written.
std::string_view beginning_of(std::string_view text) { return text.substr(0, text.find(' ', 1000)); }

bool has_german_word(std::string_view text) {
  const std::string all = folded(text);
  for (std::size_t at = 0; at < all.size();) {
    const std::size_t end = std::min(all.find_first_of(" :-,.()", at), all.size());
    if (end > at && is_song_word(SongWord::german, std::string_view(all).substr(at, end - at))) return true;
    at = end + 1;
  }
  return false;
}

constexpr std::array<ChordHabit, 7> habits{{{NoteNames::english, SmallLetters::refused, Notation::absolute},
                                            {NoteNames::english, SmallLetters::as_capitals, Notation::absolute},
                                            {NoteNames::english, SmallLetters::minor, Notation::absolute},
                                            {NoteNames::german, SmallLetters::minor, Notation::absolute},
                                            {NoteNames::solfege, SmallLetters::refused, Notation::absolute},
                                            {NoteNames::english, SmallLetters::refused, Notation::roman},
                                            {NoteNames::english, SmallLetters::refused, Notation::number}}};

/// What the lines show about the names of notes and the letters of chords.
class HabitSeeker {
 public:
  void add(const SongLine& line) {
    if (line.blank || line.table_rule || is_tune_line(line.raw)) return;
    if (has_german_word(beginning_of(line.text))) ++german_words_;
    for (std::size_t i = 0; i < habits.size(); ++i) {
      const Share share = share_of(beginning_of(line.text), habits[i]);
      const bool mostly = share.chords > 0 && share.words * 2 <= share.chords;
      const bool enough = share.chords > 1 || share.barred || share.words == 0;
      if (mostly && enough) scores_[i] += 2 * share.chords + (share.words == 0 ? 1 : 0);
    }
    look_at_letters(line);
  }

  [[nodiscard]] HabitFound found(std::optional<NoteNames> stated, NoteNames usual) const {
    HabitFound result;
    std::size_t best = 0;
    for (std::size_t i = 1; i < habits.size(); ++i) {
      if (scores_[i] > scores_[best]) best = i;
    }
    if (best <= 3 && scores_[best] > 0) best = among_letters(best);
    const bool chords = habits[best].notation == Notation::absolute;
    if (stated && chords) best = of_names(*stated);
    // What the text itself shows counts more than what is usual here: "Bb" is English.
    const bool open = chords && habits[best].names == NoteNames::english && !shows_english_ && german_token_line_ == 0;
    if (!stated && open && usual != NoteNames::english && scores_[of_names(usual)] >= scores_[best])
      best = of_names(usual);
    result.habit = habits[best];
    if (result.habit.names == NoteNames::german) {
      result.b_is_open = !german_token_line_ && german_words_ == 0;
      result.shown_by = german_token_;
      result.shown_by_line = german_token_line_;
    }
    return result;
  }

 private:
  /// Names that only German has, and how small letters are used, in lines that are chords in that reading.
  void look_at_letters(const SongLine& line) {
    std::string_view text = beginning_of(line.text);
    if (const auto heading = read_song_heading(text); heading && !heading->bare) text = text.substr(heading->rest);
    const TypedLine read = read_typed_line(text, habits[3]);
    if (!read.is_chords()) return;
    for (const LineItem& item : read.items) {
      if (item.kind != LineItem::Kind::chord) continue;
      std::string_view token = text.substr(item.at, item.length);
      while (!token.empty() && (token.front() == '(' || token.front() == '[')) token.remove_prefix(1);
      while (!token.empty() && (token.back() == ')' || token.back() == ']')) token.remove_suffix(1);
      if (token.empty()) continue;
      const bool english = read_typed_chord(token, habits[1]).has_value();
      if (!english && german_token_line_ == 0) {
        german_token_line_ = line.number;
        german_token_ = token;
      }
      shows_english_ = shows_english_ || token.starts_with("Bb") || token.find("/Bb") != std::string_view::npos;
      has_b_ = has_b_ || small_letter(token.front()) == 'b' || token.find("/B") != std::string_view::npos;
      if (!is_small_letter(token.front())) {
        ++capitals_;
      } else {
        ++small_;
        if (token.size() > 1 && token[1] == 'm') ++small_with_m_;
      }
    }
  }

  /// English with capitals, with small letters in either meaning, or German.
  [[nodiscard]] std::size_t among_letters(std::size_t best) const {
    const bool german = german_token_line_ != 0 && scores_[3] >= scores_[best];
    if (german) return 3;
    if (german_words_ > 0 && scores_[3] >= scores_[best]) {
      // Only B, H and small letters mean something else in German.
      return has_b_ ? 3 : small_ == 0 ? 0 : small_with_m_ > 0 && capitals_ == 0 ? 1 : 2;
    }
    if (scores_[0] >= scores_[best]) return 0;
    return small_with_m_ > 0 || capitals_ == 0 ? 1 : 2;
  }

  [[nodiscard]] std::size_t of_names(NoteNames stated) const {
    if (stated == NoteNames::german) return 3;
    if (stated == NoteNames::solfege) return 4;
    if (scores_[0] >= std::max(scores_[1], scores_[2])) return 0;
    return small_with_m_ > 0 || capitals_ == 0 ? 1 : 2;
  }

  std::array<std::size_t, habits.size()> scores_{};
  std::size_t german_words_ = 0, capitals_ = 0, small_ = 0, small_with_m_ = 0;
  bool has_b_ = false, shows_english_ = false;
  int german_token_line_ = 0;
  std::string german_token_;
};

}  // namespace

std::vector<SongLine> song_lines(std::string_view text) {
  std::vector<SongLine> lines;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find_first_of("\r\n"), text.size());
    SongLine line;
    line.number = static_cast<int>(lines.size()) + 1;
    line.raw = text.substr(0, end);
    line.text = line.raw;
    blank_decoration(line.text);
    blank_start(line.text, line.was_quoted);
    take_comment(line);
    line.table_rule = is_table_rule(line.text);
    line.blank = trimmed(line.text).empty();
    lines.push_back(std::move(line));
    const std::size_t next = end + (text.substr(end).starts_with("\r\n") ? 2 : 1);
    text.remove_prefix(std::min(next, text.size()));
  }
  return lines;
}

HabitFound habit_of(const std::vector<SongLine>& lines, std::optional<NoteNames> stated, NoteNames usual) {
  HabitSeeker seeker;
  // The beginning of a long text shows it.
  constexpr std::size_t most_lines = 500;
  std::size_t looked_at = 0;
  for (const SongLine& line : lines) {
    looked_at += line.blank ? 0 : 1;
    if (looked_at > most_lines) break;
    seeker.add(line);
  }
  return seeker.found(stated, usual);
}

std::string_view without_brackets(std::string_view text) {
  text = trimmed(text);
  if (text.size() < 3 || text.front() != '[' || text.back() != ']') return text;
  return trimmed(text.substr(1, text.size() - 2));
}

std::map<std::size_t, std::string> letter_parts(const std::vector<SongLine>& lines, const ChordHabit& habit) {
  std::map<std::size_t, std::string> parts;
  char next_new = 'A';
  for (std::size_t i = 0; i + 1 < lines.size(); ++i) {
    const std::string_view text = without_brackets(lines[i].text);
    const bool letter = !text.empty() && text.size() <= 2 && text[0] >= 'A' && text[0] <= 'H' &&
                        (text.size() == 1 || is_digit(text[1]) || text[1] == '\'');
    if (!letter || text[0] > next_new || (text.size() == 2 && read_typed_chord(text, habit))) continue;
    const bool apart = i == 0 || lines[i - 1].blank || !read_typed_line(lines[i - 1].text, habit).is_chords();
    const TypedLine next = read_typed_line(lines[i + 1].text, habit);
    const bool bracketed = trimmed(lines[i].text).starts_with('[');
    const bool heads =
        (next.chords > next.words && (next.chords > 1 || next.barred)) || (bracketed && is_tune_line(lines[i + 1].raw));
    if (!heads || !(apart || !parts.empty())) continue;
    if (text[0] == next_new) ++next_new;
    parts[i] = std::string(text);
  }
  return parts;
}

}  // namespace romanesca
