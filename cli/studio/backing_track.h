#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "synth/arranging/guide.h"
#include "synth/arranging/song_form.h"
#include "synth/arranging/style.h"
#include "synth/files/midi_file.h"
#include "theory/analysis/placement.h"
#include "theory/text/errors.h"

namespace romanesca {

/// What the band is asked for.
struct BandRequest {
  std::string style;       ///< id; empty for the song's own or the usual one of its meter
  double tempo_bpm = 0;    ///< pulses a minute, 20 to 400; 0 for the song's own or the style's usual one
  int times = 1;           ///< how often through, 1 to 200
  bool step_up = false;    ///< each repetition a fifth higher: the next key of the circle
  int count_in_bars = 0;   ///< 0 to 8
  int intro_bars = 0;      ///< 0 to 8
  int trade_bars = 0;      ///< 0 to 32; that many bars of band, then of drums alone
  int swing_percent = 0;   ///< 50 to 75; 0 for the style's own
  int human_percent = 30;  ///< 0 to 100
  std::uint32_t seed = 1;
  bool click = false;
  Ending ending = Ending::none;
  std::optional<Intensity> intensity;         ///< nothing for what the sections' names ask for
  std::optional<Guide> guide;                 ///< nothing for no guide part
  std::optional<InstrumentId> tune;           ///< puts the song's tune in, on this instrument
  std::vector<std::string> mute, only, with;  ///< names of parts
};

/// A song arranged for the band, or a MIDI file, ready to be sounded or written as MIDI.
struct BackingTrack {
  MidiSong song;
  std::optional<Key> key;                    ///< nothing for a MIDI file
  std::string style;                         ///< empty for a MIDI file
  std::string meter;                         ///< "6/8"
  double tempo_bpm = 0;                      ///< pulses a minute
  int bars = 0;                              ///< of music, the count-in not counted
  int count_in_bars = 0;                     ///< as asked for, or one for a tune that begins before bar 1
  Score score;                               ///< that it was made from, without the count-in; empty for a MIDI file
  std::vector<std::string> left_to_student;  ///< parts that are out because the student plays them
  std::string usual_file;                    ///< a file name for it when none was given
};

/// The key of a time round, from 0, for a piece that goes up a fifth each time.
[[nodiscard]] Key key_of_round(const Key& first, int round);

/// The style that was asked for, else the song's own, else the usual one of the meter. An error for an unknown style or
/// one in another meter. @param among the styles to choose from
[[nodiscard]] Result<const Style*> style_for(const Progression& progression, const std::string& asked,
                                             std::span<const Style> among = styles());

/// @return wrong_input for an unknown style or one in another meter, an unknown part, more bars than
/// can be rendered. Numbers in the request are in range. @param among the styles to choose from
[[nodiscard]] Result<BackingTrack> arrange_backing(const Placement& placed, const BandRequest& request,
                                                   std::span<const Style> among = styles());

/// The MIDI file as it is, its parts chosen. @param path its name, for that of the sound file
[[nodiscard]] Result<BackingTrack> backing_of_midi(MidiSong song, const BandRequest& request, const std::string& path);

}  // namespace romanesca
