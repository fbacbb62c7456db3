#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "cli/studio/backing_track.h"
#include "synth/live/live_piece.h"
#include "theory/voicing/hands.h"

namespace romanesca {

/// A chord of an arrangement as people see it.
struct ShownChord {
  Chord chord;
  std::string symbol;          ///< "Cm7/Eb"
  std::string numeral;         ///< in the arrangement's key
  std::string right, fingers;  ///< "G3 Bb3 D4" and "1 3 5"; empty where no hand plays it
  bool left_alone = false;     ///< these are the left hand's, since the right has none
  int bar = 0;                 ///< from 0
  bool starts_bar = true;
};

/// A song in one key and style, ready to be played live, with everything that the screen shows.
struct LiveArrangement {
  LivePiece piece;
  Key key;
  std::string style;
  double tempo_bpm = 0;                    ///< that it would have by itself, pulses a minute
  std::vector<ShownChord> chords;          ///< one for each of piece.chords
  std::vector<std::string> section_names;  ///< one for each of piece.sections

  /// A bar's chords with bar lines: "| Eb  Bb/D |". @param bar from 0; beyond the end the beginning comes again
  [[nodiscard]] std::string bar_text(int bar) const;
};

/// Arranges one song in any key and style.
class LiveArranger {
 public:
  struct Settings {
    BandRequest band;  ///< one time through, without count-in
    HandSettings hands;
    std::optional<double> loudness_lufs;  ///< with players for the speakers, that loud
    int call_bars = 0;                    ///< with a part that calls for so many bars and rests as many; 0 for none
    int level = 3;                        ///< of the calls, 1 to 8
  };
  LiveArranger(NamedProgression source, std::vector<Style> styles, Settings settings);

  /// Errors as place() and arrange_backing(), and for more than most_live_bars. @param key nothing for the song's own.
  /// @param style empty for the song's own. @param before an arrangement whose players may go on
  /// @param round from 0: each is another performance
  [[nodiscard]] Result<std::unique_ptr<LiveArrangement>> make(const std::optional<KeyText>& key,
                                                              const std::string& style, const LiveArrangement* before,
                                                              std::uint32_t round = 0) const;
  /// The styles in the song's meter, in order.
  [[nodiscard]] const std::vector<std::string>& fitting_styles() const noexcept { return fitting_; }
  [[nodiscard]] const NamedProgression& source() const noexcept { return source_; }

 private:
  NamedProgression source_;
  std::vector<Style> styles_;
  Settings settings_;
  std::vector<std::string> fitting_;
};

}  // namespace romanesca
