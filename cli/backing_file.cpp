#include "cli/backing_file.h"

#include "cli/audio_output.h"
#include "cli/backing_track.h"
#include "cli/output_file.h"

namespace romanesca {

const std::vector<std::string>& backing_endings() {
  static const std::vector<std::string> endings{"wav", "flac", "mid"};
  return endings;
}

void write_backing(const PlacedProgression& placed, const std::string& path, Console& console) {
  const BackingTrack track = arrange_backing(placed, {});
  if (ending_of(path) == "mid") {
    const std::vector<std::uint8_t> bytes = write_midi(track.song);
    write_file(path, std::string(bytes.begin(), bytes.end()));
    return;
  }
  TrackSettings settings;
  settings.loop = true;
  const AudioFormat format{settings.sample_rate_hz, 24, ending_of(path)};
  (void)render_to_file(track.song.performance, settings, format, path, console);
}

}  // namespace romanesca
