#include "theory/tunes/quantiser.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

namespace romanesca {
namespace {

constexpr std::int64_t parts = 24;  ///< of a quarter in the grid
constexpr std::size_t beam_width = 16;
/// The parts that the notes of a beat have stood on so far: the finest of them.
enum class Division : std::uint8_t { beat, eighth, sixteenth, triplet, finer, finer_triplet };

// Costs are negative logarithms of probabilities: 0.7 halves, 2.3 makes it a tenth. Set by hand, and compared on 471
// folk tunes played by a simulated player (not part of the project): onsets and note values right 99.9 and 99.7 % at a
// spread of 15 ms, 98.6 and 98.2 % at 30 ms; off the eighths 96 and 87 % of the onsets.

/// How a player sits to the beat when the first note comes, and how that changes. Seconds.
constexpr double first_lag_s = 0.015;
constexpr double drift_per_second_s = 0.010;  ///< standard deviation of a random walk after one second

/// Of dividing a beat into parts, in the order of Division.
constexpr std::array<double, 6> division_costs{0, 0.5, 1.3, 1.7, 5.5, 5.5};
constexpr std::array<double, 6> compound_division_costs{0, 0.3, 2.3, 4.5, 4.5, 4.5};
constexpr double usual_beats = 30;  ///< after so many beats what the tune itself shows counts as much
constexpr double mix_cost = 3.0;    ///< of duple and triple parts in one beat
constexpr double odd_value_cost = 1.0;
constexpr double syncopation_cost = 2.0;
constexpr double swing_cost = 10.0;       ///< of taking the whole piece for swung
constexpr double rest_cost = 3.0;         ///< of a rest after a note
constexpr double sure_by = 3.0;           ///< a second reading that costs more than this is not worth telling
constexpr double exact_spread_s = 0.004;  ///< of files from a notation program
constexpr int most_rounds = 8;  ///< of learning from the last reading; half of all takes stay as they are after two

/// The beats of a meter in parts of the grid.
struct Grid {
  explicit Grid(Meter meter)
      : beat(meter.is_compound() ? parts * 3 / 2 : parts),
        bar(meter.bar_length().numerator() * parts / meter.bar_length().denominator()),
        compound(meter.is_compound()),
        costs(usual_costs()) {}

  std::int64_t beat, bar;
  bool compound;
  std::array<double, 6> costs;  ///< by division

  [[nodiscard]] const std::array<double, 6>& usual_costs() const {
    return compound ? compound_division_costs : division_costs;
  }

  /// Of a place; nothing where no note can stand.
  [[nodiscard]] std::optional<Division> division(std::int64_t place) const {
    const std::int64_t in_beat = place % beat;
    if (in_beat == 0) return Division::beat;
    if (in_beat % (parts / 2) == 0) return Division::eighth;
    if (in_beat % (parts / 4) == 0) return Division::sixteenth;
    if (!compound && in_beat % (parts / 3) == 0) return Division::triplet;
    if (in_beat % (parts / 8) == 0) return Division::finer;
    if (in_beat % (parts / 6) == 0) return Division::finer_triplet;
    return std::nullopt;
  }

  /// Of dividing a beat so.
  [[nodiscard]] double cost(Division division) const { return costs[static_cast<std::size_t>(division)]; }

  /// A tune keeps to its figures: a division that has been found often costs less, one that has not more.
  void learn(const std::vector<std::int64_t>& places) {
    std::array<double, division_costs.size()> share{};
    double all = 0;
    for (std::size_t i = 0; i < share.size(); ++i) all += share[i] = std::exp(-usual_costs()[i]);
    for (double& each : share) each *= usual_beats / all;
    double beats = usual_beats;
    for (std::size_t i = 0; i < places.size();) {
      Division finest = Division::beat;
      const std::int64_t in = places[i] / beat;
      for (; i < places.size() && places[i] / beat == in; ++i) {
        const Division here = division(places[i]).value_or(finest);
        if (usual_costs()[static_cast<std::size_t>(here)] > usual_costs()[static_cast<std::size_t>(finest)])
          finest = here;
      }
      share[static_cast<std::size_t>(finest)] += 1;
      beats += 1;
    }
    for (std::size_t i = 0; i < share.size(); ++i) costs[i] = std::log(beats / share[i]) - std::log(beats / share[0]);
    for (double& each : costs) each = std::max(0.0, each);
  }

