#pragma once

#include <span>
#include <vector>

#include "cli/formats/paper/marks.h"
#include "progressions/exercise.h"

namespace romanesca {

/// A bar of rhythm as blocks, each as long as its note, over the count. @param area half of it is for the blocks
void add_rhythm(std::vector<Mark>& marks, const Box& area, std::span<const RhythmNote> rhythm, const Meter& meter);

}  // namespace romanesca
