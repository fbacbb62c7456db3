#include "theory/songs/song_words.h"

#include <algorithm>
#include <array>
#include <map>
#include <vector>

#include "theory/text/characters.h"

namespace romanesca {
namespace {

constexpr std::array<std::string_view, 21> kind_names{
    "section", "before section", "before recall", "recall", "same as",   "twice",    "thrice",
    "key",     "tempo",          "meter",         "capo",   "title",     "composer", "author",
    "names",   "style",          "guitar",        "form",   "character", "greeting", "german"};

using Phrases = std::map<std::string, std::uint32_t, std::less<>>;  // the kinds of each phrase, a bit each

void add_line(Phrases& phrases, std::string_view line) {
  const std::size_t colon = line.find(':');
  if (line.empty() || line.front() == '#' || colon == std::string_view::npos) return;
  const auto kind = std::find(kind_names.begin(), kind_names.end(), trimmed(line.substr(0, colon)));
  if (kind == kind_names.end()) return;
  for (std::string_view rest = line.substr(colon + 1); !rest.empty();) {
    const std::size_t end = std::min(rest.find(','), rest.size());
    phrases[std::string(trimmed(rest.substr(0, end)))] |= 1U << (kind - kind_names.begin());
    rest.remove_prefix(std::min(end + 1, rest.size()));
  }
}

const Phrases& all_phrases() {
  static const Phrases phrases = [] {
    Phrases all;
    for (std::string_view rest = song_word_texts().front().text; !rest.empty();) {
      const std::size_t end = std::min(rest.find('\n'), rest.size());
      add_line(all, trimmed(rest.substr(0, end)));
      rest.remove_prefix(std::min(end + 1, rest.size()));
    }
    return all;
  }();
  return phrases;
}

constexpr std::size_t longest_phrase = 32;  // bytes; no phrase of the file is longer

}  // namespace

std::string folded(std::string_view text) {
  std::string result;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto byte = static_cast<unsigned char>(text[i]);
    const auto next = static_cast<unsigned char>(i + 1 < text.size() ? text[i + 1] : 0);
    if (byte == 0xC3 && next >= 0x80 && next <= 0x9E && next != 0x97) {  // U+00C0 to U+00DE, without the times sign
      result += text[i++];
      result += static_cast<char>(next + 0x20);
    } else if (text[i] == ' ' || text[i] == '\t' || (byte == 0xC2 && next == 0xA0)) {
      if (byte == 0xC2) ++i;
      if (!result.empty() && result.back() != ' ') result += ' ';
    } else {
      result += small_letter(text[i]);
    }
  }
  while (!result.empty() && result.back() == ' ') result.pop_back();
  return result;
}

bool is_song_word(SongWord kind, std::string_view phrase) {
  const auto found = all_phrases().find(phrase);
  return found != all_phrases().end() && (found->second >> static_cast<unsigned>(kind) & 1U) != 0;
}

std::size_t song_word_at_start(SongWord kind, std::string_view text) {
  for (std::size_t length = std::min(text.size(), longest_phrase); length > 0; --length) {
    const bool word_ends = length == text.size() || (!is_letter(text[length]) && !is_digit(text[length]) &&
                                                     static_cast<unsigned char>(text[length]) < 0x80);
    if (word_ends && is_song_word(kind, text.substr(0, length))) return length;
  }
  return 0;
}

}  // namespace romanesca