  /// Of a note at a place, after others in the same beat.
  [[nodiscard]] double note_cost(Division so_far, Division here) const {
    if (here == Division::beat) return 0.0;
    const double more = std::max(0.0, cost(here) - cost(so_far));
    const bool mixed = so_far != Division::beat && is_triple(so_far) != is_triple(here);
    return more + 0.2 + (mixed ? mix_cost : 0.0);
  }

  [[nodiscard]] static bool is_triple(Division division) {
    return division == Division::triplet || division == Division::finer_triplet;
  }

  /// Of a note that begins between two eighths, or two sixteenths, and sounds over the next one.
  [[nodiscard]] double syncopation(std::int64_t from, std::int64_t to) const {
    const std::int64_t in_beat = from % beat;
    if (in_beat % (parts / 2) == 0) return 0;
    const bool sixteenth = in_beat % (parts / 4) == 0;
    if (!sixteenth && in_beat % (parts / 3) == 0) return to > from + parts / 3 ? syncopation_cost : 0;
    const std::int64_t stronger = sixteenth ? parts / 2 : in_beat % (parts / 8) == 0 ? parts / 4 : parts / 3;
    return to > (from / stronger + 1) * stronger ? syncopation_cost : 0;
  }
};

/// Of the time from one note to the next, as a note value.
double value_cost(std::int64_t length) {
  constexpr std::array<std::int64_t, 9> plain{6, 12, 24, 36, 48, 72, 96, 144, 192};
  if (std::find(plain.begin(), plain.end(), length) != plain.end()) return 0;
  if (length == 8 || length == 16 || length == 18) return 0.3;
  return odd_value_cost;
}

/// A way to write down all notes up to one.
struct Hypothesis {
  double cost = 0;
  std::int64_t place = 0;
  double lag_s = 0;                    ///< how late the player is here
  Division division = Division::beat;  ///< of the beat so far
  std::int32_t before = -1;            ///< index in the trace
};

struct Trace {
  std::int64_t place = 0;
  std::int32_t before = -1;
};

/// One search with a spread of the player.
class OnsetSearch {
 public:
  /// @param swing where the off-beat eighth sounds in a quarter: 1/2 plain, 2/3 fully swung
  OnsetSearch(std::span<const TakeNote> notes, const Grid& grid, double seconds_per_quarter, double swing)
      : notes_(notes), grid_(grid), quarter_s_(seconds_per_quarter), swing_(swing) {}

  /// Finds the places. @param expected_s standard deviation of a note about the beat
  void run(double expected_s) {
    const double noise = expected_s * expected_s;
    double variance = first_lag_s * first_lag_s;
    trace_.clear();
    std::vector<Hypothesis> now;
    for (std::size_t i = 0; i < notes_.size(); ++i) {
      if (i > 0) {
        const double gap_s = std::min(8.0, (notes_[i].start - notes_[i - 1].start) * quarter_s_);
        variance += drift_per_second_s * drift_per_second_s * std::max(0.0, gap_s);
      }
      const double innovation = variance + noise;
      now = step(now, i, innovation, variance / innovation);
      variance *= noise / innovation;
    }
    take_best(now);
  }

  std::vector<std::int64_t> places;
  double cost = 0;
  double spread_s = 0;

 private:
  /// When a place sounds, in quarters.
  [[nodiscard]] double sounds_at(std::int64_t place) const {
    const std::int64_t in_quarter = place % parts;
    double at = static_cast<double>(in_quarter) / parts;
    const bool triple = in_quarter % (parts / 8) != 0;
    if (swing_ != 0.5 && !triple) at = at <= 0.5 ? at * 2 * swing_ : swing_ + (at - 0.5) * 2 * (1 - swing_);
    return static_cast<double>(place - in_quarter) / parts + at;
  }

  std::vector<Hypothesis> step(const std::vector<Hypothesis>& before, std::size_t index, double innovation,
                               double gain) {
    std::vector<Hypothesis> next;
    if (index == 0) {
      extend({}, index, innovation, gain, next);
    } else {
      for (const Hypothesis& each : before) extend(each, index, innovation, gain, next);
    }
    // The best for each place and division.
    std::sort(next.begin(), next.end(), [](const Hypothesis& a, const Hypothesis& b) {
      if (a.place != b.place) return a.place < b.place;
      if (a.division != b.division) return a.division < b.division;
      return a.cost < b.cost;
    });
    const auto same = [](const Hypothesis& a, const Hypothesis& b) {
      return a.place == b.place && a.division == b.division;
    };
    next.erase(std::unique(next.begin(), next.end(), same), next.end());
    std::stable_sort(next.begin(), next.end(),
                     [](const Hypothesis& a, const Hypothesis& b) { return a.cost < b.cost; });
    if (next.size() > beam_width) next.resize(beam_width);
    for (Hypothesis& each : next) {
      trace_.push_back({each.place, each.before});
      each.before = static_cast<std::int32_t>(trace_.size()) - 1;
    }
    return next;
  }

