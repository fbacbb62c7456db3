#pragma once

#include <functional>
#include <nlohmann/json.hpp>
#include <string>

#include "cli/studio/analysis_report.h"
#include "theory/voicing/hands.h"

namespace romanesca {

using OrderedJson = nlohmann::ordered_json;

/// A beat or a length as a number, whole where it is whole: 1 and not 1.0.
[[nodiscard]] OrderedJson beats_json(Beats beats);
/// {"tonic":"G","mode":"major","confidence":0.97}
[[nodiscard]] OrderedJson key_json(const KeyGuess& guess);
/// A chord of the answer as analyse --json gives it.
[[nodiscard]] OrderedJson chord_json(const Progression& progression, const Analysis& analysis, std::size_t index);

/// A JSON object with a member "chords", one object for each chord. It refers to what it was made of.
struct ChordsJson {
  OrderedJson head;                               ///< the object, with null for "chords"
  std::size_t count = 0;                          ///< of chords
  std::function<OrderedJson(std::size_t)> chord;  ///< makes the object of the chord with that index

  /// As text with a line end. The objects are made one at a time, so that a long song needs no tree of them all.
  [[nodiscard]] std::string text() const;
  /// As one object in memory.
  [[nodiscard]] OrderedJson object() const;
};

/// The output of analyse --json.
[[nodiscard]] ChordsJson analysis_json(const AnalysisReport& report);

/// The output of chart --json: key and chords as in analyse --json, each chord with its inversion and
/// both hands.
[[nodiscard]] ChordsJson chart_json(const Progression& progression, const Analysis& analysis, const Hands& hands);

}  // namespace romanesca
