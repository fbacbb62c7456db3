#include "synth/hearing/bar_decoder.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace romanesca {
namespace {

constexpr std::size_t class_count = chord_classes;
constexpr float succession_share = 0.6f;  // of the logarithms of ChordSuccessions beside the evidence
constexpr float irregular_cost = 7;       // of a pulse that is doubled, left out, or a bar that begins early
constexpr float key_cost = 9;             // of another key
constexpr float impossible = -1e9f;

using Scores = std::array<float, class_count>;
using Matrix = std::array<Scores, class_count>;

/// The pulses from which one may come to a pulse, and at what cost.
struct PulseStep {
  std::size_t from;
  float cost;
};
std::vector<PulseStep> steps_to(std::size_t pulse, std::size_t pulses) {
  std::vector<PulseStep> steps{{(pulse + pulses - 1) % pulses, 0}, {pulse, irregular_cost}};
  for (std::size_t from = 0; from < pulses; ++from) {
    const bool left_out = (from + 2) % pulses == pulse;
    const bool early = pulse == 0;
    if ((left_out || early) && from != steps[0].from && from != pulse) steps.push_back({from, irregular_cost});
  }
  return steps;
}

/// For each chord the best that comes before it, another one. @param matrix [to][from]
void best_changes(const Scores& scores, const Matrix& matrix, Scores& best,
                  std::array<std::uint8_t, class_count>* origin) {
  for (std::size_t to = 0; to < class_count; ++to) {
    const Scores& row = matrix[to];
    std::array<float, 8> lanes{};
    lanes.fill(impossible);
    std::size_t from = 0;
    for (; from + 8 <= class_count; from += 8) {
      for (std::size_t lane = 0; lane < 8; ++lane)
        lanes[lane] = std::max(lanes[lane], scores[from + lane] + row[from + lane]);
    }
    float highest = *std::max_element(lanes.begin(), lanes.end());
    for (; from < class_count; ++from) highest = std::max(highest, scores[from] + row[from]);
    best[to] = highest;
    if (origin == nullptr) continue;
    for (from = 0; from < class_count && scores[from] + row[from] != highest; ++from) {
    }
    (*origin)[to] = static_cast<std::uint8_t>(std::min(from, class_count - 1));
  }
}

/// What speaks for a pulse on a beat apart from the chords.
float line_score(const BeatEvidence& evidence, std::size_t beat, std::size_t pulse,
                 std::optional<std::size_t> first_line) {
  if (first_line && beat == *first_line && pulse != 0) return impossible;
  return pulse == 0 ? evidence.bar_line : 0;
}

/// Successions as [to][from], weighted; never from a chord to itself. @param tonic -1 for any key
Matrix succession_matrix(const ChordSuccessions& successions, int tonic) {
  Matrix matrix{};
  for (std::size_t to = 0; to < class_count; ++to) {
    for (std::size_t from = 0; from < class_count; ++from) {
      const float value = tonic < 0 ? successions.next_in_any_key(from, to) : successions.next(tonic, from, to);
      matrix[to][from] = from == to ? impossible : succession_share * value;
    }
  }
  return matrix;
}

/// Viterbi search over tonic, pulse and chord.
class ReadingSearch {
 public:
  ReadingSearch(const ChordSuccessions& successions, const std::vector<float>& change, const std::vector<float>& stay,
                std::span<const BeatEvidence> beats)
      : successions_(successions),
        change_(change),
        stay_(stay),
        beats_(beats),
        pulses_(change.size()),
        rows_(12 * pulses_),
        here_(rows_),
        next_(rows_),
        changed_(rows_),
        changed_from_(rows_),
        origins_(beats.size() * rows_ * class_count) {
    for (int tonic = 0; tonic < 12; ++tonic) matrices_.push_back(succession_matrix(successions, tonic));
    for (std::size_t pulse = 0; pulse < pulses_; ++pulse) steps_.push_back(steps_to(pulse, pulses_));
  }

