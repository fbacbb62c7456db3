#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "theory/embedded_text.h"
#include "theory/meter.h"
#include "theory/text_error.h"

namespace romanesca {

/// One line of a style's grid: what it plays, and a sign for every step. The signs are explained in styles/pop.toml.
struct StyleRow {
  int drum = 0;       ///< General MIDI percussion key; 0 for a pitched part
  std::string steps;  ///< without blanks and bars; a whole number of bars long
};

enum class StyleRole { drums, bass, keys, guitar, pad };

struct StylePart {
  StyleRole role = StyleRole::keys;
  std::string name;        ///< "drums", "bass", "keys", "guitar", "pad"
  std::string instrument;  ///< id in the table of instruments
  double level_db = 0;     ///< relative to the instrument's own level, -24 to 12
  std::vector<StyleRow> rows;
};

/// An accompaniment: which parts play what in a bar.
struct Style {
  std::string id;    ///< the file's name
  std::string feel;  ///< a few words
  Meter meter;
  double slowest_bpm = 0, usual_bpm = 0, fastest_bpm = 0;  ///< pulses a minute
  int steps_per_beat = 4;  ///< grid lines in a beat of the meter's lower number, 1 to 12
  std::vector<StylePart> parts;

  [[nodiscard]] int steps_per_bar() const { return steps_per_beat * meter.upper; }
  [[nodiscard]] Beats step_length() const { return meter.beat_length() / steps_per_beat; }
};

/// All styles, in order of their ids.
[[nodiscard]] std::span<const Style> styles();
/// Exact id, or nothing.
[[nodiscard]] const Style* style_named(std::string_view id);
/// The style that a song in this meter gets when it names none: pop, waltz, six-eight-ballad and so on. Every meter has
/// one.
[[nodiscard]] const Style& usual_style(const Meter& meter);

/// Reads a style file; every row is checked: known signs, whole bars, a first step that is no "-".
[[nodiscard]] Parsed<Style> read_style(const EmbeddedText& file);

/// The files in styles/, as compiled in.
[[nodiscard]] std::span<const EmbeddedText> style_texts();

}  // namespace romanesca
