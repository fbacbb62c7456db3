#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "cli/play/live_controller.h"
#include "cli/play/live_environment.h"

namespace romanesca {

/// Rows of a big letter.
inline constexpr std::size_t big_rows = 5;

/// A chord symbol in letters of five rows, large enough to read from the piano. Skips characters without a big form.
/// @param block what a dot is drawn with, one column wide: a full block, or # if the terminal has no blocks
/// @return five rows of equal width in columns
[[nodiscard]] std::vector<std::string> big_letters(std::string_view text, std::string_view block);
/// Its width in columns.
[[nodiscard]] std::size_t big_width(std::string_view text);

/// What the screen shows besides the state of the controller.
struct ScreenStatus {
  std::string title, port;
  std::string message;  ///< result of the last action
  std::string heard;    ///< the chord that the student played last
  std::string stats;
  bool blocks = true;  ///< the terminal can show block characters
  bool colour = false;
};

/// The screen of live playing, line by line; it fits into the terminal.
[[nodiscard]] std::vector<std::string> screen_lines(const LiveController& controller, const ScreenStatus& status,
                                                    LiveEnvironment::Size size);

/// One line per bar, for screen readers and pipes: "bar 3 of 8, Verse: Em7, then C".
[[nodiscard]] std::string bar_line(const LiveController& controller);

/// Draws lines on the terminal and rewrites only those that have changed, so that nothing flickers.
class ScreenPainter {
 public:
  explicit ScreenPainter(std::ostream& out);  ///< switches to the alternate screen
  ~ScreenPainter();                           ///< restores the normal screen
  ScreenPainter(const ScreenPainter&) = delete;
  ScreenPainter& operator=(const ScreenPainter&) = delete;

  void paint(const std::vector<std::string>& lines, LiveEnvironment::Size size);

 private:
  std::ostream& out_;
  std::vector<std::string> shown_;
  LiveEnvironment::Size size_{0, 0};
};

}  // namespace romanesca