  void advance(std::size_t beat, std::optional<std::size_t> first_line) {
    if (beat > 0) {
      for (std::size_t row = 0; row < rows_; ++row)
        best_changes(here_[row], matrices_[row / pulses_], changed_[row], &changed_from_[row]);
    }
    for (std::size_t row = 0; row < rows_; ++row) {
      if (beat == 0) {
        for (std::size_t chord = 0; chord < class_count; ++chord)
          next_[row][chord] = succession_share * successions_.usual(static_cast<int>(row / pulses_), chord);
      } else {
        arrive(beat, row);
      }
    }
    for (std::size_t pulse = 0; pulse < pulses_; ++pulse) {
      if (beat > 0) change_keys(beat, pulse);
      const float line = line_score(beats_[beat], beat, pulse, first_line);
      for (std::size_t row = pulse; row < rows_; row += pulses_) {
        for (std::size_t chord = 0; chord < class_count; ++chord)
          next_[row][chord] += beats_[beat].chords[chord] + line;
      }
    }
    std::swap(here_, next_);
  }

  [[nodiscard]] std::vector<DecodedBeat> best_path() const {
    std::size_t row = 0;
    std::size_t chord = 0;
    for (std::size_t r = 0; r < rows_; ++r) {
      const auto best = std::max_element(here_[r].begin(), here_[r].end());
      if (*best <= here_[row][chord]) continue;
      row = r;
      chord = static_cast<std::size_t>(best - here_[r].begin());
    }
    std::vector<DecodedBeat> decoded(beats_.size());
    for (std::size_t beat = beats_.size(); beat-- > 0;) {
      decoded[beat] = {chord, static_cast<int>(row % pulses_), static_cast<int>(row / pulses_), 0};
      const Origin& from = origins_[index_of(beat, row, chord)];
      row = from.row;
      chord = from.chord;
    }
    return decoded;
  }

 private:
  struct Origin {
    std::uint8_t row = 0, chord = 0;  ///< at most 60 rows
  };

  [[nodiscard]] std::size_t index_of(std::size_t beat, std::size_t row, std::size_t chord) const {
    return (beat * rows_ + row) * class_count + chord;
  }

  /// The best way to each chord of a row, without its evidence.
  void arrive(std::size_t beat, std::size_t row) {
    const std::size_t pulse = row % pulses_;
    for (std::size_t chord = 0; chord < class_count; ++chord) {
      float best = 2 * impossible;
      Origin from;
      for (const PulseStep& step : steps_[pulse]) {
        const std::size_t before = row - pulse + step.from;
        const float stay = here_[before][chord] + stay_[pulse] - step.cost;
        const float change = changed_[before][chord] + change_[pulse] - step.cost;
        if (std::max(stay, change) <= best) continue;
        best = std::max(stay, change);
        from = {static_cast<std::uint8_t>(before),
                stay >= change ? static_cast<std::uint8_t>(chord) : changed_from_[before][chord]};
      }
      next_[row][chord] = best;
      origins_[index_of(beat, row, chord)] = from;
    }
  }

  /// Every tonic may be reached from the best one.
  void change_keys(std::size_t beat, std::size_t pulse) {
    for (std::size_t chord = 0; chord < class_count; ++chord) {
      std::size_t best = pulse;
      for (std::size_t row = pulse; row < rows_; row += pulses_) {
        if (next_[row][chord] > next_[best][chord]) best = row;
      }
      const float moved = next_[best][chord] - key_cost;
      for (std::size_t row = pulse; row < rows_; row += pulses_) {
        if (next_[row][chord] >= moved) continue;
        next_[row][chord] = moved;
        origins_[index_of(beat, row, chord)] = origins_[index_of(beat, best, chord)];
      }
    }
  }

