#include "cli/studio/tune_meter.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "synth/hearing/beat_tracking.h"
#include "theory/chords/chord_naming.h"
#include "theory/harmony/tune_key.h"
#include "theory/notes/meter_map.h"

namespace romanesca {
namespace {

constexpr std::size_t most_tempi = 10;
constexpr double usual_tune_bpm = 100, tempo_octaves = 0.42;  // centre and deviation of tempo
constexpr double tempo_weight = 4;     // beside the places, which count as if each were independent of the others
constexpr double steadiest_s = 0.012;  // no player is nearer to the beat: a reading that says so gains nothing

/// How likely a note begins at a place of the bar, by its level: after the model of rhythm in Temperley, "Music and
/// Probability", 2007, chapter 3 (the figures from memory, rounded).
constexpr double bar_chance = 0.92, middle_chance = 0.8, beat_chance = 0.68, half_beat_chance = 0.32,
                 quarter_beat_chance = 0.04, other_chance = 0.004;
/// The same for the third and second eighth of a compound beat.
constexpr double third_eighth_chance = 0.5, second_eighth_chance = 0.32;

// What a bar line gains beside that, as logarithms of probabilities; set by hand.
constexpr double length_gain = 0.5;   // for each doubling of a note's length beyond a beat
constexpr double tonic_gain = 0.25;   // where a tone of the tonic triad begins
constexpr double last_gain = 2;       // of the last note
constexpr double middle_share = 0.4;  // of all that, in the middle of a bar of four
// Tunes begin on the first beat or shortly before it (common practice, no source).
constexpr double long_upbeat_loss = 2.5;  // of an upbeat of half a bar or more
constexpr double repeat_gain = 0.7;       // of a bar with the rhythm of an earlier one

/// The beginnings of notes as a strength in time: longer notes are stronger.
OnsetStrength strength_of(const std::vector<VoiceNote>& notes) {
  OnsetStrength strength;
  const double length_s = notes.back().end_s + 0.5;
  strength.all.resize(static_cast<std::size_t>(length_s * OnsetStrength::frames_per_second) + 1);
  strength.low.resize(strength.all.size());
  for (std::size_t i = 0; i < notes.size(); ++i) {
    const double until_s = i + 1 < notes.size() ? notes[i + 1].start_s : notes[i].end_s;
    const double height = 3 + 2 * std::min(1.0, until_s - notes[i].start_s);
    const double centre = notes[i].start_s * OnsetStrength::frames_per_second;
    for (int k = -3; k <= 3; ++k) {
      const double frame = std::round(centre) + k;
      if (frame < 0 || frame >= static_cast<double>(strength.all.size())) continue;
      const double off = (frame - centre) / 1.2;
      float& value = strength.all[static_cast<std::size_t>(frame)];
      value = std::max(value, static_cast<float>(height * std::exp(-0.5 * off * off)));
    }
  }
  return strength;
}

/// Moments as positions on a line of beats, which goes on evenly at both ends.
class BeatLine {
 public:
  BeatLine(std::vector<double> beats_s, double bpm) : beats_s_(std::move(beats_s)) {
    if (beats_s_.empty()) beats_s_.push_back(0);
    if (beats_s_.size() == 1) beats_s_.push_back(beats_s_.front() + 60 / bpm);
    std::vector<double> lengths;
    for (std::size_t i = 1; i < beats_s_.size(); ++i) lengths.push_back(beats_s_[i] - beats_s_[i - 1]);
    const auto middle = lengths.begin() + static_cast<std::ptrdiff_t>(lengths.size() / 2);
    std::nth_element(lengths.begin(), middle, lengths.end());
    period_s_ = *middle;
  }

  [[nodiscard]] double at(double moment_s) const {
    if (moment_s <= beats_s_.front()) return (moment_s - beats_s_.front()) / period_s_;
    const auto after = std::upper_bound(beats_s_.begin(), beats_s_.end(), moment_s);
    const auto index = static_cast<double>(after - beats_s_.begin() - 1);
    if (after == beats_s_.end()) return index + (moment_s - beats_s_.back()) / period_s_;
    return index + (moment_s - *(after - 1)) / (*after - *(after - 1));
  }
  [[nodiscard]] double period_s() const { return period_s_; }

 private:
  std::vector<double> beats_s_;
  double period_s_ = 0.5;
};

/// Notes on a line of beats: written down without bars.
struct WrittenLine {
  bool compound = false;
  double bpm = 90;
  int origin = 0;                     ///< the beat that position 0 of the notes is
  std::vector<TakeNote> notes;        ///< in quarters from the origin
  std::vector<QuantisedNote> places;  ///< in quarters from the origin
  double cost = 0;

