#include "cli/formats/paper/rhythm_marks.h"

#include "cli/formats/paper/text_size.h"
#include "cli/formats/rhythm_text.h"

namespace romanesca {

void add_rhythm(std::vector<Mark>& marks, const Box& area, std::span<const RhythmNote> rhythm, const Meter& meter) {
  const double height = area.height / 2;
  const auto place = [&](Beats time) { return area.x + area.width * time.quarters() / meter.bar_length().quarters(); };
  marks.emplace_back(BoxMark{{area.x, area.y, area.width, height}, Ink::light, Ink::light, 0.4});
  for (const RhythmNote& note : rhythm) {
    const double x = place(note.start);
    const double end = place(note.start + note.length);
    marks.emplace_back(BoxMark{{x + 1, area.y, end - x - 2, height}, Ink::accent, Ink::accent, 0.4});
  }
  const auto steps = counted(rhythm, meter);
  for (std::size_t i = 0; i < steps.size(); ++i) {
    const double x = area.x + area.width * static_cast<double>(i) / static_cast<double>(steps.size());
    marks.emplace_back(text_at(x + 3, area.y + 0.85 * area.height, steps[i].count, 0.3 * area.height, Weight::regular,
                               Ink::quiet, TextRole::note));
  }
}

}  // namespace romanesca
