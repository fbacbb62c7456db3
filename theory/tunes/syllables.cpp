#include "theory/tunes/syllables.h"

#include <fmt/format.h>

#include <algorithm>

#include "theory/tunes/verses.h"

namespace romanesca {
namespace {

std::string counted(std::size_t number, std::string_view what) {
  return fmt::format("{} {}{}", number, what, number == 1 ? "" : "s");
}

class SyllableReader {
 public:
  SyllableReader(std::string_view words, const std::vector<SungNote>& notes, std::size_t verse)
      : words_(words), notes_(notes), verse_(verse) {}

  PlacedSyllables read() {
    for (const SungNote& each : notes_) set_syllable(*each.note, verse_, {});
    at_ = length_of_number();
    while (at_ < words_.size() && !fault_) read_sign();
    return {std::move(fault_), any_ ? notes_.size() - next_ : 0};
  }

 private:
  /// The bytes of the verse's own number and what parts it from the words: "2. ", in ABC also "2.~".
  [[nodiscard]] std::size_t length_of_number() const {
    const std::size_t from = std::min(words_.find_first_not_of(" \t"), words_.size());
    const std::string number = std::to_string(verse_ + 1) + ".";
    const std::size_t end = from + number.size();
    const bool stands = words_.substr(from).starts_with(number) && end < words_.size();
    return stands && std::string_view(" \t~").find(words_[end]) != std::string_view::npos ? end + 1 : 0;
  }

  void read_sign() {
    const char c = words_[at_];
    if (c == ' ' || c == '\t' || c == '\r') {
      ++at_;
    } else if (c == '-') {
      end_word(SyllableEnd::hyphen);
      ++at_;
    } else if (c == '_') {
      if (pass_note(1)) end_word(SyllableEnd::held);
      ++at_;
    } else if (c == '*') {
      last_ = nullptr;
      pass_note(1);
      ++at_;
    } else if (c == '|') {
      next_bar();
      ++at_;
    } else {
      read_syllable();
    }
  }

  /// A hyphen or line after a syllable; one inside a word stays a hyphen.
  void end_word(SyllableEnd end) {
    if (last_ == nullptr) return;
    Syllable syllable = syllable_of(*last_, verse_);
    if (syllable.end != SyllableEnd::word) return;
    syllable.end = end;
    set_syllable(*last_, verse_, std::move(syllable));
  }

  bool pass_note(std::size_t length) {
    any_ = true;
    if (next_ < notes_.size()) {
      ++next_;
      return true;
    }
    if (!fault_) {
      // All that are there, for the message.
      const std::size_t more = 1 + count_syllables(words_.substr(at_ + length));
      fail(at_, length,
           fmt::format("{} for {}: there is no note for this one", counted(notes_.size() + more, "syllable"),
                       counted(notes_.size(), "note")),
           "~ joins two words on one note: the~old");
    }
    return false;
  }

  /// The bar after that of the last note. The upbeat is bar 0.
  void next_bar() {
    bar_ = (next_ > 0 ? std::max(bar_, notes_[next_ - 1].bar) : bar_) + 1;
    while (next_ < notes_.size() && notes_[next_].bar < bar_) ++next_;
  }

  void read_syllable() {
    const std::size_t from = at_;
    std::string text;
    constexpr std::string_view ends = " \t\r-_*|";
    while (at_ < words_.size() && ends.find(words_[at_]) == std::string_view::npos) {
      const char c = words_[at_++];
      if (c == '\\' && at_ < words_.size()) {
        text += words_[at_++];
      } else {
        text += c == '~' ? ' ' : c;
      }
    }
    const std::size_t length = at_ - from;
    at_ = from;
    if (!pass_note(length)) return;
    at_ = from + length;
    last_ = notes_[next_ - 1].note;
    set_syllable(*last_, verse_, {std::move(text)});
  }

  void fail(std::size_t at, std::size_t length, std::string message, std::string hint) {
    fault_ = MusicFault{at, std::max<std::size_t>(1, length), std::move(message), std::move(hint)};
  }

  std::string_view words_;
  const std::vector<SungNote>& notes_;
  std::size_t verse_;
  std::size_t at_ = 0, next_ = 0, bar_ = 0;
  bool any_ = false;
  BarNote* last_ = nullptr;
  std::optional<MusicFault> fault_;
};

/// A syllable with its own signs marked.
std::string escaped(std::string_view syllable) {
  constexpr std::string_view signs = "-_*|~\\#";  // "#" would begin a comment
  std::string text;
  for (const char c : syllable) {
    if (signs.find(c) != std::string_view::npos) text += '\\';
    text += c == ' ' ? '~' : c;
  }
  return text;
}

}  // namespace

std::vector<SungNote> sung_notes(BarNotes& upbeat, const std::vector<BarNotes*>& bars, bool tied_before) {
  std::vector<SungNote> notes;
  bool tied = tied_before;
  const auto add = [&](BarNotes& in, std::size_t bar) {
    for (BarNote& note : in) {
      if (!tied) notes.push_back({&note, bar});
      tied = note.tied;
    }
  };
  add(upbeat, 0);
  for (std::size_t i = 0; i < bars.size(); ++i) add(*bars[i], i + 1);
  return notes;
}

PlacedSyllables put_syllables(std::string_view words, const std::vector<SungNote>& notes, std::size_t verse) {
  return SyllableReader(words, notes, verse).read();
}

std::size_t count_syllables(std::string_view words) {
  std::size_t count = 0;
  bool inside = false;
  for (std::size_t i = 0; i < words.size(); ++i) {
    const char c = words[i];
    const bool sign = c == '_' || c == '*';
    const bool parts = sign || c == ' ' || c == '\t' || c == '\r' || c == '-' || c == '|';
    if (sign || (!parts && !inside)) ++count;
    inside = !parts;
    if (c == '\\') ++i;
  }
  return count;
}

std::string syllables_text(const std::vector<SungNote>& notes, std::size_t verse) {
  const auto sung = [&](const SungNote& each) { return !syllable_of(*each.note, verse).text.empty(); };
  if (std::none_of(notes.begin(), notes.end(), sung)) return {};
  std::string text;
  bool inside_word = false, held = false;
  const std::string number = std::to_string(verse + 1) + ".";
  for (const SungNote& each : notes) {
    const Syllable syllable = syllable_of(*each.note, verse);
    if (syllable.text.empty()) {
      text += held ? "_" : text.empty() ? "*" : " *";
      continue;
    }
    if (!text.empty() && !(inside_word && text.ends_with('-'))) text += ' ';
    if (text.empty() && syllable.text.starts_with(number)) text += '\\';  // it is no number of a verse
    text += escaped(syllable.text);
    inside_word = syllable.end == SyllableEnd::hyphen;
    held = syllable.end != SyllableEnd::word;
    if (inside_word) text += '-';
  }
  return text;
}

}  // namespace romanesca
