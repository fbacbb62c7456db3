#include "cli/commands/terminal_progress.h"

#include <fmt/format.h>

#include <ostream>

#include "cli/or_throw.h"

namespace romanesca {

TerminalProgress::~TerminalProgress() {
  if (shown_ >= 0) console_.err << "\r                    \r" << std::flush;
}

bool TerminalProgress::at(double fraction) {
  const int percent = static_cast<int>(fraction * 100);
  if (console_.err_is_terminal && percent != shown_) {
    shown_ = percent;
    console_.err << fmt::format("\rrendering {:3} %", percent) << std::flush;
  }
  return true;
}

TrackResult render_shown(const Performance& performance, const std::string& soundfont, const TrackSettings& settings,
                         const AudioFormat& format, const std::string& path, Console& console) {
  TerminalProgress progress(console);
  return value_or_throw(render_to_file(performance, soundfont, settings, format, path, progress));
}

std::string export_exercise_audio(const Exercise& exercise, const std::string& path, Console& console) {
  const ExerciseAudio audio = [&] {
    TerminalProgress progress(console);
    return value_or_throw(write_exercise_audio(exercise, path, progress));
  }();
  if (!audio.track) return fmt::format("{}  MIDI\n", path);
  return fmt::format("{}  {:.1f} s, {}\nStart with the volume low, above all with headphones.\n", path, audio.seconds,
                     audio.loops ? "loops without a seam" : "once through");
}

}  // namespace romanesca
