#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "cli/option_parser.h"
#include "synth/arranging/guide.h"
#include "synth/arranging/song_form.h"

namespace romanesca {

/// What the user asked the band for; the words are those of the command line.
struct BandRequest {
  std::string style;       ///< id; empty for the song's own or the usual one of its meter
  double tempo_bpm = 0;    ///< 0 for the song's own or the style's usual one
  int times = 1;           ///< how often through, 1 to 200
  bool step_up = false;    ///< each time round a fifth higher: the next key of the circle
  int count_in_bars = 0;   ///< 0 to 8
  int intro_bars = 0;      ///< 0 to 8
  int trade_bars = 0;      ///< 0 to 32; that many bars of band, then of drums alone
  int swing_percent = 0;   ///< 50 to 75; 0 for the style's own
  int human_percent = 30;  ///< 0 to 100
  std::uint32_t seed = 1;
  bool click = false;
  std::string ending = "none", intensity, guide;
  std::vector<std::string> mute, only, with;  ///< names of parts

  void add(OptionParser& parser);
  /// Throws Failure for a number out of range or a word that is none of the choices.
  void check() const;

  [[nodiscard]] Ending ending_wanted() const;
  [[nodiscard]] std::optional<Intensity> intensity_wanted() const;
  [[nodiscard]] std::optional<Guide> guide_wanted() const;
  /// Nothing is asked for but parts to leave out: what a MIDI file can be played with.
  [[nodiscard]] bool only_chooses_parts() const;
};

}  // namespace romanesca
