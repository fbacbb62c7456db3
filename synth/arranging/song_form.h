#pragma once

#include <optional>
#include <span>
#include <vector>

#include "theory/chords/chord.h"
#include "theory/songs/progression.h"

namespace romanesca {

/// How strongly the band plays.
enum class Intensity { soft, medium, full };
/// "soft", "medium" or "full", else nothing.
[[nodiscard]] std::optional<Intensity> parse_intensity(std::string_view text);

/// The intensity for a section's name: intros, bridges and endings are soft, choruses full, others medium (common
/// practice, no source). Upper and lower case and a number behind the name make no difference.
[[nodiscard]] Intensity intensity_of(std::string_view section_name);

/// How a piece ends: none changes nothing, for loops and for endings that ring out; hold adds a bar on the key's chord
/// (where the last bar is one already, that is held); slow does the same after a ritardando of two bars; button cuts
/// that chord short; tag plays the two bars before it three times in all, then holds it; fade grows softer over the
/// last eight bars; own is what the style asks for, for arrange_band.
enum class Ending { none, hold, slow, button, tag, fade, own };
/// "none", "hold", "slow", "button", "tag", "fade" or "own", else nothing.
[[nodiscard]] std::optional<Ending> parse_ending(std::string_view text);

/// The requested form.
struct FormRequest {
  int intro_bars = 0;        ///< 0 to 8: the last bars of the first section first, softly
  bool drums_begin = false;  ///< the first half of an intro of two bars or more is for the drums alone
  Ending ending = Ending::none;
  Chord home;                          ///< the key's chord, for an ending
  std::optional<Intensity> intensity;  ///< the same throughout; none for that of the sections
  int trade_bars = 0;                  ///< that many bars of band, as many of drums alone, and so on; 0 for none
};

/// A bar of the piece as the band plays it.
struct ScoreBar {
  Beats start;
  int round = 0;       ///< which time through the song it belongs to, from 0
  int song_bar = 0;    ///< its bar of the song as played, from 1; 0 in an intro and in a bar that is added at the end
  int in_section = 0;  ///< bars since the section began
  Intensity intensity = Intensity::medium;
  bool section_start = false;
  bool fill = false;         ///< drum fill before a new section
  bool leads_up = false;     ///< the next section is louder
  bool drums_alone = false;  ///< the others rest, for the student's answer
  bool held = false;         ///< the last chord, struck once
  bool cut_short = false;    ///< and not held longer than half a beat
  Meter meter;
  Beats silent_until;  ///< where a pick-up bar begins to sound, from the start of the piece
};

struct ScoreChord {
  Beats start, length;
  Chord chord;
  bool held = false;  ///< continues from the bar before without a new stroke
};

/// From a position on, the song's tempo times a factor.
struct TempoFactor {
  Beats at;
  double factor = 1;
};

/// The piece from its first bar to its last, with everything written out.
struct Score {
  MeterMap meters;
  MeterMap song_meters;  ///< of the song, once through
  std::vector<ScoreBar> bars;
  std::vector<ScoreChord> chords;   ///< none where the chords rest; in order, never overlapping
  std::vector<TempoFactor> tempos;  ///< in order; the first at 0
  std::optional<Beats> fades_from;  ///< from there on the band grows softer until the end

  [[nodiscard]] Meter meter() const { return meters.first(); }  ///< of the first bar
  [[nodiscard]] Beats length() const { return meters.start_of(static_cast<int>(bars.size()) + 1); }
  /// The bar in which a time lies. @param time from 0, below length()
  [[nodiscard]] const ScoreBar& bar_at(Beats time) const {
    return bars[static_cast<std::size_t>(meters.bar_at(time)) - 1];
  }
};

/// Writes the form out. A first bar that begins without a chord (N.C.) is a pick-up: all parts rest until its chord.
/// A fill comes before each change of section, and in long sections before every return after eight bars or more.
/// @param rounds the piece as it goes each time round, in its key of that time; one or more, equal but for the key
/// @param sections of the piece, or none; their tempos and those of the rounds count relative to @p song_bpm
[[nodiscard]] Score plan_form(std::span<const Timeline> rounds, std::span<const Section> sections, double song_bpm,
                              const FormRequest& request);

}  // namespace romanesca
