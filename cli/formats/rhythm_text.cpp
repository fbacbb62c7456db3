#include "cli/formats/rhythm_text.h"

#include <algorithm>
#include <array>

namespace romanesca {
namespace {

/// Steps in a beat of the meter's lower number that hold every note: two eighths, or four sixteenths, in a quarter.
std::int64_t steps_in_beat(std::span<const RhythmNote> rhythm, const Meter& meter) {
  const std::int64_t usual = meter.lower == 8 ? 1 : 2;
  const auto fits = [&](Beats time) {
    const Beats step = meter.beat_length() / usual;
    return step * whole_times(time, step) == time;
  };
  const bool all = std::all_of(rhythm.begin(), rhythm.end(),
                               [&](const RhythmNote& note) { return fits(note.start) && fits(note.length); });
  return all ? usual : 2 * usual;
}

}  // namespace

std::vector<CountedStep> counted(std::span<const RhythmNote> rhythm, const Meter& meter) {
  const std::int64_t in_beat = steps_in_beat(rhythm, meter);
  constexpr std::array<const char*, 4> between{"", "e", "&", "a"};
  std::vector<CountedStep> steps;
  for (std::int64_t i = 0; i < in_beat * meter.upper; ++i) {
    const std::int64_t part = i % in_beat;
    const bool on_beat = part == 0;
    steps.push_back(
        {on_beat ? std::to_string(i / in_beat + 1) : between[static_cast<std::size_t>(part * 4 / in_beat)]});
    const Beats at = meter.beat_length() * i / in_beat;
    for (const RhythmNote& note : rhythm) {
      if (note.start == at) steps.back().sign = 'x';
      if (note.start < at && at < note.start + note.length) steps.back().sign = '-';
    }
  }
  return steps;
}

std::string rhythm_text(std::span<const RhythmNote> rhythm, const Meter& meter, int indent) {
  const std::string before(static_cast<std::size_t>(indent), ' ');
  std::string count = before + "count ";
  std::string play = before + "play  ";
  for (const CountedStep& step : counted(rhythm, meter)) {
    count += " " + step.count + std::string(3 - std::min<std::size_t>(3, step.count.size() + 1), ' ');
    play += std::string(" ") + step.sign + " ";
  }
  for (std::string* line : {&count, &play}) line->erase(line->find_last_not_of(' ') + 1);
  return count + "\n" + play + "\n";
}

}  // namespace romanesca
