#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "synth/arranging/style_row.h"
#include "theory/text/embedded_text.h"
#include "theory/text/errors.h"

namespace romanesca {

/// What the drums play instead of their grid at the end of a bar, for one beat or more.
struct DrumFill {
  int pulses = 1;           ///< beats, counted back from the end of the bar
  int steps_per_pulse = 4;  ///< grid lines in a beat, 1 to 12
  bool build = false;       ///< rises to a louder section
  StylePattern rows;        ///< each with one way, pulses * steps_per_pulse steps long
};

/// The fills of styles that are felt alike.
struct FillFamily {
  std::string id;  ///< the file's name
  std::vector<DrumFill> fills;
};

/// Reads a file of fills; the format is explained in fills/straight.toml.
[[nodiscard]] Parsed<FillFamily> read_fills(const EmbeddedText& file);

/// The built-in families, in order of their ids; null for an unknown one.
[[nodiscard]] std::span<const FillFamily> fill_families();
[[nodiscard]] const FillFamily* fills_named(std::string_view id);

/// The files in fills/, as compiled in.
[[nodiscard]] std::span<const EmbeddedText> fill_texts();

}  // namespace romanesca
