#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "cli/web/page_bars.h"
#include "cli/web/page_recording.h"

namespace romanesca {

/// Answers the requests of a page: JSON in, JSON out. The same code runs natively, in tests, and in a browser.
///
/// A request is an object with "do": "song" (text, key, mode, hands as in page_data.h, level: see page_chart.h),
/// "form", "bar" and "level" (see page_bars.h), "tune" (see page_tune.h), "paper" (see page_paper.h), "heard" (what an
/// ear exercise plays, as in page_data.h, and a tempo), "clicks" (meter, tempo: a bar of a count-in), "notes" (midi: a
/// sound to play at once), "name" (midi, key); in the lesson page also "exercises" and "library" (see page_lesson.h)
/// and "recording" (see page_recording.h). An answer is an object; if the text is wrong it has an "error" with message,
/// hint, line, column, width.
class PageEngine {
 public:
  /// @param text a request: JSON, UTF-8
  [[nodiscard]] std::string answer(std::string_view text);
  /// The sound of the last "bar", "level", "heard", "clicks" or "notes"; see plan_bytes.h.
  [[nodiscard]] const std::vector<std::uint8_t>& plan() const noexcept { return plan_; }

  /// Where to write the samples of a recording, before "recording" is asked for; see page_recording.h.
  [[nodiscard]] float* reserve_recording(std::size_t count) { return recording_.reserve(count); }

 private:
  PageBars bars_;
  PageRecording recording_;
  std::vector<std::uint8_t> plan_;
};

}  // namespace romanesca