  const ChordSuccessions& successions_;
  const std::vector<float>&change_, &stay_;
  std::span<const BeatEvidence> beats_;
  std::size_t pulses_, rows_;  ///< a row for each tonic and pulse
  std::vector<Matrix> matrices_;
  std::vector<std::vector<PulseStep>> steps_;
  std::vector<Scores> here_, next_, changed_;
  std::vector<std::array<std::uint8_t, class_count>> changed_from_;
  std::vector<Origin> origins_;
};

/// Probabilities of all pulses and chords: pulse * class_count + chord.
using StateRow = std::vector<double>;

void scale_to_one(StateRow& row) {
  double sum = 1e-300;
  for (const double value : row) sum += value;
  for (double& value : row) value /= sum;
}

/// succession_matrix as factors.
Matrix succession_chances(const ChordSuccessions& successions, int tonic) {
  Matrix matrix = succession_matrix(successions, tonic);
  for (Scores& row : matrix) {
    for (float& value : row) value = std::exp(value);
  }
  return matrix;
}

StateRow state_evidence(const BeatEvidence& beat, std::size_t pulses) {
  const float highest = *std::max_element(beat.chords.begin(), beat.chords.end());
  StateRow row(pulses * class_count);
  for (std::size_t i = 0; i < row.size(); ++i) {
    const float line = i < class_count ? beat.bar_line : 0;
    row[i] = std::exp(static_cast<double>(beat.chords[i % class_count] - highest + line));
  }
  return row;
}

/// From the states of a beat to those of the next. @param matrix factors, [to][from] @param change logarithms by pulse
StateRow forward_step(const StateRow& row, const Matrix& matrix, const std::vector<std::vector<PulseStep>>& steps,
                      const std::vector<float>& change) {
  StateRow result(row.size());
  for (std::size_t pulse = 0; pulse < steps.size(); ++pulse) {
    Scores arriving{};
    for (const PulseStep& step : steps[pulse]) {
      const auto share = static_cast<double>(std::exp(-step.cost));
      for (std::size_t chord = 0; chord < class_count; ++chord)
        arriving[chord] += static_cast<float>(share * row[step.from * class_count + chord]);
    }
    const auto chance = static_cast<double>(std::exp(change[pulse]));
    for (std::size_t to = 0; to < class_count; ++to) {
      float sum = 0;
      for (std::size_t from = 0; from < class_count; ++from) sum += arriving[from] * matrix[to][from];
      result[pulse * class_count + to] =
          chance * static_cast<double>(sum) + (1 - chance) * static_cast<double>(arriving[to]);
    }
  }
  return result;
}

/// The other way: @param row with its evidence
StateRow backward_step(const StateRow& row, const Matrix& matrix, const std::vector<std::vector<PulseStep>>& steps,
                       const std::vector<float>& change) {
  StateRow result(row.size());
  for (std::size_t pulse = 0; pulse < steps.size(); ++pulse) {
    const auto chance = static_cast<double>(std::exp(change[pulse]));
    Scores leaving{};
    for (std::size_t to = 0; to < class_count; ++to) {
      const auto value = static_cast<float>(row[pulse * class_count + to]);
      leaving[to] += static_cast<float>(1 - chance) * value;
      const float changing = static_cast<float>(chance) * value;
      for (std::size_t from = 0; from < class_count; ++from) leaving[from] += changing * matrix[to][from];
    }
    for (const PulseStep& step : steps[pulse]) {
      const auto share = static_cast<double>(std::exp(-step.cost));
      for (std::size_t chord = 0; chord < class_count; ++chord)
        result[step.from * class_count + chord] += share * static_cast<double>(leaving[chord]);
    }
  }
  return result;
}

}  // namespace

BarDecoder::BarDecoder(const ChordSuccessions& successions, int pulses) : successions_(successions) {
  for (const double chance : change_chances(pulses)) {
    change_.push_back(static_cast<float>(std::log(chance)));
    stay_.push_back(static_cast<float>(std::log(1 - chance)));
  }
  pulses_ = change_.size();
}