  [[nodiscard]] double quarters_a_beat() const { return compound ? 1.5 : 1; }
};

WrittenLine written_on(const BeatLine& line, const std::vector<VoiceNote>& notes, bool compound) {
  WrittenLine written;
  written.compound = compound;
  written.bpm = 60 / line.period_s();
  const double quarters = written.quarters_a_beat();
  written.origin = static_cast<int>(std::floor(line.at(notes.front().start_s) - 0.25));
  for (const VoiceNote& note : notes) {
    const double start = std::max(0.0, (line.at(note.start_s) - written.origin) * quarters);
    const double end = (line.at(note.end_s) - written.origin) * quarters;
    written.notes.push_back({start, std::max(end, start + 0.02), note.midi});
  }
  const QuantisedTake take = quantise(written.notes, compound ? Meter{6, 8} : Meter{4, 4}, line.period_s() / quarters);
  written.places = take.best.notes;
  const double octaves = std::log2(written.bpm / usual_tune_bpm) / tempo_octaves;
  const double spread = std::max(take.best.spread_s, steadiest_s) / steadiest_s;
  written.cost = tempo_weight * 0.5 * octaves * octaves + static_cast<double>(notes.size()) * std::log(spread);
  return written;
}

/// How well bar lines at beats of a written line explain where its notes begin.
class BarLines {
 public:
  BarLines(const WrittenLine& written, const std::vector<VoiceNote>& notes)
      : parts_(written.compound ? 6 : 4), compound_(written.compound) {
    Tune tune;
    for (std::size_t i = 0; i < notes.size(); ++i) {
      const Pitch pitch = lowest_at_or_above(spelled_in(notes[i].midi % 12, Key{}), notes[i].midi);
      tune.notes.push_back({written.places[i].start, written.places[i].length, pitch});
    }
    const Key key = find_tune_key(tune, MeterMap(compound_ ? Meter{6, 8} : Meter{4, 4})).front().key;
    const int third = is_minorish(key.mode) ? 3 : 4;
    const double beat = written.quarters_a_beat();
    const double end = (written.places.back().start + written.places.back().length).quarters();
    first_ = static_cast<std::size_t>(written.places.front().start.quarters() / beat * parts_);
    begins_.resize(static_cast<std::size_t>(std::lround(end / beat * parts_)));
    accents_.resize(begins_.size() / static_cast<std::size_t>(parts_) + 1);
    for (std::size_t i = 0; i < notes.size(); ++i) {
      const bool last = i + 1 == notes.size();
      const double start = written.places[i].start.quarters() / beat;
      const double next = last ? end / beat : written.places[i + 1].start.quarters() / beat;
      const double place = start * parts_;
      if (std::abs(place - std::round(place)) > 0.01) {
        ++others_;
        continue;
      }
      const auto slot = static_cast<std::size_t>(std::lround(place));
      if (slot >= begins_.size()) continue;
      begins_[slot] = true;
      if (slot % static_cast<std::size_t>(parts_) != 0) continue;
      double& accent = accents_[slot / static_cast<std::size_t>(parts_)];
      accent += length_gain * std::clamp(std::log2(std::max(next - start, 0.25)), -1.0, 2.0);
      const int above = (notes[i].midi - key.tonic.semitone() + 120) % 12;
      if (above == 0 || above == third || above == 7) accent += tonic_gain;
      if (last) accent += last_gain;
    }
  }

  /// @param pulses in a bar @param phase the first beat from the origin that begins one, 0 to pulses - 1
  [[nodiscard]] double cost(int pulses, int phase) const {
    double sum = -others_ * std::log(other_chance);
    for (std::size_t slot = first_; slot < begins_.size(); ++slot) {
      const double chance = chance_at(slot, pulses, phase);
      sum -= std::log(begins_[slot] ? chance : 1 - chance);
    }
    for (std::size_t beat = 0; beat < accents_.size(); ++beat) {
      const int in_bar = place_in_bar(beat, pulses, phase);
      if (in_bar == 0) sum -= accents_[beat];
      if (pulses == 4 && in_bar == 2) sum -= middle_share * accents_[beat];
    }
    const double bar = pulses * parts_;
    const double upbeat = std::fmod(phase * parts_ + bar - static_cast<double>(first_), bar);
    if (upbeat >= bar / 2) sum += long_upbeat_loss;
    return sum - repeat_gain * repeats(pulses, phase);
  }

 private:
  [[nodiscard]] static int place_in_bar(std::size_t beat, int pulses, int phase) {
    return (static_cast<int>(beat) + pulses - phase) % pulses;
  }

