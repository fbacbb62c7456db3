#include "theory/tunes/syllables.h"

#include <fmt/format.h>

#include <algorithm>

namespace romanesca {
namespace {

std::string counted(std::size_t number, std::string_view what) {
  return fmt::format("{} {}{}", number, what, number == 1 ? "" : "s");
}

class SyllableReader {
 public:
  SyllableReader(std::string_view words, const std::vector<SungNote>& notes) : words_(words), notes_(notes) {}

  PlacedSyllables read() {
    while (at_ < words_.size() && !fault_) read_sign();
    return {std::move(fault_), any_ ? notes_.size() - next_ : 0};
  }

 private:
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
    if (last_ != nullptr && last_->end == SyllableEnd::word) last_->end = end;
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
    last_->syllable = std::move(text);
    last_->end = SyllableEnd::word;
  }

  void fail(std::size_t at, std::size_t length, std::string message, std::string hint) {
    fault_ = MusicFault{at, std::max<std::size_t>(1, length), std::move(message), std::move(hint)};
  }

  std::string_view words_;
  const std::vector<SungNote>& notes_;
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

PlacedSyllables put_syllables(std::string_view words, const std::vector<SungNote>& notes) {
  return SyllableReader(words, notes).read();
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

std::string syllables_text(const std::vector<SungNote>& notes) {
  const auto sung = [](const SungNote& each) { return !each.note->syllable.empty(); };
  if (std::none_of(notes.begin(), notes.end(), sung)) return {};
  std::string text;
  bool inside_word = false, held = false;
  for (const SungNote& each : notes) {
    const BarNote& note = *each.note;
    if (note.syllable.empty()) {
      text += held ? "_" : text.empty() ? "*" : " *";
      continue;
    }
    if (!text.empty() && !(inside_word && text.ends_with('-'))) text += ' ';
    text += escaped(note.syllable);
    inside_word = note.end == SyllableEnd::hyphen;
    held = note.end != SyllableEnd::word;
    if (inside_word) text += '-';
  }
  return text;
}

}  // namespace romanesca
