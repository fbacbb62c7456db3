#include "theory/analysis/analysis.h"

#include <algorithm>

namespace romanesca {

Key key_of_numerals(const Progression& progression, const std::optional<KeyText>& key) {
  const auto named = key ? key : progression.key;
  const Mode spoken = mode_of_numerals(progression);
  if (!named) return {PitchClass{}, spoken};
  return {named->tonic, named->mode.value_or(spoken)};
}

namespace {

/// Whether a neighbour has another root over the same bass.
bool shares_bass(const std::vector<TimedChord>& chords, std::size_t i) {
  const auto over_same_bass = [&](std::size_t k) {
    return chords[k].chord && chords[k].chord->bass.sounds_like(chords[i].chord->bass) &&
           !chords[k].chord->root.sounds_like(chords[i].chord->root);
  };
  return (i > 0 && over_same_bass(i - 1)) || (i + 1 < chords.size() && over_same_bass(i + 1));
}

/// What stands around each chord; across N.C. nothing.
std::vector<NeighbourPlaces> neighbours_of(const std::vector<TimedChord>& chords) {
  std::vector<NeighbourPlaces> result(chords.size());
  const auto other_root = [&](std::size_t a, std::size_t b) { return chords[a].chord->root != chords[b].chord->root; };
  // What follows is made from the end: the neighbour's own "next" is then known at no cost.
  for (std::size_t i = chords.size(); i-- > 0;) {
    if (!chords[i].chord || i + 1 == chords.size() || !chords[i + 1].chord) continue;
    NeighbourPlaces& here = result[i];
    const NeighbourPlaces& after = result[i + 1];
    const auto place = static_cast<std::int32_t>(i + 1);
    if (other_root(i, i + 1)) {
      here.next = place;
      here.after_next = after.next;
    } else {
      here.next = after.next;
      here.after_next = after.after_next;
      here.same_root_after = *chords[i + 1].chord == *chords[i].chord ? after.same_root_after : place;
    }
  }
  for (std::size_t i = 1; i < chords.size(); ++i) {
    if (!chords[i].chord || !chords[i - 1].chord) continue;
    NeighbourPlaces& here = result[i];
    const NeighbourPlaces& last = result[i - 1];
    const auto place = static_cast<std::int32_t>(i - 1);
    if (other_root(i, i - 1)) {
      here.before = place;
    } else {
      here.before = last.before;
      here.same_root_before = *chords[i - 1].chord == *chords[i].chord ? last.same_root_before : place;
    }
  }
  return result;
}

ChordNeighbours neighbours_at(const NeighbourPlaces& places, const std::vector<TimedChord>& chords) {
  const auto at = [&](std::int32_t place) {
    return place < 0 ? std::nullopt : chords[static_cast<std::size_t>(place)].chord;
  };
  return {at(places.before), at(places.next), at(places.after_next), at(places.same_root_before),
          at(places.same_root_after)};
}

/// The keys that the text states for later parts count there, and the first one where it is stated.
void take_stated_keys(Analysis& analysis) {
  const Timeline& timeline = analysis.timeline;
  for (std::size_t i = 0; i < timeline.keys.size(); ++i) {
    const StatedKey& stated = timeline.keys[i];
    const int last = i + 1 < timeline.keys.size() ? timeline.keys[i + 1].bar - 1 : timeline.bars;
    if (stated.bar > last) continue;
    Key key{stated.key.tonic, stated.key.mode.value_or(mode_on(stated.key.tonic, timeline.chords, stated.bar, last))};
    if (!key.can_be_written()) key = simplest_spelling(key);
    std::fill_n(analysis.keys.by_bar.begin() + stated.bar - 1, last - stated.bar + 1, key);
  }
}

}  // namespace

Analysis analyse(const Progression& progression, const std::optional<KeyText>& key, MinorDegrees style) {
  Analysis analysis;
  if (progression.notation == Notation::absolute) {
    analysis.timeline = timeline(progression, {});
    analysis.keys = find_key(analysis.timeline, key ? key : progression.key);
  } else {
    const Key in = key_of_numerals(progression, key);
    analysis.timeline = timeline(progression, in);
    analysis.keys.main = {in, 1};
    analysis.keys.by_bar.assign(static_cast<std::size_t>(analysis.timeline.bars), in);
  }
  take_stated_keys(analysis);
  const auto& chords = analysis.timeline.chords;
  const std::vector<NeighbourPlaces> around = neighbours_of(chords);
  analysis.chords.reserve(chords.size());
  for (std::size_t i = 0; i < chords.size(); ++i) {
    const Key& here = analysis.keys.by_bar[static_cast<std::size_t>(chords[i].bar - 1)];
    AnalysedChord& each = analysis.chords.emplace_back(AnalysedChord{chords[i], here, {}, around[i]});
    if (chords[i].chord) {
      each.reading = read_chord(*chords[i].chord, here, neighbours_at(around[i], chords), style);
      Origin& origin = each.reading->origin;
      if (origin == Origin::chromatic && shares_bass(chords, i)) origin = Origin::pedal;
      if (chords[i].numeral && progression.notation == Notation::roman) each.reading->numeral = *chords[i].numeral;
    }
  }
  analysis.cadences = find_cadences(analysis.timeline, analysis.keys.by_bar);
  return analysis;
}

ChordNeighbours Analysis::around(std::size_t chord) const {
  return neighbours_at(chords[chord].around, timeline.chords);
}

std::vector<Pivot> find_pivots(const Analysis& analysis) {
  std::vector<Pivot> pivots;
  for (std::size_t i = 1; i < analysis.chords.size(); ++i) {
    const AnalysedChord& last = analysis.chords[i - 1];
    const Key& to = analysis.chords[i].key;
    if (last.key == to || !last.timed.chord) continue;
    const Chord& chord = *last.timed.chord;
    if (!is_diatonic(chord, last.key) || !is_diatonic(chord, to)) continue;
    pivots.push_back({i - 1, last.key, to, numeral_of(chord, last.key), numeral_of(chord, to)});
  }
  return pivots;
}

}  // namespace romanesca
