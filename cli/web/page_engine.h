#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace romanesca {

/// Answers the requests of a page: JSON in, JSON out. The same code runs natively, in tests, and in a browser.
///
/// A request is an object with "do": "song" (text, key, hands as in page_data.h, level: the answers of chart
/// --json and, in the lesson page, of analyse --json, with the styles that fit), "loop" (text, key, style, tempo,
/// parts, guide, click, trade, seed: the plan of a loop, and the times of its beats, bars and chords), "heard" (what an
/// ear exercise plays, as in page_data.h, and a tempo: the same, once through), "clicks" (meter, tempo), "notes" (midi:
/// a sound to play at once), "name" (midi, key); in the lesson page also "exercise" (key, level, kind, seed, text) and
/// "library". An answer is an object; if the text is wrong it has an "error" with message, hint, line, column,
/// width.
class PageEngine {
 public:
  /// @param text a request: JSON, UTF-8
  [[nodiscard]] std::string answer(std::string_view text);
  /// The sound of the last "loop", "heard", "clicks" or "notes"; see plan_bytes.h.
  [[nodiscard]] const std::vector<std::uint8_t>& plan() const noexcept { return plan_; }

 private:
  std::vector<std::uint8_t> plan_;
};

}  // namespace romanesca
