#pragma once

#include <string>
#include <vector>

#include "cli/formats/paper/chart_drawing.h"
#include "theory/analysis/placement.h"

namespace romanesca {

/// Songs that are hard to set, invented for these tests: accidentals in clusters, many chords in a bar, long words and
/// names, every meter, changes of key, silence and held chords.
[[nodiscard]] const std::vector<std::string>& paper_songs();

/// A song of this text in the key given, or its own.
[[nodiscard]] Placement placed_song(const std::string& text, const std::optional<KeyText>& key = std::nullopt);

/// Its chart with hands of these settings.
[[nodiscard]] Drawing chart_of(const Placement& piece, const PaperSettings& paper = {}, const HandSettings& hands = {});

}  // namespace romanesca