  void extend(const Hypothesis& from, std::size_t index, double innovation, double gain,
              std::vector<Hypothesis>& next) const {
    const double heard = notes_[index].start;
    const auto middle = static_cast<std::int64_t>(std::floor((heard - from.lag_s / quarter_s_) * parts));
    // As far as four deviations, and half a beat at most.
    const double reach_s = 4 * std::sqrt(innovation) + 0.3 * std::abs(swing_ - 0.5) * quarter_s_;
    const auto reach =
        std::clamp<std::int64_t>(static_cast<std::int64_t>(reach_s / quarter_s_ * parts) + 1, 3, parts / 2);
    const std::int64_t earliest = index == 0 ? 0 : from.place + 3;
    std::int64_t low = std::max(earliest, middle - reach);
    const std::int64_t high = std::max(low + 3, middle + 1 + reach);
    for (std::int64_t place = low; place <= high; ++place) {
      const auto division = grid_.division(place);
      if (!division) continue;
      Hypothesis to;
      to.place = place;
      to.before = from.before;
      const double late_s = (heard - sounds_at(place)) * quarter_s_ - from.lag_s;
      to.lag_s = from.lag_s + gain * late_s;
      to.cost = from.cost + 0.5 * late_s * late_s / innovation + 0.5 * std::log(innovation / 0.0005);
      const bool same_beat = index > 0 && place / grid_.beat == from.place / grid_.beat;
      const Division so_far = same_beat ? from.division : Division::beat;
      to.cost += grid_.note_cost(so_far, *division);
      to.division = grid_.cost(*division) >= grid_.cost(so_far) ? *division : so_far;
      if (index > 0) to.cost += value_cost(place - from.place) + grid_.syncopation(from.place, place);
      next.push_back(to);
    }
  }

  void take_best(const std::vector<Hypothesis>& last) {
    places.assign(notes_.size(), 0);
    if (last.empty()) return;
    cost = last.front().cost;
    std::int32_t at = last.front().before;
    for (std::size_t i = notes_.size(); i-- > 0 && at >= 0;) {
      places[i] = trace_[static_cast<std::size_t>(at)].place;
      at = trace_[static_cast<std::size_t>(at)].before;
    }
    measure_spread();
  }

  /// About a lag that follows the notes slowly.
  void measure_spread() {
    double lag = 0, sum = 0;
    for (std::size_t i = 0; i < notes_.size(); ++i) {
      const double late = (notes_[i].start - sounds_at(places[i])) * quarter_s_ - lag;
      lag += (i == 0 ? 0.4 : 0.15) * late;
      sum += late * late;
    }
    spread_s = std::sqrt(sum / static_cast<double>(notes_.size()));
  }

  std::span<const TakeNote> notes_;
  const Grid& grid_;
  double quarter_s_, swing_;
  std::vector<Trace> trace_;
};

/// How long the notes were held, of the time that their values last.
struct Articulation {
  double usual = 0.9;
  double spread = 0.08;
};

Articulation articulation_of(std::span<const TakeNote> notes, const std::vector<std::int64_t>& places) {
  std::vector<double> shares;
  for (std::size_t i = 0; i + 1 < notes.size(); ++i) {
    const double until_next = static_cast<double>(places[i + 1] - places[i]) / parts;
    shares.push_back((notes[i].end - notes[i].start) / until_next);
  }
  if (shares.size() < 3) return {};
  const auto middle = shares.begin() + static_cast<std::ptrdiff_t>(shares.size() / 2);
  std::nth_element(shares.begin(), middle, shares.end());
  Articulation found{std::clamp(*middle, 0.3, 1.05), 0};
  for (double& share : shares) share = std::abs(share - found.usual);
  std::nth_element(shares.begin(), middle, shares.end());
  found.spread = std::clamp(1.5 * *middle, 0.05, 0.12);  // of a normal distribution: 1.48 times the median
  return found;
}

class ValueChooser {
 public:
  ValueChooser(const Grid& grid, Articulation articulation) : grid_(grid), articulation_(articulation) {}

