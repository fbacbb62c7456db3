#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

#include "synth/hearing/chord_class.h"

namespace romanesca::test {

/// A chord from one time to another, as a listener or the program gives it.
struct ChordSpan {
  double start_s = 0, end_s = 0;
  std::size_t chord = no_chord_class;
  int bass = 0;  ///< 0 (C) to 11
};

/// For how long two lists agree, out of the time that counts.
struct Overlap {
  double right_s = 0, counted_s = 0;
  [[nodiscard]] double percent() const { return counted_s > 0 ? 100 * right_s / counted_s : 0; }
  Overlap& operator+=(const Overlap& other) {
    right_s += other.right_s;
    counted_s += other.counted_s;
    return *this;
  }
};

/// The rules by which two chords are compared (Harte, "Towards automatic extraction of harmony information from music
/// signals", PhD thesis, Queen Mary, University of London 2010, and MIREX 2013 and later; from memory). What the rule
/// has no word for in the true chords is left out of the time that counts; an estimate of such a kind is wrong.
enum class OverlapRule {
  root,      ///< the same root
  majmin,    ///< major with its sevenths, minor with its seventh, no chord; diminished and suspended left out
  sevenths,  ///< major, minor, 7, maj7, m7 and no chord exactly; diminished and suspended left out
  bass       ///< the same lowest tone; no chord left out
};

namespace overlap_detail {

inline bool counts(std::size_t chord, OverlapRule rule) {
  if (chord == no_chord_class) return rule == OverlapRule::majmin || rule == OverlapRule::sevenths;
  const ChordQuality quality = quality_of(chord);
  const bool other = quality == ChordQuality::diminished || quality == ChordQuality::suspended_fourth;
  return rule == OverlapRule::root || rule == OverlapRule::bass || !other;
}

inline bool same(const ChordSpan& truth, const ChordSpan& heard, OverlapRule rule) {
  const bool none = heard.chord == no_chord_class;
  switch (rule) {
    case OverlapRule::root:
      return !none && root_of(truth.chord) == root_of(heard.chord);
    case OverlapRule::majmin:
      return triad_family(truth.chord) == triad_family(heard.chord);
    case OverlapRule::sevenths:
      return truth.chord == heard.chord;
    default:
      return !none && truth.bass == heard.bass;
  }
}

}  // namespace overlap_detail

/// Chord symbol recall: for each stretch of the truth the time in which the estimate agrees. Between spans of the
/// estimate there is no chord; what lies outside the truth does not count.
inline Overlap overlap(const std::vector<ChordSpan>& truth, const std::vector<ChordSpan>& heard, OverlapRule rule) {
  Overlap result;
  for (const ChordSpan& span : truth) {
    if (!overlap_detail::counts(span.chord, rule)) continue;
    result.counted_s += span.end_s - span.start_s;
    double covered_s = 0;
    for (const ChordSpan& other : heard) {
      const double both_s = std::min(span.end_s, other.end_s) - std::max(span.start_s, other.start_s);
      if (both_s <= 0) continue;
      covered_s += both_s;
      if (overlap_detail::same(span, other, rule)) result.right_s += both_s;
    }
    if (overlap_detail::same(span, {}, rule)) result.right_s += std::max(0.0, span.end_s - span.start_s - covered_s);
  }
  return result;
}

/// F measure of points in time: each true one is hit by at most one heard within the tolerance (MIREX beat tracking:
/// 70 ms; from memory).
inline double points_f(const std::vector<double>& truth, const std::vector<double>& heard, double tolerance_s = 0.07) {
  std::size_t hits = 0;
  std::size_t next = 0;
  for (const double point : truth) {
    while (next < heard.size() && heard[next] < point - tolerance_s) ++next;
    if (next < heard.size() && heard[next] <= point + tolerance_s) {
      ++hits;
      ++next;
    }
  }
  const std::size_t all = truth.size() + heard.size();
  return all > 0 ? 2.0 * static_cast<double>(hits) / static_cast<double>(all) : 0;
}

}  // namespace romanesca::test
