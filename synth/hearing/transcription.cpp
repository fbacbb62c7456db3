#include "synth/hearing/transcription.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "synth/hearing/bar_decoder.h"
#include "synth/hearing/beat_tracking.h"
#include "synth/hearing/chord_looks.h"
#include "synth/hearing/pulse_evidence.h"

namespace romanesca {
namespace {

constexpr double shortest_s = 4;
constexpr double least_level = 0.001;    // -60 dB re full scale
constexpr double least_mean_rise = 0.1;  // of OnsetStrength::mean_rise
constexpr double least_music = 0.25;     // of the beats that have a chord
constexpr double slow_two_bpm = 60;
/// How many tempi are tried, how far they may lie from the usual, and what one longer beat costs at most: little for a
/// player who hesitates, more for a band.
struct BeatSearch {
  std::size_t tempi;
  double octaves;
  std::span<const double> most_costs;
};
constexpr std::array<double, 2> most_costs{5, 40};
constexpr BeatSearch by_onsets{3, 0.4, std::span(most_costs).first(1)}, by_network{6, 0.7, most_costs};
// Weights of what speaks for a hypothesis, found as those of pulse_evidence.cpp.
constexpr double tempo_weight = 8;
constexpr double compared_per_second = 4.5;              // of the chords' evidence, where hypotheses are compared
constexpr double reading_per_second = 0.9;               // and where the chosen one is read
constexpr double band_reading_per_second = 1.6;          // with networks, whose evidence is more certain
constexpr std::array<double, 3> usual_meter{0, -3, -4};  // of four, three and two pulses

/// Beats that may be right, and what speaks for them.
struct BeatHypothesis {
  std::vector<double> beats_s;
  double score = 0;
};

struct Decision {
  std::vector<double> beats_s;
  std::vector<BeatEvidence> evidence;
  int pulses = 4;
  std::optional<std::size_t> first_line;
};

double median_length(const std::vector<double>& beats_s) {
  std::vector<double> lengths;
  for (std::size_t i = 1; i < beats_s.size(); ++i) lengths.push_back(beats_s[i] - beats_s[i - 1]);
  if (lengths.empty()) return 0;
  const auto middle = lengths.begin() + static_cast<std::ptrdiff_t>(lengths.size() / 2);
  std::nth_element(lengths.begin(), middle, lengths.end());
  return *middle;
}

/// The beats, and the same half a beat later; both filled up to the ends of the recording.
std::vector<BeatHypothesis> hypotheses_at(const std::vector<double>& tracked, const TempoGuess& tempo,
                                          double length_s) {
  std::vector<BeatHypothesis> both;
  if (tracked.size() < 4) return both;
  const double period = median_length(tracked);
  for (const double shift : {0.0, period / 2}) {
    BeatHypothesis hypothesis;
    // A recording may begin with the first note, whose onset cannot be heard.
    for (double at = tracked.front() + shift - period; at > -0.2 * period; at -= period)
      hypothesis.beats_s.push_back(std::max(at, 0.0));
    std::reverse(hypothesis.beats_s.begin(), hypothesis.beats_s.end());
    for (std::size_t i = 0; i < tracked.size(); ++i) {
      // Half of the beat that is there, which is longer where the player hesitates.
      const double half = i + 1 < tracked.size() ? (tracked[i + 1] - tracked[i]) / 2 : period / 2;
      hypothesis.beats_s.push_back(tracked[i] + (shift > 0 ? half : 0));
    }
    while (hypothesis.beats_s.back() > length_s - 0.2 && hypothesis.beats_s.size() > 1) hypothesis.beats_s.pop_back();
    while (hypothesis.beats_s.back() + 1.2 * period < length_s)
      hypothesis.beats_s.push_back(hypothesis.beats_s.back() + period);
    hypothesis.score = tempo_weight * std::log(tempo.strength);
    both.push_back(std::move(hypothesis));
  }
  return both;
}

std::vector<BeatHypothesis> hypotheses_of(const PulseEvidence& pulse, const TranscriptionHints& hints,
                                          double length_s) {
  const BeatSearch& search = pulse.by_network() ? by_network : by_onsets;
  std::vector<BeatHypothesis> all;
  for (const TempoGuess& tempo : tempo_guesses(pulse.tracked(), search.tempi, hints.tempo_bpm, search.octaves)) {
    std::vector<double> before;
    for (const double most_cost : search.most_costs) {
      const std::vector<double> tracked = track_beats(pulse.tracked(), tempo.bpm, most_cost);
      if (tracked == before) continue;
      for (BeatHypothesis& hypothesis : hypotheses_at(tracked, tempo, length_s)) all.push_back(std::move(hypothesis));
      before = tracked;
    }
  }
  return all;
}

/// Where the first bar is said to begin, its nearest beat moves there and what comes before is dropped.
void begin_at(BeatHypothesis& hypothesis, double first_line_s) {
  auto& beats = hypothesis.beats_s;
  const auto nearest = std::min_element(beats.begin(), beats.end(), [&](double a, double b) {
    return std::abs(a - first_line_s) < std::abs(b - first_line_s);
  });
  if (nearest == beats.end()) return;
  *nearest = first_line_s;
  beats.erase(beats.begin(), nearest);
}

/// What the beats hold. @param reading_weight of a second, where the chosen beats are read; nothing where they are
/// compared with others
std::vector<BeatEvidence> evidence_of(const ChordLooks& looks, const PulseEvidence& pulse,
                                      const std::vector<double>& beats_s, double end_s,
                                      std::optional<double> reading_weight) {
  std::vector<BeatEvidence> evidence(beats_s.size());
  const std::vector<float> lines = pulse.for_lines(beats_s);
  for (std::size_t i = 0; i < beats_s.size(); ++i) {
    const double next = i + 1 < beats_s.size() ? beats_s[i + 1] : end_s;
    const double length_s = std::min(next - beats_s[i], 2.0);
    evidence[i].chords = reading_weight ? looks.chord_at(beats_s[i], next) : looks.sum_between(beats_s[i], next);
    const double weight = reading_weight ? *reading_weight * length_s : compared_per_second;
    for (float& value : evidence[i].chords) value *= static_cast<float>(weight);
    evidence[i].bar_line = lines[i];
  }
  return evidence;
}

/// Slow bars of two are written as bars of four, twice as fast (common practice, no source): where nobody plays between
/// the beats both look alike.
void write_slow_twos_as_fours(Decision& decision, double length_s) {
  if (decision.pulses != 2 || 60 / median_length(decision.beats_s) >= slow_two_bpm) return;
  std::vector<double> beats;
  for (std::size_t i = 0; i < decision.beats_s.size(); ++i) {
    const double next = i + 1 < decision.beats_s.size() ? decision.beats_s[i + 1] : length_s;
    beats.push_back(decision.beats_s[i]);
    beats.push_back((decision.beats_s[i] + next) / 2);
  }
  decision.beats_s = std::move(beats);
  decision.pulses = 4;
}

Decision best_reading(const ChordLooks& looks, const PulseEvidence& pulse, const ChordSuccessions& successions,
                      const TranscriptionHints& hints, double length_s) {
  Decision best;
  double best_score = -1e18;
  for (BeatHypothesis& hypothesis : hypotheses_of(pulse, hints, length_s)) {
    if (hints.first_line_s) begin_at(hypothesis, *hints.first_line_s);
    if (hypothesis.beats_s.size() < 4) continue;
    const auto evidence = evidence_of(looks, pulse, hypothesis.beats_s, length_s, std::nullopt);
    hypothesis.score += pulse.for_beats(hypothesis.beats_s, length_s);
    const std::optional<std::size_t> first_line = hints.first_line_s ? std::optional<std::size_t>(0) : std::nullopt;
    for (const int pulses : {4, 3, 2, 5}) {
      if (hints.pulses ? pulses != *hints.pulses : pulses == 5) continue;
      const double usual = hints.pulses ? 0 : usual_meter[static_cast<std::size_t>(4 - pulses)];
      const double score = hypothesis.score + usual + BarDecoder(successions, pulses).score(evidence, first_line);
      if (score <= best_score) continue;
      best_score = score;
      best = {hypothesis.beats_s, {}, pulses, first_line};
    }
  }
  if (!hints.pulses && !hints.tempo_bpm) write_slow_twos_as_fours(best, length_s);
  best.evidence = evidence_of(looks, pulse, best.beats_s, length_s,
                              pulse.by_network() ? band_reading_per_second : reading_per_second);
  return best;
}

/// The bass of a chord: another tone than the root only if the first two beats agree on it.
int bass_of_beats(const ChordLooks& looks, std::span<const double> edges, std::size_t chord) {
  if (edges.size() < 3) return root_of(chord);
  const int first = likely_bass(looks.bass_at(edges[0], edges[1]), chord);
  const int second = likely_bass(looks.bass_at(edges[1], edges[2]), chord);
  return first == second ? first : root_of(chord);
}

/// Beats become chords and bars.
void gather_bars(const ChordLooks& looks, const Decision& decision, const std::vector<DecodedBeat>& decoded,
                 double end_s, Transcription& result) {
  std::vector<double> edges = decision.beats_s;
  edges.push_back(end_s);
  for (std::size_t i = 0; i < decoded.size();) {
    const bool new_bar = i == 0 || decoded[i].place < decoded[i - 1].place;
    if (new_bar) result.bars.push_back({edges[i], edges[i], {}, 0});
    TranscribedBar& bar = result.bars.back();
    std::size_t end = i + 1;
    while (end < decoded.size() && decoded[end].chord == decoded[i].chord &&
           decoded[end].place >= decoded[end - 1].place)
      ++end;
    TranscribedChord chord{decoded[i].place, 1, decoded[i].chord, 0, edges[i], edges[end], 0};
    for (std::size_t k = i; k < end; ++k) chord.sure += decoded[k].sure * (edges[k + 1] - edges[k]);
    bar.sure += chord.sure;
    chord.sure /= chord.end_s - chord.start_s;
    if (chord.chord != no_chord_class)
      chord.bass = bass_of_beats(looks, std::span(edges).subspan(i, end - i + 1), chord.chord);
    // A doubled pulse whose second half has another chord: that one is the bar's.
    if (!bar.chords.empty() && bar.chords.back().pulse == chord.pulse) bar.chords.pop_back();
    bar.chords.push_back(chord);
    bar.end_s = chord.end_s;
    i = end;
  }
  for (TranscribedBar& bar : result.bars) {
    bar.sure /= std::max(bar.end_s - bar.start_s, 1e-6);
    for (std::size_t i = 0; i < bar.chords.size(); ++i) {
      const int next = i + 1 < bar.chords.size() ? bar.chords[i + 1].pulse : result.pulses;
      bar.chords[i].pulses = next - bar.chords[i].pulse;
    }
  }
}

/// When the last note was struck.
double last_onset_s(const OnsetStrength& onsets) {
  constexpr float clear_onset = 1.5f;
  for (std::size_t i = onsets.all.size(); i-- > 0;) {
    if (onsets.all[i] >= clear_onset) return static_cast<double>(i) / OnsetStrength::frames_per_second;
  }
  return 0;
}

bool has_chord(const TranscribedBar& bar) {
  return std::any_of(bar.chords.begin(), bar.chords.end(),
                     [](const TranscribedChord& chord) { return chord.chord != no_chord_class; });
}

}  // namespace

SoundFeatures features_of_sound(std::span<const float> sound) {
  SoundFeatures features;
  features.length_s = static_cast<double>(sound.size()) / hearing_rate_hz;
  float loudest = 0;
  for (const float sample : sound) loudest = std::max(loudest, std::abs(sample));
  if (features.length_s < shortest_s) {
    features.outcome = TranscriptionOutcome::too_short;
  } else if (static_cast<double>(loudest) < least_level) {
    features.outcome = TranscriptionOutcome::silent;
  } else {
    features.onsets = onset_strength(sound);
    if (features.onsets.mean_rise < least_mean_rise) {
      features.outcome = TranscriptionOutcome::steady;
    } else {
      features.frames = pitch_frames(sound);
    }
  }
  return features;
}

Transcription transcribe_chords(std::span<const float> sound, const TranscriptionHints& hints,
                                const BandNetworks* networks) {
  return transcribe_features(features_of_sound(sound), hints, networks);
}

Transcription transcribe_features(const SoundFeatures& features, const TranscriptionHints& hints,
                                  const BandNetworks* networks) {
  Transcription result;
  const auto fail = [&](TranscriptionOutcome outcome) {
    result.outcome = outcome;
    result.bars.clear();
    return result;
  };
  if (features.outcome != TranscriptionOutcome::chords) return fail(features.outcome);
  const double length_s = features.length_s;
  const PulseEvidence pulse(features.onsets, networks != nullptr ? &networks->beats : nullptr);
  result.tuning_cents = features.frames.tuning_cents;
  const ChordSuccessions successions;
  const ChordLooks looks(features.frames, networks != nullptr ? &networks->chords : nullptr);
  const Decision decision = best_reading(looks, pulse, successions, hints, length_s);
  if (decision.beats_s.empty()) return fail(TranscriptionOutcome::too_short);
  result.pulses = decision.pulses;
  result.beats_s = decision.beats_s;
  result.tempo_bpm = 60 / median_length(decision.beats_s);
  const auto decoded = BarDecoder(successions, decision.pulses).decode(decision.evidence, decision.first_line);
  std::array<int, 12> tonics{};
  int sounding = 0;
  for (const DecodedBeat& beat : decoded) {
    ++tonics[static_cast<std::size_t>(beat.tonic)];
    sounding += beat.chord != no_chord_class;
  }
  result.tonic = static_cast<int>(std::max_element(tonics.begin(), tonics.end()) - tonics.begin());
  if (sounding < least_music * static_cast<double>(decoded.size())) return fail(TranscriptionOutcome::no_chords);
  gather_bars(looks, decision, decoded, length_s, result);
  // After the last note only its decay is left, which is no bar of its own.
  const double end_s = last_onset_s(features.onsets) + 0.1;
  while (!result.bars.empty() && (!has_chord(result.bars.back()) || result.bars.back().start_s > end_s))
    result.bars.pop_back();
  const auto first = std::find_if(result.bars.begin(), result.bars.end(), has_chord);
  result.bars.erase(result.bars.begin(), first);
  return result;
}

}  // namespace romanesca
