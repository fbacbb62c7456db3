#include "theory/harmony/harmoniser.h"

#include <algorithm>
#include <array>
#include <utility>

#include "theory/harmony/harmony_path.h"
#include "theory/harmony/harmony_reason.h"
#include "theory/harmony/repeated_path.h"
#include "theory/harmony/tune_spans.h"

namespace romanesca {
namespace {

/// A second key this likely gives a choice of its own.
constexpr double least_confidence_of_second_key = 0.15;
/// Not to have the expected chord: about one chord in three changes (found by reading the chords of invented tunes; no
/// source).
constexpr int expected_cost = 150, most_expected_cost = 2400;  // more where less changes nothing
constexpr int bars_per_row = 4;

struct ChordSpan {
  TuneSpan span;
  Chord chord;
};
using ChordSpans = std::vector<ChordSpan>;

ChordSpans chords_of(const std::vector<TuneSpan>& spans, const HarmonyPath& path,
                     const std::vector<PaletteChord>& palette) {
  ChordSpans result;
  for (std::size_t i = 0; i < spans.size(); ++i) result.push_back({spans[i], palette[path.chords[i]].chord});
  return result;
}

bool same_chords(const ChordSpans& a, const ChordSpans& b) {
  const auto chord_at = [](const ChordSpans& spans, Beats time, std::size_t& place) {
    while (place + 1 < spans.size() && spans[place + 1].span.start <= time) ++place;
    return spans[place].chord;
  };
  for (const ChordSpans* each : {&a, &b}) {
    std::size_t in_a = 0, in_b = 0;
    for (const ChordSpan& span : *each) {
      if (chord_at(a, span.span.start, in_a) != chord_at(b, span.span.start, in_b)) return false;
    }
  }
  return true;
}

class Harmoniser {
 public:
  Harmoniser(const Tune& tune, const MeterMap& meters, const HarmonyRequest& request)
      : tune_(tune), meters_(meters), request_(request) {}

  Harmonisation run() {
    find_keys();
    if (tune_bars(tune_, meters_) == 0) return std::move(result_);
    bars_ = tune_spans(tune_, meters_, SpanSize::bar);
    spans_ = request_.limits.most_per_bar > 1 ? tune_spans(tune_, meters_, SpanSize::half_bar) : bars_;
    bar_repeats_ = find_tune_repeats(tune_, meters_, bars_);
    repeats_ = find_tune_repeats(tune_, meters_, spans_);
    if (request_.own.empty()) {
      choose_from_key();
    } else {
      choose_from_own();
    }
    return std::move(result_);
  }

 private:
  void find_keys() {
    result_.keys = find_tune_key(tune_, meters_);
    if (!request_.key) return;
    const PitchClass tonic = request_.key->tonic;
    Mode mode = Mode::major;
    for (const TuneKeyGuess& guess : result_.keys) {
      if (!guess.key.tonic.sounds_like(tonic)) continue;
      mode = guess.key.mode;
      break;
    }
    result_.keys = {{{tonic, request_.key->mode.value_or(mode)}, 1.0}};
  }

  [[nodiscard]] HarmonyPath path_over(const std::vector<TuneSpan>& spans, const std::vector<PaletteChord>& palette,
                                      const Key& key, const PathDemands& demands = {}) const {
    return repeated_path(spans, &spans == &bars_ ? bar_repeats_ : repeats_, palette, key, demands);
  }

  void choose_from_key() {
    const Key key = result_.keys.front().key;
    const auto palette = palette_of(key, request_.limits);
    std::vector<PaletteChord> main;
    for (const PaletteChord& chord : palette) {
      if (chord.role == PaletteRole::main) main.push_back(chord);
    }
    const HarmonyPath best = path_over(spans_, palette, key);
    const bool best_is_plain = std::all_of(best.chords.begin(), best.chords.end(),
                                           [&](std::size_t chord) { return palette[chord].role == PaletteRole::main; });
    add(best_is_plain ? HarmonyKind::plain : HarmonyKind::of_key, key, chords_of(spans_, best, palette));
    if (best_is_plain) {
      const PathDemands demands{PaletteRole::other, std::max(1, bars_.back().bar / 4)};
      add(HarmonyKind::of_key, key, chords_of(spans_, path_over(spans_, palette, key, demands), palette));
    } else {
      add(HarmonyKind::plain, key, chords_of(spans_, path_over(spans_, main, key), main));
    }
    if (result_.keys.size() > 1 && result_.keys[1].confidence >= least_confidence_of_second_key) {
      const Key second = result_.keys[1].key;
      const auto there = palette_of(second, request_.limits);
      add(HarmonyKind::other_key, second, chords_of(spans_, path_over(spans_, there, second), there));
      return;
    }
    choose_surprise(palette, key);
  }

