#include "theory/analysis/cadence.h"

#include <array>
#include <optional>

namespace romanesca {
namespace {

int degree_above(const Chord& chord, const Key& key) {
  return ((chord.root.semitone() - key.tonic.semitone()) % 12 + 12) % 12;
}

bool is_dominant(const Chord& chord, const Key& key) {
  const int above = degree_above(chord, key);
  const bool major_third = chord.type.has(intervals::major_third);
  return (above == 7 && (major_third || !chord.type.has_third())) || (above == 11 && chord.type.is_diminished());
}

std::optional<CadenceKind> arrival(const Chord& before, const Chord& here, const Key& key) {
  const int to = degree_above(here, key);
  const bool plain = !here.type.is_diminished();
  if (is_dominant(before, key) && to == 0 && plain) return CadenceKind::authentic;
  if (is_dominant(before, key) && (to == 9 || to == 8) && plain) return CadenceKind::deceptive;
  if (to == 0 && degree_above(before, key) == 5 && !before.type.is_diminished()) return CadenceKind::plagal;
  return std::nullopt;
}

}  // namespace

std::string_view to_string(CadenceKind kind) {
  constexpr std::array<std::string_view, 4> names{"authentic", "plagal", "deceptive", "half"};
  return names[static_cast<std::size_t>(kind)];
}

std::optional<CadenceTerms> parse_cadence_terms(std::string_view text) {
  if (text == "british") return CadenceTerms::british;
  if (text == "american") return CadenceTerms::american;
  return std::nullopt;
}

std::string_view to_string(CadenceTerms terms) noexcept {
  return terms == CadenceTerms::american ? "american" : "british";
}

std::string_view cadence_term(CadenceKind kind, CadenceTerms terms) {
  constexpr std::array<std::array<std::string_view, 4>, 2> names{
      {{"a perfect cadence", "a plagal cadence", "an interrupted cadence", "an imperfect cadence"},
       {"an authentic cadence", "a plagal cadence", "a deceptive cadence", "a half cadence"}}};
  return names[static_cast<std::size_t>(terms)][static_cast<std::size_t>(kind)];
}

std::vector<Cadence> find_cadences(const Timeline& timeline, const std::vector<Key>& keys) {
  std::vector<Cadence> found;
  const auto& chords = timeline.chords;
  int section_start = 1;
  for (std::size_t i = 0; i < chords.size(); ++i) {
    if (i > 0 && chords[i].section != chords[i - 1].section) section_start = chords[i].bar;
    if (!chords[i].chord || chords[i].held) continue;
    const bool section_ends = i + 1 == chords.size() || chords[i + 1].section != chords[i].section;
    const int bar_of_group = (chords[i].bar - section_start) % 4 + 1;
    const bool bar_ends = i + 1 == chords.size() || chords[i + 1].bar != chords[i].bar;
    const Key& key = keys[static_cast<std::size_t>(chords[i].bar - 1)];
    const bool phrase_end = section_ends || (bar_of_group == 4 && bar_ends) ||
                            (bar_of_group == 1 && chords[i].bar > section_start &&
                             chords[i].start == timeline.meters.start_of(chords[i].bar));
    if (!phrase_end) continue;
    const bool has_before = i > 0 && chords[i - 1].chord && chords[i - 1].chord->root != chords[i].chord->root;
    if (has_before && chords[i - 1].section == chords[i].section) {
      if (const auto kind = arrival(*chords[i - 1].chord, *chords[i].chord, key)) {
        found.push_back({*kind, chords[i].bar});
        continue;
      }
    }
    const bool stops_here = section_ends || bar_of_group == 4;
    if (stops_here && is_dominant(*chords[i].chord, key) && degree_above(*chords[i].chord, key) == 7) {
      // A dominant that resolves at the next bar is half of an authentic cadence and is counted there.
      const bool resolves =
          !section_ends && i + 1 < chords.size() && chords[i + 1].chord && degree_above(*chords[i + 1].chord, key) == 0;
      if (!resolves) found.push_back({CadenceKind::half, chords[i].bar});
    }
  }
  return found;
}

}  // namespace romanesca