  [[nodiscard]] double chance_at(std::size_t slot, int pulses, int phase) const {
    const auto parts = static_cast<std::size_t>(parts_);
    const std::size_t part = slot % parts;
    if (part == 0) {
      const int in_bar = place_in_bar(slot / parts, pulses, phase);
      return in_bar == 0 ? bar_chance : pulses == 4 && in_bar == 2 ? middle_chance : beat_chance;
    }
    if (compound_) return part == 4 ? third_eighth_chance : part == 2 ? second_eighth_chance : quarter_beat_chance;
    return part == 2 ? half_beat_chance : quarter_beat_chance;
  }

  /// How many bars have the rhythm of the bar before, or two or four before, by their length against four beats.
  [[nodiscard]] double repeats(int pulses, int phase) const {
    const auto parts = static_cast<std::size_t>(parts_);
    const std::size_t length = parts * static_cast<std::size_t>(pulses);
    const std::size_t from = parts * static_cast<std::size_t>(phase);
    double sum = 0;
    for (std::size_t bar = from; bar + length <= begins_.size(); bar += length) {
      for (const std::size_t back : {length, 2 * length, 4 * length}) {
        if (bar < from + back) break;
        const auto begin = begins_.begin() + static_cast<std::ptrdiff_t>(bar);
        const auto end = begin + static_cast<std::ptrdiff_t>(length);
        if (std::count(begin, end, true) < 2 || !std::equal(begin, end, begin - static_cast<std::ptrdiff_t>(back)))
          continue;
        sum += pulses / 4.0;
        break;
      }
    }
    return sum;
  }

  int parts_;  ///< of a beat
  bool compound_;
  int others_ = 0;  ///< notes that begin between the parts
  std::size_t first_ = 0;
  std::vector<bool> begins_;     ///< of each part from the origin on
  std::vector<double> accents_;  ///< of each beat
};

struct MeterChoice {
  std::size_t line = 0;
  Meter meter;
  int phase = 0;
  double cost = 1e18;
};

std::vector<Meter> meters_for(const WrittenLine& line, const BeatHints& hints) {
  if (hints.meter)
    return hints.meter->is_compound() == line.compound ? std::vector<Meter>{*hints.meter} : std::vector<Meter>{};
  if (line.compound) return {{6, 8}};
  return {{4, 4}, {3, 4}};
}

}  // namespace

TuneBeat find_tune_beat(const std::vector<VoiceNote>& notes, const BeatHints& hints) {
  if (hints.tempo_factor != 1) {
    BeatHints known = hints;
    known.tempo_factor = 1;
    const TuneBeat found = find_tune_beat(notes, known);
    known.tempo_bpm = found.tempo_bpm * hints.tempo_factor;
    if (!known.meter) known.meter = found.meter;
    return find_tune_beat(notes, known);
  }
  const OnsetStrength strength = strength_of(notes);
  std::vector<WrittenLine> lines;
  std::vector<BeatLine> beats;
  for (const TempoGuess& guess : tempo_guesses(strength, most_tempi, hints.tempo_bpm)) {
    for (const bool compound : {false, true}) {
      if (hints.meter && hints.meter->is_compound() != compound) continue;
      beats.emplace_back(track_beats(strength, guess.bpm), guess.bpm);
      lines.push_back(written_on(beats.back(), notes, compound));
    }
  }
  MeterChoice best;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const BarLines bar_lines(lines[i], notes);
    for (const Meter meter : meters_for(lines[i], hints)) {
      for (int phase = 0; phase < meter.pulses(); ++phase) {
        const double cost = lines[i].cost + bar_lines.cost(meter.pulses(), phase);
        if (cost < best.cost) best = {i, meter, phase, cost};
      }
    }
  }
  const WrittenLine& line = lines[best.line];
  int phase = best.phase + hints.shift;
  if (hints.first_line_s) phase = static_cast<int>(std::lround(beats[best.line].at(*hints.first_line_s))) - line.origin;
  const int pulses = best.meter.pulses();
  int before = ((-phase) % pulses + pulses) % pulses;  // beats from the bar line to the origin
  const double first = line.notes.front().start / line.quarters_a_beat() + before;
  before -= pulses * static_cast<int>(std::floor((first + 0.1) / pulses));
  TuneBeat found;
  found.meter = best.meter;
  found.tempo_bpm = line.bpm;
  found.notes = line.notes;
  for (TakeNote& note : found.notes) {
    note.start = std::max(0.0, note.start + before * line.quarters_a_beat());
    note.end += before * line.quarters_a_beat();
  }
  return found;
}

}  // namespace romanesca
