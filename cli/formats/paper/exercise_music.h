#pragma once

#include <vector>

#include "cli/formats/engraving/system_engraver.h"
#include "cli/formats/paper/chart_form.h"
#include "progressions/exercise.h"

namespace romanesca {

/// An exercise's chords as a chart: its key throughout, its numerals, what is hidden left open.
struct ExerciseChart {
  Placement placed;
  std::vector<ChartBar> bars;
};
[[nodiscard]] ExerciseChart exercise_chart(const Exercise& exercise);

/// Notes of one bar as they are written, with rests between them. @param pitches one for each note, or empty for a
/// rhythm without pitch
[[nodiscard]] std::vector<StaffEvent> written_notes(std::span<const RhythmNote> notes, std::span<const Pitch> pitches,
                                                    const Meter& meter);

/// A bar of rhythm on one line, to be clapped. Its counts stand under it.
struct RhythmPicture {
  StaffSystem system;
  std::vector<std::string> counts;  ///< one for each label of the bar
};
[[nodiscard]] RhythmPicture rhythm_picture(const Exercise& exercise, double space);
/// Draws it from a point down. @return the height
double put_rhythm(std::vector<Mark>& marks, double x, double y, double width, const RhythmPicture& picture,
                  double count_size);

/// Staves to write on, or with a given melody: four bars of the exercise from @p first on.
[[nodiscard]] StaffSystem writing_staff(const Exercise& exercise, const ExerciseChart& chart, std::size_t first,
                                        std::size_t count, double space, bool melody);

}  // namespace romanesca
