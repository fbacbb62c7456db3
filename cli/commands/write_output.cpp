#include "cli/commands/write_output.h"

#include <fmt/format.h>

#include <ostream>

#include "cli/accidental_signs.h"
#include "cli/errors.h"
#include "cli/studio/file_io.h"

namespace romanesca {

void write_output(const std::string& text, const std::optional<std::string>& file, Console& console) {
  if (file) {
    or_throw(write_file(*file, text));
    return;
  }
  const bool json = text.starts_with('{');
  console.out << (console.shows_signs() && !json ? with_accidental_signs(text) : text) << std::flush;
  if (!console.out)
    throw Failure(ExitStatus::file_refused, "cannot write to standard output",
                  "check whether the disk is full or the program closed that it goes to");
}

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

std::string export_exercise_audio(const Exercise& exercise, const std::string& path, Console& console, bool with_models,
                                  const std::string& soundfont) {
  const ExerciseAudio audio = [&] {
    TerminalProgress progress(console);
    return value_or_throw(write_exercise_audio(exercise, path, progress, with_models, soundfont));
  }();
  if (!audio.track) return fmt::format("{}  MIDI\n", path);
  return fmt::format("{}  {:.1f} s, {}\nStart with the volume low, above all with headphones.\n", path, audio.seconds,
                     audio.loops ? "loops without a seam" : "once through");
}

}  // namespace romanesca