  /// The third choice. Where the level has no chords from outside the key, one that fits as well as the first.
  void choose_surprise(const std::vector<PaletteChord>& palette, const Key& key) {
    for (int cost = expected_cost; cost <= most_expected_cost; cost *= 2) {
      const ChordSpans spans = surprising(palette, key, cost);
      const bool good =
          has_foreign(palette) || long_notes_inside(spans, key) >= long_notes_inside(chosen_.front(), key);
      if (good && has_new_chord(spans) && add(HarmonyKind::surprise, key, spans)) return;
    }
    // Nothing new fits: with more of the other chords, or the known ones in other places.
    PathDemands more{PaletteRole::other, std::max(1, bars_.back().bar / 4), expected(palette), expected_cost};
    for (; more.avoid_cost <= most_expected_cost; more.avoid_cost *= 2) {
      const ChordSpans spans = chords_of(spans_, path_over(spans_, palette, key, more), palette);
      if (has_new_chord(spans) && add(HarmonyKind::surprise, key, spans)) return;
    }
    for (int cost = expected_cost; cost <= most_expected_cost; cost *= 2) {
      const ChordSpans spans = surprising(palette, key, cost);
      if (!has_new_chord(spans) && add(HarmonyKind::other_way, key, spans)) return;
    }
  }

  static bool has_foreign(const std::vector<PaletteChord>& palette) {
    return std::any_of(palette.begin(), palette.end(),
                       [](const PaletteChord& chord) { return chord.role == PaletteRole::surprise; });
  }

  [[nodiscard]] int long_notes_inside(const ChordSpans& spans, const Key& key) const {
    return count_chord_tones(tune_, timeline(progression_of(spans, key), key)).chord_tones;
  }

  /// Whether a chord is in none of the choices so far.
  [[nodiscard]] bool has_new_chord(const ChordSpans& spans) const {
    return std::any_of(spans.begin(), spans.end(), [&](const ChordSpan& span) {
      return std::none_of(chosen_.begin(), chosen_.end(), [&](const ChordSpans& choice) {
        return std::any_of(choice.begin(), choice.end(),
                           [&](const ChordSpan& other) { return other.chord == span.chord; });
      });
    });
  }

  /// With chords from outside the key where the level has some; else with other chords of the key than expected.
  [[nodiscard]] ChordSpans surprising(const std::vector<PaletteChord>& palette, const Key& key, int cost) const {
    const bool foreign = has_foreign(palette);
    PathDemands demands;
    if (foreign) {
      demands.counted = PaletteRole::surprise;
      demands.at_least = std::max(1, bars_.back().bar / 8);
    }
    if (!foreign || cost > expected_cost) {
      demands.avoid = expected(palette);
      demands.avoid_cost = cost;
    }
    return chords_of(spans_, path_over(spans_, palette, key, demands), palette);
  }

  /// For each span the chords of the choices before, but not where phrases begin and end the piece or close.
  [[nodiscard]] std::vector<std::vector<std::size_t>> expected(const std::vector<PaletteChord>& palette) const {
    std::vector<std::vector<std::size_t>> result(spans_.size());
    for (const ChordSpans& choice : chosen_) {
      std::size_t place = 0;
      for (std::size_t i = 1; i < spans_.size(); ++i) {
        while (place + 1 < choice.size() && choice[place + 1].span.start <= spans_[i].start) ++place;
        if (spans_[i].bar % 4 == 0 || spans_[i].bar == bars_.back().bar) continue;
        for (std::size_t c = 0; c < palette.size(); ++c) {
          if (palette[c].chord == choice[place].chord) result[i].push_back(c);
        }
      }
    }
    return result;
  }

  void choose_from_own() {
    const Key key = result_.keys.front().key;
    const auto palette = palette_from(request_.own, key);
    add(HarmonyKind::own, key, chords_of(spans_, path_over(spans_, palette, key), palette));
    add(HarmonyKind::own_slow, key, chords_of(bars_, path_over(bars_, palette, key), palette));
    ChordSpans round;
    for (std::size_t i = 0; i < bars_.size(); ++i) round.push_back({bars_[i], request_.own[i % request_.own.size()]});
    add(HarmonyKind::own_round, key, round);
  }

  /// A choice like one that is there already is left out. @return whether it was added
  bool add(HarmonyKind kind, const Key& key, const ChordSpans& plain) {
    for (const ChordSpans& there : chosen_) {
      if (same_chords(there, plain)) return false;
    }
    ChordSpans spans = plain;
    if (request_.own.empty()) dress(spans, key, kind);
    HarmonyChoice choice{kind, progression_of(spans, key), {}, {}, {}};
    choice.analysis = analyse(choice.progression, KeyText{key.tonic, key.mode});
    for (OutsideNote& note : notes_outside_chords(tune_, choice.analysis.timeline, key)) {
      if (note.rubs()) choice.rubs.push_back(std::move(note));
    }
    const Analysis* usual = result_.choices.empty() ? nullptr : &result_.choices.front().analysis;
    choice.reason = harmony_reason(choice, tune_, usual, request_.terms);
    chosen_.push_back(plain);
    result_.choices.push_back(std::move(choice));
    return true;
  }

