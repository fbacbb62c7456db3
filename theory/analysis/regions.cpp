#include "theory/analysis/regions.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <bit>

#include "theory/chords/numeral_text.h"

namespace romanesca {
namespace {

/// The chords on either side of a bar line.
struct Border {
  const Chord* last = nullptr;   ///< before it
  const Chord* first = nullptr;  ///< after it
};

Border border_at(const Analysis& analysis, std::size_t first_after) {
  Border border;
  for (std::size_t i = first_after; i-- > 0 && border.last == nullptr;) {
    if (analysis.chords[i].timed.chord) border.last = &*analysis.chords[i].timed.chord;
  }
  for (std::size_t i = first_after; i < analysis.chords.size() && border.first == nullptr; ++i) {
    if (analysis.chords[i].timed.chord) border.first = &*analysis.chords[i].timed.chord;
  }
  return border;
}

bool is_dominant_of(const Chord& chord, const Key& key) {
  const bool on_fifth = chord.root.sounds_like(key.degree(5)) && chord.type.has(intervals::major_third);
  const bool on_leading_tone =
      chord.root.sounds_like(key.tonic + intervals::major_seventh) && chord.type.is_diminished();
  return on_fifth || on_leading_tone;
}

void explain(KeyRegion& region, const Key& from, const Border& border) {
  const int rise = (region.key.tonic.semitone() - from.tonic.semitone() + 12) % 12;
  region.by = rise == 1 || rise == 2 ? KeyChange::step : KeyChange::direct;
  if (border.last == nullptr || border.first == nullptr) return;
  const Chord& last = *border.last;
  const Chord& first = *border.first;
  for (const Chord* chord : {&last, &first}) {
    if (!is_dominant_of(*chord, region.key) || is_diatonic(*chord, from)) continue;
    region.by = KeyChange::dominant;
    region.how = fmt::format("{} is its dominant", to_string(*chord));
    return;
  }
  // Straight into the new tonic a step higher: that the chord before happens to be in both keys is not what one hears.
  const bool straight = region.by == KeyChange::step && first.root.sounds_like(region.key.tonic);
  if (!straight && is_diatonic(last, from) && is_diatonic(last, region.key)) {
    region.by = KeyChange::pivot;
    region.how = fmt::format("{} belongs to both keys, {} in {} and {} in {}", to_string(last),
                             to_string(numeral_of(last, from)), to_string(from),
                             to_string(numeral_of(last, region.key)), to_string(region.key));
    return;
  }
  if (region.by == KeyChange::step) return;
  const unsigned common = last.sounding_tones() & first.sounding_tones();
  if (common == 0) return;
  const auto tones = first.tones();
  const auto kept =
      std::find_if(tones.begin(), tones.end(), [&](PitchClass tone) { return (common >> tone.semitone() & 1U) != 0; });
  if (kept == tones.end()) return;
  region.by = KeyChange::common_tone;
  region.how = fmt::format("{} is in both {} and {}", to_string(*kept), to_string(last), to_string(first));
}

}  // namespace

std::string_view to_string(KeyChange change) {
  constexpr std::array<std::string_view, 6> names{"", "pivot", "dominant", "step", "common tone", "direct"};
  return names[static_cast<std::size_t>(change)];
}

std::string_view in_words(KeyChange change) {
  constexpr std::array<std::string_view, 6> words{
      "", "through a chord of both keys", "by its dominant", "by step", "by a common tone", "directly"};
  return words[static_cast<std::size_t>(change)];
}

std::vector<KeyRegion> key_regions(const Analysis& analysis) {
  std::vector<KeyRegion> regions;
  const std::vector<Key>& keys = analysis.keys.by_bar;
  std::size_t chord = 0;
  for (std::size_t bar = 0; bar < keys.size(); ++bar) {
    if (!regions.empty() && regions.back().key == keys[bar]) continue;
    KeyRegion region;
    region.bar = static_cast<int>(bar) + 1;
    region.key = keys[bar];
    while (chord < analysis.chords.size() && analysis.chords[chord].timed.bar < region.bar) ++chord;
    if (!regions.empty()) explain(region, regions.back().key, border_at(analysis, chord));
    regions.push_back(region);
  }
  return regions;
}

}  // namespace romanesca
