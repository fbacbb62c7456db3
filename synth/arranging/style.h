#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "synth/arranging/drum_fills.h"
#include "synth/arranging/song_form.h"
#include "synth/arranging/style_row.h"
#include "synth/sound/instrument.h"
#include "theory/notes/meter.h"
#include "theory/text/embedded_text.h"
#include "theory/text/errors.h"
#include "theory/voicing/voicing.h"

namespace romanesca {

enum class StyleRole { drums, bass, chords, guitar };

struct StylePart {
  StyleRole role = StyleRole::chords;
  std::string name;  ///< "drums", "percussion", "bass", "keys", "organ", "guitar", "pad", "strings"
  InstrumentId instrument = InstrumentId::piano;
  float level_db = 0;                        ///< relative to the instrument's own level, -24 to 12
  VoicingKind voicing = VoicingKind::close;  ///< of chords; a guitar's are the shapes of six strings, or shells
  HandRange range;                           ///< of chords
  double lean_ms = 0;                        ///< how much later than the grid it plays, -30 (pushed) to 30 (laid back)
  StylePattern play;
  std::optional<StylePattern> soft, full;  ///< in sections of that intensity; else as `play`
  std::optional<StylePattern> fill;        ///< in the bar before a new section, of all parts but the drums
  std::vector<DrumFill> fills;             ///< that the style itself brings, of the drums
  std::optional<StylePattern> brief;       ///< from its first stroke, for a chord shorter than a bar
  int mark = 0;                            ///< drum struck where a full section begins; 0 for none

  [[nodiscard]] const StylePattern& pattern(Intensity intensity, bool leads_on) const;
};

/// An accompaniment: which parts play what in a bar.
struct Style {
  std::string id;    ///< the file's name
  std::string feel;  ///< a few words
  Meter meter;
  double slowest_bpm = 0, usual_bpm = 0, fastest_bpm = 0;  ///< pulses a minute
  int steps_per_beat = 4;             ///< grid lines in a beat of the meter's lower number, 1 to 12
  int swing_percent = 50;             ///< where the second of two equal notes falls, 50 to 75
  Beats swung{1, 2};                  ///< the notes that swing: eighths or sixteenths
  Ending ending = Ending::hold;       ///< how pieces in it end, where the request leaves that to the style
  bool drums_begin = false;           ///< in its intros the drums begin alone
  const FillFamily* fills = nullptr;  ///< what the drums play before a new section or phrase; null for nothing
  std::vector<StylePart> parts;

  [[nodiscard]] int steps_per_bar() const { return steps_per_beat * meter.upper; }
  [[nodiscard]] Beats step_length() const { return meter.beat_length() / steps_per_beat; }
};

/// The part that a student at the piano plays, and that a backing track therefore leaves out by default.
inline constexpr std::string_view students_part = "keys";

/// The built-in styles, in order of their ids.
[[nodiscard]] std::span<const Style> styles();
/// By its exact id; null for an unknown one.
[[nodiscard]] const Style* style_named(std::string_view id, std::span<const Style> among = styles());
/// The default style of a meter: pop, waltz, six-eight-ballad and so on. Every meter has
/// one.
[[nodiscard]] const Style& usual_style(const Meter& meter);

/// Reads a style file; every row is checked: known signs, whole bars, no hold on the first step.
[[nodiscard]] Parsed<Style> read_style(const EmbeddedText& file);

/// The files in styles/, as compiled in.
[[nodiscard]] std::span<const EmbeddedText> style_texts();

}  // namespace romanesca
