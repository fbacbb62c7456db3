#include "theory/tunes/singer_range.h"

#include <algorithm>

namespace romanesca {

std::optional<SingerRange> parse_singer_range(std::string_view text) {
  const std::size_t dash = text.find('-', 1);
  if (dash == std::string_view::npos) return std::nullopt;
  const auto lowest = parse_pitch(text.substr(0, dash)), highest = parse_pitch(text.substr(dash + 1));
  if (!lowest || !highest || lowest->midi() >= highest->midi()) return std::nullopt;
  return SingerRange{*lowest, *highest};
}

std::optional<SingerRange> range_of(const Tune& tune) {
  if (tune.notes.empty()) return std::nullopt;
  SingerRange range{tune.notes.front().pitch, tune.notes.front().pitch};
  for (const TuneNote& note : tune.notes) {
    if (note.pitch.midi() < range.lowest.midi()) range.lowest = note.pitch;
    if (note.pitch.midi() > range.highest.midi()) range.highest = note.pitch;
  }
  return range;
}

std::optional<int> shift_into(const SingerRange& range, const Tune& tune) {
  const auto own = range_of(tune);
  if (!own) return 0;
  const int up_at_least = range.lowest.midi() - own->lowest.midi();
  const int up_at_most = range.highest.midi() - own->highest.midi();
  if (up_at_least > up_at_most) return std::nullopt;
  return std::clamp(0, up_at_least, up_at_most);
}

Tune moved_by_octaves(Tune tune, int octaves) {
  for (TuneNote& note : tune.notes) note.pitch = note.pitch + Interval(0, octaves);
  return tune;
}

}  // namespace romanesca