  /// Sevenths: on a dominant that goes to its tonic; in jazz on every chord.
  void dress(ChordSpans& spans, const Key& key, HarmonyKind kind) const {
    for (std::size_t i = 0; i < spans.size(); ++i) {
      Chord& chord = spans[i].chord;
      std::size_t next = i + 1;
      while (next < spans.size() && spans[next].chord == chord) ++next;
      const PitchClass dominant = key.tonic + intervals::perfect_fifth;
      const bool resolves = next < spans.size() && spans[next].chord.root.sounds_like(key.tonic);
      if (chord.type == chord_types::major && chord.root.sounds_like(dominant) && resolves &&
          request_.limits.allows(chord_types::dominant_seventh)) {
        for (std::size_t j = i; j < next; ++j) spans[j].chord.type = chord_types::dominant_seventh;
      } else if (request_.limits.jazz && kind == HarmonyKind::surprise) {
        const Chord seventh = jazz_chord(spans, i, next, key);
        for (std::size_t j = i; j < next; ++j) spans[j].chord = seventh;
      }
      i = next - 1;
    }
  }

  /// A triad of the key with its seventh; with a sixth where the tune sings the root, against which a major seventh
  /// rubs.
  [[nodiscard]] static Chord jazz_chord(const ChordSpans& spans, std::size_t first, std::size_t end, const Key& key) {
    Chord chord = spans[first].chord;
    if (chord.type != chord_types::major && chord.type != chord_types::minor) return chord;
    const bool minor = chord.type == chord_types::minor;
    const Interval seventh = minor || !key.contains(chord.root + intervals::major_seventh) ? intervals::minor_seventh
                                                                                           : intervals::major_seventh;
    bool root_sung = false;
    for (std::size_t i = first; i < end; ++i) {
      root_sung = root_sung || spans[i].span.stress[static_cast<std::size_t>(chord.root.semitone())] > 0;
    }
    chord.type.add(seventh == intervals::major_seventh && root_sung ? intervals::major_sixth : seventh);
    return chord;
  }

  /// Holds the last chord of a bar up to a time in it, beat by beat.
  static void fill_beats(Bar& bar, Beats until, const Meter& meter) {
    const std::int64_t beats = whole_times(until, meter.beat_length());
    while (static_cast<std::int64_t>(bar.slots.size()) < beats) bar.slots.push_back({Hold{}, {}});
  }

  [[nodiscard]] Progression progression_of(const ChordSpans& spans, const Key& key) const {
    Progression progression;
    progression.key = KeyText{key.tonic, key.mode};
    progression.written_meter = meters_.first();
    progression.sections.emplace_back();
    auto& rows = progression.sections.back().rows;
    for (std::size_t i = 0; i < spans.size();) {
      const int bar = spans[i].span.bar;
      const bool new_meter = bar > 1 && !(meters_.at(bar) == meters_.at(bar - 1));
      if (rows.empty() || rows.back().bars.size() == bars_per_row || new_meter) {
        rows.emplace_back();
        if (new_meter) rows.back().change.meter = meters_.at(bar);
      }
      Bar written;
      const ChordSpan& first = spans[i];
      written.slots.push_back({first.chord, {}});
      for (++i; i < spans.size() && spans[i].span.bar == bar; ++i) {
        if (spans[i].chord == first.chord) continue;
        if (spans[i].span.length != first.span.length) fill_beats(written, first.span.length, meters_.at(bar));
        written.slots.push_back({spans[i].chord, {}});
        if (spans[i].span.length != first.span.length)
          fill_beats(written, meters_.at(bar).bar_length(), meters_.at(bar));
      }
      rows.back().bars.push_back(std::move(written));
    }
    return progression;
  }

  const Tune& tune_;
  const MeterMap& meters_;
  const HarmonyRequest& request_;
  std::vector<TuneSpan> bars_, spans_;
  std::vector<TuneRepeat> bar_repeats_, repeats_;  ///< by bars_ and by spans_
  std::vector<ChordSpans> chosen_;
  Harmonisation result_;
};

}  // namespace

std::string_view to_string(HarmonyKind kind) {
  constexpr std::array<std::string_view, 8> names{"plain",       "more chords",     "surprise",      "another way",
                                                  "another key", "your own chords", "a chord a bar", "round and round"};
  return names[static_cast<std::size_t>(kind)];
}

Harmonisation harmonise(const Tune& tune, const MeterMap& meters, const HarmonyRequest& request) {
  return Harmoniser(tune, meters, request).run();
}

Progression with_harmony(Progression song, const HarmonyChoice& choice) {
  std::vector<const Bar*> chords;
  for (const Row& row : choice.progression.sections.front().rows) {
    for (const Bar& bar : row.bars) chords.push_back(&bar);
  }
  std::size_t place = 0;
  for (Section& section : song.sections) {
    for (Row& row : section.rows) {
      for (Bar& bar : row.bars) {
        if (place == chords.size()) break;
        bar.slots = chords[place++]->slots;
        bar.repeats_last = false;
      }
    }
  }
  song.form.reset();
  song.key = choice.progression.key;
  song.notation = Notation::absolute;
  return song;
}

}  // namespace romanesca
