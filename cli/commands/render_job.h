#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/studio/backing_track.h"
#include "cli/console.h"

namespace romanesca {

/// One track to be rendered, whether it came as chords or as a MIDI file.
struct RenderJob {
  MidiSong song;
  std::string key_text;  ///< "Eb major"; empty if not known
  std::string tonic;     ///< "Eb"; likewise
  std::string meter;
  std::string style;
  double tempo_bpm = 0;
  int bars = 0;
  bool left_to_student = false;
  std::string usual_file;  ///< a name for the file when none was given
};

/// A practice set: the same piece at several tempos, in twelve keys, or both.
struct PracticeSet {
  std::vector<double> tempos;  ///< pulses a minute; empty for the one of the request
  bool all_keys = false;       ///< round the circle of fifths from the piece's own key
  [[nodiscard]] bool is_one() const { return tempos.size() <= 1 && !all_keys; }
};

/// Throws Failure, as place() and arrange_backing() do.
[[nodiscard]] std::vector<RenderJob> jobs_from_chords(const CommonOptions& common, const BandRequest& band,
                                                      const PracticeSet& set, Console& console);
/// The MIDI file as it is. Throws Failure where the request asks for what only chords can give.
[[nodiscard]] RenderJob job_from_midi(MidiSong song, const BandRequest& band, bool other_key, const std::string& path);

/// The path with something put before its ending: "loop.wav" and "Eb" make "loop-Eb.wav".
[[nodiscard]] std::string with_suffix(const std::string& path, const std::string& suffix);
/// What tells this job's file from the others of the set, like "Eb-60"; empty for a single one.
[[nodiscard]] std::string set_suffix(const RenderJob& job, const PracticeSet& set);

}  // namespace romanesca
