#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "cli/play/live_controller.h"
#include "cli/play/live_environment.h"

namespace romanesca {

/// Rows of a big letter.
inline constexpr std::size_t big_rows = 5;

/// A chord's name in letters of five rows, to be read from the piano. Signs without a big form are left out.
/// @param block what a dot is drawn with, one column wide: a full block, or # where the terminal has none
/// @return five rows of equal width in columns
[[nodiscard]] std::vector<std::string> big_letters(std::string_view text, std::string_view block);
/// Its width in columns.
[[nodiscard]] std::size_t big_width(std::string_view text);

/// What the screen shows besides the state of the controller.
struct ScreenNews {
  std::string title, port;
  std::string message;  ///< what was done last
  std::string heard;    ///< what the student played last
  std::string stats;
  bool blocks = true;  ///< the terminal has blocks and circles
  bool colour = false;
};

/// The one screen of live playing, line by line, none wider than the terminal and not more than it has rows.
[[nodiscard]] std::vector<std::string> screen_lines(const LiveController& controller, const ScreenNews& news,
                                                    LiveEnvironment::Size size);

/// A line for a bar, for screen readers and pipes: "bar 3 of 8, Verse: Em7, then C".
[[nodiscard]] std::string bar_line(const LiveController& controller);

/// Writes lines over those that stand there, and only what has changed; so nothing flickers.
class ScreenPainter {
 public:
  explicit ScreenPainter(std::ostream& out);  ///< takes the terminal's other page
  ~ScreenPainter();                           ///< gives the first page back as it was
  ScreenPainter(const ScreenPainter&) = delete;
  ScreenPainter& operator=(const ScreenPainter&) = delete;

  void paint(const std::vector<std::string>& lines, LiveEnvironment::Size size);

 private:
  std::ostream& out_;
  std::vector<std::string> shown_;
  LiveEnvironment::Size size_{0, 0};
};

}  // namespace romanesca