  /// @param held in quarters @param until_next in parts; 0 after the last note
  [[nodiscard]] std::int64_t choose(std::int64_t place, double held, std::int64_t until_next) const {
    constexpr std::array<std::int64_t, 12> values{6, 8, 12, 16, 18, 24, 36, 48, 72, 96, 144, 192};
    std::int64_t best = until_next > 0 ? until_next : 24;
    double least = until_next > 0 ? cost_of(held, until_next) : 1e9;
    for (const std::int64_t value : values) {
      if (until_next > 0 && value >= until_next) break;
      const auto division = grid_.division(place + value);
      if (!division) continue;
      const double rest_from = grid_.cost(*division);
      const double rest = until_next > 0 ? rest_cost : 0.0;
      const double cost = cost_of(held, value) + rest + rest_from + value_cost(value);
      if (cost >= least) continue;
      least = cost;
      best = value;
    }
    return best;
  }

 private:
  [[nodiscard]] double cost_of(double held, std::int64_t value) const {
    const double share = held * parts / static_cast<double>(value);
    const double off = (share - articulation_.usual) / articulation_.spread;
    return 0.5 * off * off;
  }

  const Grid& grid_;
  Articulation articulation_;
};

/// The ends of all notes lie on the grid: what a notation program writes.
std::vector<std::int64_t> exact_lengths(std::span<const TakeNote> notes, const std::vector<std::int64_t>& places,
                                        double quarter_s) {
  std::vector<std::int64_t> lengths;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    const std::int64_t end = std::llround(notes[i].end * parts);
    const double off_s = (notes[i].end - static_cast<double>(end) / parts) * quarter_s;
    const bool overlaps = i + 1 < notes.size() && end > places[i + 1];
    if (std::abs(off_s) > exact_spread_s || end <= places[i] || overlaps) return {};
    lengths.push_back(end - places[i]);
  }
  return lengths;
}

RhythmReading as_reading(std::span<const TakeNote> notes, const OnsetSearch& search, const Grid& grid,
                         double quarter_s) {
  RhythmReading reading;
  reading.cost = search.cost;
  reading.spread_s = search.spread_s;
  std::vector<std::int64_t> lengths;
  if (search.spread_s < exact_spread_s) lengths = exact_lengths(notes, search.places, quarter_s);
  const ValueChooser values(grid, articulation_of(notes, search.places));
  for (std::size_t i = 0; i < notes.size(); ++i) {
    const std::int64_t place = search.places[i];
    const std::int64_t until_next = i + 1 < notes.size() ? search.places[i + 1] - place : 0;
    const std::int64_t length =
        lengths.empty() ? values.choose(place, notes[i].end - notes[i].start, until_next) : lengths[i];
    reading.notes.push_back({Beats(place, parts), Beats(length, parts)});
  }
  return reading;
}

RhythmReading read_rhythm(std::span<const TakeNote> notes, Grid grid, double quarter_s, double swing) {
  OnsetSearch search(notes, grid, quarter_s, swing);
  search.run(exact_spread_s / 2);
  if (search.spread_s < exact_spread_s) return as_reading(notes, search, grid, quarter_s);
  // A usual player first, then this one.
  search.run(0.022);
  std::vector<std::int64_t> before;
  for (int round = 0; round < most_rounds && search.places != before; ++round) {
    before = search.places;
    grid.learn(before);
    search.run(std::clamp(search.spread_s, 0.008, 0.06));
  }
  return as_reading(notes, search, grid, quarter_s);
}

}  // namespace

QuantisedTake quantise(std::span<const TakeNote> notes, Meter meter, double seconds_per_quarter) {
  QuantisedTake take;
  if (notes.empty()) return take;
  const Grid grid(meter);
  take.best = read_rhythm(notes, grid, seconds_per_quarter, 0.5);
  if (meter.is_compound() || take.best.spread_s < exact_spread_s) return take;
  for (const double swing : {0.6, 2.0 / 3}) {
    RhythmReading swung = read_rhythm(notes, grid, seconds_per_quarter, swing);
    swung.swung = true;
    swung.cost += swing_cost;
    if (swung.cost < take.best.cost) std::swap(swung, take.best);
    if (swung.notes != take.best.notes && (!take.second || swung.cost < take.second->cost))
      take.second = std::move(swung);
  }
  if (take.second && take.second->cost > take.best.cost + sure_by) take.second.reset();
  return take;
}

}  // namespace romanesca
