#pragma once

#include <algorithm>
#include <optional>
#include <string>
#include <vector>

#include "theory/songs/song_lines.h"
#include "theory/songs/song_reading.h"
#include "theory/text/characters.h"

namespace romanesca {

/// What is told about a text while it is read, and the first fault in it.
class SongNotes {
 public:
  /// @param source what errors call the text
  explicit SongNotes(std::string source) : source_(std::move(source)) {}

  /// @param otherwise what makes it be read the other way
  void decide(int line, std::string text, bool doubtful, std::vector<LineEdit> otherwise = {}) {
    decisions.push_back({line, std::move(text), doubtful, std::move(otherwise)});
  }
  void leave_out(const SongLine& line, std::string text) { left_out.push_back({line.number, std::move(text), false}); }

  /// @param at byte in the line @param length bytes
  void fail(const SongLine& line, std::size_t at, std::size_t length, std::string message, std::string hint) {
    at = std::min(at, line.raw.size());
    TextError error;
    error.message = std::move(message);
    error.hint = std::move(hint);
    error.place = {line.number, static_cast<int>(code_points(line.raw.substr(0, at))) + 1,
                   std::max(1, static_cast<int>(code_points(line.raw.substr(at, length))))};
    error.line_text = std::string(line.raw);
    fail(std::move(error));
  }
  /// The first one counts.
  void fail(TextError error) {
    if (fault) return;
    error.source = source_;
    fault = std::move(error);
  }

  std::vector<SongNote> decisions, left_out;
  std::optional<TextError> fault;

 private:
  std::string source_;
};

}  // namespace romanesca