double BarDecoder::score(std::span<const BeatEvidence> beats, std::optional<std::size_t> first_line) const {
  if (beats.empty()) return 0;
  const Matrix matrix = succession_matrix(successions_, -1);
  std::vector<Scores> here(pulses_), next(pulses_), changed(pulses_);
  for (std::size_t beat = 0; beat < beats.size(); ++beat) {
    if (beat > 0) {
      for (std::size_t pulse = 0; pulse < pulses_; ++pulse) best_changes(here[pulse], matrix, changed[pulse], nullptr);
    }
    for (std::size_t pulse = 0; pulse < pulses_; ++pulse) {
      Scores& row = next[pulse];
      row.fill(beat == 0 ? 0 : impossible);
      if (beat > 0) {
        for (const PulseStep& step : steps_to(pulse, pulses_)) {
          for (std::size_t chord = 0; chord < class_count; ++chord)
            row[chord] = std::max(row[chord], std::max(here[step.from][chord] + stay_[pulse],
                                                       changed[step.from][chord] + change_[pulse]) -
                                                  step.cost);
        }
      }
      const float line = line_score(beats[beat], beat, pulse, first_line);
      for (std::size_t chord = 0; chord < class_count; ++chord) row[chord] += beats[beat].chords[chord] + line;
    }
    std::swap(here, next);
  }
  float best = impossible;
  for (const Scores& row : here) best = std::max(best, *std::max_element(row.begin(), row.end()));
  return static_cast<double>(best);
}

std::vector<DecodedBeat> BarDecoder::decode(std::span<const BeatEvidence> beats,
                                            std::optional<std::size_t> first_line) const {
  if (beats.empty()) return {};
  ReadingSearch search(successions_, change_, stay_, beats);
  for (std::size_t beat = 0; beat < beats.size(); ++beat) search.advance(beat, first_line);
  std::vector<DecodedBeat> decoded = search.best_path();
  add_certainty(beats, decoded);
  return decoded;
}

void BarDecoder::add_certainty(std::span<const BeatEvidence> beats, std::vector<DecodedBeat>& decoded) const {
  std::vector<std::vector<PulseStep>> steps;
  for (std::size_t pulse = 0; pulse < pulses_; ++pulse) steps.push_back(steps_to(pulse, pulses_));
  std::vector<Matrix> matrices(12);
  std::array<bool, 12> made{};
  for (const DecodedBeat& beat : decoded) {
    const auto tonic = static_cast<std::size_t>(beat.tonic);
    if (!std::exchange(made[tonic], true)) matrices[tonic] = succession_chances(successions_, beat.tonic);
  }
  std::vector<StateRow> evidence;
  for (const BeatEvidence& beat : beats) evidence.push_back(state_evidence(beat, pulses_));
  std::vector<StateRow> forward{evidence.front()};
  scale_to_one(forward.front());
  for (std::size_t beat = 1; beat < beats.size(); ++beat) {
    const Matrix& matrix = matrices[static_cast<std::size_t>(decoded[beat].tonic)];
    forward.push_back(forward_step(forward.back(), matrix, steps, change_));
    for (std::size_t i = 0; i < forward.back().size(); ++i) forward.back()[i] *= evidence[beat][i];
    scale_to_one(forward.back());
  }
  StateRow backward(pulses_ * class_count, 1.0);
  for (std::size_t beat = beats.size(); beat-- > 0;) {
    std::array<double, 37> families{};
    double sum = 1e-300;
    for (std::size_t i = 0; i < backward.size(); ++i) {
      const double value = forward[beat][i] * backward[i];
      families[triad_family(i % class_count)] += value;
      sum += value;
    }
    decoded[beat].sure = families[triad_family(decoded[beat].chord)] / sum;
    for (std::size_t i = 0; i < backward.size(); ++i) backward[i] *= evidence[beat][i];
    const Matrix& matrix = matrices[static_cast<std::size_t>(decoded[beat].tonic)];
    backward = backward_step(backward, matrix, steps, change_);
    scale_to_one(backward);
  }
}

}  // namespace romanesca
