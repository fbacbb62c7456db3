#include "theory/voicing/four_part.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <map>
#include <tuple>

#include "theory/voicing/four_part_chord.h"
#include "theory/voicing/four_part_leading.h"

namespace romanesca {
namespace {

/// A chord in its place, with all ways to sing it.
struct FourPartChoice {
  PartChord chord;
  std::vector<PartVoicing> voicings;
};

class Writer {
 public:
  Writer(std::span<const Chord> chords, std::span<const Key> keys, const PartRanges& ranges)
      : chords_(chords), keys_(keys), ranges_(ranges) {
    for (PartRange& range : ranges_) {
      range.lowest = std::clamp(range.lowest, 0, 127);
      range.highest = std::clamp(range.highest, range.lowest, range.lowest + 24);
    }
  }

  FourPart write() {
    FourPart result;
    if (chords_.empty()) return result;
    for (std::size_t i = 0; i < chords_.size(); ++i) choices_.push_back(choice_at(i));
    const std::vector<std::size_t> path = cheapest_path(result.cost);
    for (std::size_t i = 0; i < path.size(); ++i) {
      const PartVoicing& voicing = choices_[i]->voicings[path[i]];
      if (i > 0) report_leading(i, choices_[i - 1]->voicings[path[i - 1]], voicing, result.broken_rules);
      report_within(i, voicing, result.broken_rules);
      result.chords.push_back(spelled(voicing, i));
    }
    return result;
  }

 private:
  [[nodiscard]] Key key_at(std::size_t i) const {
    if (keys_.empty()) return {};
    return keys_[std::min(i, keys_.size() - 1)];
  }

  /// Songs repeat themselves: the same chord in the same place before the same chord is worked out once.
  const FourPartChoice* choice_at(std::size_t i) {
    const Chord& chord = chords_[i];
    const Chord* next = i + 1 < chords_.size() ? &chords_[i + 1] : nullptr;
    const Key key = key_at(i);
    const Place place{chord.root.fifths(),
                      chord.type.mask(),
                      chord.bass.fifths(),
                      key.tonic.fifths(),
                      key.mode,
                      next != nullptr,
                      next ? next->root.fifths() : 0,
                      next ? next->type.mask() : 0};
    const auto found = known_.find(place);
    if (found != known_.end()) return &found->second;
    FourPartChoice choice{part_chord(chord, key, next), {}};
    choice.voicings = part_voicings(choice.chord, ranges_);
    return &known_.emplace(place, std::move(choice)).first->second;
  }

  /// Dynamic programming over all voicings. Costs are never negative, so of the voicings before, in order of their
  /// cost, those that cost more than the best sum so far need not be looked at.
  std::vector<std::size_t> cheapest_path(std::int64_t& total) const {
    std::vector<std::vector<std::uint16_t>> came_from(choices_.size());
    std::vector<std::int64_t> cost;
    for (const PartVoicing& voicing : choices_[0]->voicings) cost.push_back(voicing.cost);
    for (std::size_t i = 1; i < choices_.size(); ++i) {
      const FourPartChoice& before = *choices_[i - 1];
      const std::vector<PartVoicing>& here = choices_[i]->voicings;
      std::vector<std::uint16_t> order(cost.size());
      for (std::size_t k = 0; k < order.size(); ++k) order[k] = static_cast<std::uint16_t>(k);
      std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return cost[a] < cost[b]; });
      std::vector<std::int64_t> sums(here.size());
      came_from[i].resize(here.size());
      for (std::size_t j = 0; j < here.size(); ++j) {
        std::int64_t best = std::numeric_limits<std::int64_t>::max();
        for (const std::uint16_t k : order) {
          if (cost[k] >= best) break;
          const std::int64_t sum = cost[k] + leading_cost(before.voicings[k], here[j], before.chord.tendency);
          if (sum >= best) continue;
          best = sum;
          came_from[i][j] = k;
        }
        sums[j] = best + here[j].cost;
      }
      cost = std::move(sums);
    }
    const auto last = std::min_element(cost.begin(), cost.end());
    total = *last;
    std::vector<std::size_t> path(choices_.size());
    path.back() = static_cast<std::size_t>(last - cost.begin());
    for (std::size_t i = path.size(); i-- > 1;) path[i - 1] = came_from[i][path[i]];
    return path;
  }

