#pragma once

#include <optional>
#include <string>

#include "cli/console.h"
#include "cli/studio/audio_export.h"

namespace romanesca {

/// Writes the output to the file if one is given, else to standard output, there with signs for flats and sharps if the
/// terminal shows them; JSON always as it is. Throws Failure if it cannot be written.
void write_output(const std::string& text, const std::optional<std::string>& file, Console& console);

/// Shows the progress of a rendering in per cent if standard error is a terminal; removes the line at the end.
class TerminalProgress final : public Progress {
 public:
  explicit TerminalProgress(Console& console) : console_(console) {}
  ~TerminalProgress() override;
  TerminalProgress(const TerminalProgress&) = delete;
  TerminalProgress& operator=(const TerminalProgress&) = delete;

  bool at(double fraction) override;

 private:
  Console& console_;
  int shown_ = -1;
};

/// render_to_file with progress on the terminal. Throws its Failure.
[[nodiscard]] TrackResult render_shown(const Performance& performance, const std::string& soundfont,
                                       const TrackSettings& settings, const AudioFormat& format,
                                       const std::string& path, Console& console);
/// write_exercise_audio likewise. @return a line for a person
[[nodiscard]] std::string export_exercise_audio(const Exercise& exercise, const std::string& path, Console& console,
                                                bool with_models = false, const std::string& soundfont = {});

}  // namespace romanesca