  [[nodiscard]] FourPartVoicing spelled(const PartVoicing& voicing, std::size_t i) const {
    FourPartVoicing result;
    for (std::size_t v = 0; v < part_count; ++v) {
      const PartTone& tone = choices_[i]->chord.tones[voicing.tone[v]];
      result.voices[v] = lowest_at_or_above(v == 0 ? chords_[i].bass : tone.name, voicing.midi[v]);
    }
    return result;
  }

  void report_within(std::size_t i, const PartVoicing& voicing, std::vector<BrokenRule>& broken) const {
    const PartChord& chord = choices_[i]->chord;
    const std::string symbol = to_string(chords_[i]);
    for (const PartFault& fault : faults_within(voicing, chord, ranges_)) {
      const PartTone& tone = chord.tones[fault.tone];
      const std::string_view lower = voice_name(fault.voice);
      std::string text;
      if (fault.rule == PartRule::range) {
        text = fmt::format("In {} the {} leaves its range.", symbol, lower);
      } else if (fault.rule == PartRule::crossing) {
        text = fmt::format("In {} the {} lies above the {}.", symbol, lower, voice_name(fault.voice + 1));
      } else if (fault.rule == PartRule::spacing) {
        text =
            fmt::format("In {} {} and {} are more than an octave apart.", symbol, lower, voice_name(fault.voice + 1));
      } else if (fault.rule == PartRule::doubling) {
        text = fmt::format("{} has its {} {} twice, a note that should be heard once.", symbol,
                           tone.leading_tone ? "leading tone" : member_name(tone.above_root), to_string(tone.name));
      } else {
        text = fmt::format("{} is sung without its {} {}.", symbol, member_name(tone.above_root), to_string(tone.name));
      }
      broken.push_back({fault.rule, i, std::move(text)});
    }
  }

  void report_leading(std::size_t i, const PartVoicing& from, const PartVoicing& to,
                      std::vector<BrokenRule>& broken) const {
    const PartChord& chord = choices_[i - 1]->chord;
    const LeadingFaults faults = faults_between(from, to, chord.tendency);
    const std::string symbols = fmt::format("from {} to {}", to_string(chords_[i - 1]), to_string(chords_[i]));
    for (std::size_t pair = 0; pair < voice_pairs.size(); ++pair) {
      const auto report = [&](PartRule rule, std::string_view what) {
        broken.push_back({rule, i,
                          fmt::format("Between {} and {} there are {} {}.", voice_name(voice_pairs[pair][0]),
                                      voice_name(voice_pairs[pair][1]), what, symbols)});
      };
      if ((faults.parallel_fifths >> pair & 1) != 0) report(PartRule::parallel_fifths, "parallel fifths");
      if ((faults.parallel_octaves >> pair & 1) != 0) report(PartRule::parallel_octaves, "parallel octaves");
    }
    for (std::size_t v = 0; v < part_count; ++v) {
      const std::string note = to_string(chord.tones[from.tone[v]].name);
      const std::string_view voice = voice_name(static_cast<int>(v));
      if ((faults.leading_tones >> v & 1) != 0) {
        broken.push_back({PartRule::leading_tone, i,
                          fmt::format("The leading tone {} in the {} does not rise {}.", note, voice, symbols)});
      }
      if ((faults.sevenths >> v & 1) != 0) {
        broken.push_back({PartRule::chordal_seventh, i,
                          fmt::format("The {} {} in the {} does not fall by step {}.",
                                      member_name(chord.tones[from.tone[v]].above_root), note, voice, symbols)});
      }
    }
  }

  static std::string_view voice_name(int voice) { return to_string(static_cast<VoicePart>(voice)); }

  using Place = std::tuple<int, std::uint32_t, int, int, Mode, bool, int, std::uint32_t>;
  std::span<const Chord> chords_;
  std::span<const Key> keys_;
  PartRanges ranges_;
  std::map<Place, FourPartChoice> known_;
  std::vector<const FourPartChoice*> choices_;
};

}  // namespace

std::string_view to_string(VoicePart part) {
  constexpr std::array<std::string_view, part_count> names{"bass", "tenor", "alto", "soprano"};
  return names[static_cast<std::size_t>(part)];
}

std::string_view to_string(PartRule rule) {
  constexpr std::array<std::string_view, 9> names{"range",           "crossing",         "spacing",
                                                  "parallel fifths", "parallel octaves", "leading tone",
                                                  "chordal seventh", "doubling",         "complete"};
  return names[static_cast<std::size_t>(rule)];
}

FourPart write_four_parts(std::span<const Chord> chords, std::span<const Key> keys, const PartRanges& ranges) {
  return Writer(chords, keys, ranges).write();
}

}  // namespace romanesca
