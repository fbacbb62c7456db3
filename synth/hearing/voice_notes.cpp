#include "synth/hearing/voice_notes.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <optional>

#include "synth/hearing/fourier.h"
#include "synth/hearing/onset_detector.h"
#include "synth/hearing/voice_pitch.h"

namespace romanesca {
namespace {

constexpr int lowest_note = 35, highest_note = 98;
constexpr std::size_t note_count = static_cast<std::size_t>(highest_note - lowest_note) + 1;

// Costs are negative logarithms of probabilities; set by hand, with a look at the figures of
// tests/measure/tune_figures.
constexpr double silent_db = -60;   // re full scale
constexpr double softest_db = -38;  // re the louder frames: below is silence
constexpr double softest_heard_db = -15;
constexpr float least_clarity = 0.75f;
constexpr double usual_off = 0.5;                                     // semitones, of a frame from its note
constexpr double most_off_cost = 2.2;                                 // of a frame on another pitch
constexpr double unvoiced_cost = 1.1;                                 // of a frame without a pitch in a note
constexpr double unheard_cost = 1.2;                                  // of a frame with a pitch in a rest
constexpr double most_attack_cost = 0.8, unvoiced_attack_cost = 0.4;  // the same while a note begins
constexpr double struck_cost = -0.8;                                  // of a note that begins at an onset
constexpr double glide_cost = 7, soft_start_cost = 4,
                 rest_cost = 1.5;          // of one without an onset; after a rest; of a rest
constexpr double shortest_voice_s = 0.07;  // a note
constexpr double widest_drift_s = 6;       // to each side, of the notes that say how the voice has drifted
constexpr double longest_lead_s = 0.13;    // a consonant before a note
constexpr double most_off_if_sure = 0.35;
constexpr float least_onset = 0.1f, surest_onset = 0.98f;

/// A moment at which a note may begin.
struct Onset {
  double at_s = 0, probability = 0;
};

std::vector<Onset> onsets_in(std::span<const float> sound) {
  OnsetDetector detector(Perceptron::from_text(voice_weight_texts().front().text), least_onset);
  std::vector<Onset> found;
  const auto take = [&](float sample) {
    const auto at = detector.push(sample);
    if (at)
      found.push_back({*at / hearing_rate_hz, static_cast<double>(std::min(detector.probability(), surest_onset))});
  };
  for (const float sample : sound) take(sample);
  for (std::size_t i = 0; i < OnsetViewer::frames * OnsetViewer::hop; ++i) take(0);
  return found;
}

struct Segment {
  std::size_t from = 0, to = 0;  ///< frames, the end not among them
  std::size_t note = 0;          ///< above lowest_note
  std::optional<double> onset_s;
};

/// Finds the notes that explain the frames best. A note has an attack, which only an onset begins and in which any
/// pitch may sound, and then its own pitch.
class NoteSearch {
 public:
  /// @param offsets of the voice in each frame, in semitones
  NoteSearch(const std::vector<PitchFrame>& frames, const std::vector<float>& offsets, const std::vector<Onset>& onsets)
      : frames_(frames), offsets_(offsets), onset_at_(frames.size()) {
    for (const Onset& onset : onsets) {
      const auto frame =
          static_cast<std::size_t>(std::max(0.0, std::round(onset.at_s * PitchFrame::frames_per_second)));
      if (frame < onset_at_.size() && (!onset_at_[frame] || onset_at_[frame]->probability < onset.probability))
        onset_at_[frame] = onset;
    }
  }

  std::vector<Segment> run() {
    std::vector<std::array<std::uint8_t, states>> before(frames_.size());
    std::array<double, states> cost{};
    cost.fill(soft_start_cost);
    cost[no_note] = 0;
    for (std::size_t i = 0; i < frames_.size(); ++i) cost = step(cost, i, before[i]);
    auto state = static_cast<std::size_t>(std::min_element(cost.begin(), cost.end()) - cost.begin());
    std::vector<std::size_t> path(frames_.size());
    for (std::size_t i = frames_.size(); i-- > 0;) {
      path[i] = state;
      state = before[i][state];
    }
    return segments(path);
  }

 private:
  // States: the notes, their attacks, and rest.
  static constexpr std::size_t no_note = 2 * note_count, states = 2 * note_count + 1;

  std::array<double, states> step(const std::array<double, states>& cost, std::size_t frame,
                                  std::array<std::uint8_t, states>& before) const {
    std::array<double, states> next{};
    const auto cheapest = static_cast<std::size_t>(
        std::min_element(cost.begin(), cost.begin() + static_cast<std::ptrdiff_t>(note_count)) - cost.begin());
    const double probability = onset_at_[frame] ? onset_at_[frame]->probability : 0;
    const double ignored = -std::log(1 - probability);
    const bool after_rest = cost[no_note] < cost[cheapest];
    const double struck =
        std::min(cost[no_note], cost[cheapest]) + struck_cost - std::log(std::max(probability, 1e-30));
    for (std::size_t note = 0; note < note_count; ++note) {
      const std::size_t attack = note_count + note;
      const double off = frame_cost(frame, note);
      double best = cost[note] + ignored;
      std::size_t from = note;
      const auto consider = [&](double value, std::size_t state) {
        if (value >= best) return;
        best = value;
        from = state;
      };
      consider(cost[attack], attack);
      consider(cost[cheapest] + glide_cost + ignored, cheapest);
      consider(cost[no_note] + soft_start_cost + ignored, no_note);
      before[note] = static_cast<std::uint8_t>(from);
      next[note] = best + off;
      const bool begins = struck < cost[attack];
      before[attack] = static_cast<std::uint8_t>(begins ? (after_rest ? no_note : cheapest) : attack);
      const double attack_off = frames_[frame].voiced ? std::min(off, most_attack_cost) : unvoiced_attack_cost;
      next[attack] = (begins ? struck : cost[attack]) + attack_off;
    }
    const bool ends = cost[cheapest] + rest_cost < cost[no_note];
    before[no_note] = static_cast<std::uint8_t>(ends ? cheapest : no_note);
    next[no_note] =
        (ends ? cost[cheapest] + rest_cost : cost[no_note]) + ignored + (frames_[frame].voiced ? unheard_cost : 0);
    return next;
  }

  [[nodiscard]] double frame_cost(std::size_t frame, std::size_t note) const {
    if (!frames_[frame].voiced) return unvoiced_cost;
    const double off =
        static_cast<double>(frames_[frame].midi - offsets_[frame]) - lowest_note - static_cast<double>(note);
    return std::min(0.5 * off * off / (usual_off * usual_off), most_off_cost);
  }

  [[nodiscard]] std::vector<Segment> segments(const std::vector<std::size_t>& path) const {
    std::vector<Segment> found;
    for (std::size_t i = 0; i < path.size(); ++i) {
      if (path[i] == no_note) continue;
      const std::size_t last = i > 0 ? path[i - 1] : no_note;
      const std::size_t note = path[i] % note_count;
      const bool attack = path[i] >= note_count;
      const bool goes_on = last != no_note && last % note_count == note && (!attack || last >= note_count);
      if (!goes_on) {
        found.push_back({i, i, note, std::nullopt});
        if (attack && onset_at_[i]) found.back().onset_s = onset_at_[i]->at_s;
      }
      found.back().to = i + 1;
    }
    return found;
  }

  const std::vector<PitchFrame>& frames_;
  const std::vector<float>& offsets_;
  std::vector<std::optional<Onset>> onset_at_;
};

/// The mean distance from the nearest semitone, as an angle; -0.54 to 0.46.
double common_offset(const std::vector<PitchFrame>& frames) {
  double real = 0;
  double imaginary = 0;
  for (const PitchFrame& frame : frames) {
    if (!frame.voiced) continue;
    real += std::cos(2 * M_PI * static_cast<double>(frame.midi));
    imaginary += std::sin(2 * M_PI * static_cast<double>(frame.midi));
  }
  double offset = std::atan2(imaginary, real) / (2 * M_PI);
  if (offset > 0.46) offset -= 1;
  return offset;
}

/// The middle pitch of a segment, above its note by so many semitones; the first and last parts apart.
double middle_offset(const std::vector<PitchFrame>& frames, const Segment& segment) {
  std::vector<double> pitches;
  const std::size_t edge = (segment.to - segment.from) / 5;
  for (std::size_t i = segment.from + edge; i < segment.to - edge; ++i) {
    if (frames[i].voiced) pitches.push_back(static_cast<double>(frames[i].midi));
  }
  if (pitches.empty()) return 0;
  const auto middle = pitches.begin() + static_cast<std::ptrdiff_t>(pitches.size() / 2);
  std::nth_element(pitches.begin(), middle, pitches.end());
  return *middle - lowest_note - static_cast<double>(segment.note);
}

/// How far the voice is above 440 Hz in each frame: the middle of the notes around it.
std::vector<float> followed_offsets(const std::vector<PitchFrame>& frames, const std::vector<Segment>& segments,
                                    double common) {
  std::vector<float> offsets(frames.size(), static_cast<float>(common));
  const double reach = widest_drift_s * PitchFrame::frames_per_second;
  for (std::size_t i = 0; i < frames.size(); i += 10) {
    double sum = 4 * common;  // the voice as a whole counts like four frames out of ten
    double weight = 4;
    for (const Segment& segment : segments) {
      const double middle = 0.5 * static_cast<double>(segment.from + segment.to);
      const double distance = std::abs(middle - static_cast<double>(i)) / reach;
      if (distance >= 1) continue;
      const double each = (1 - distance) * std::min(30.0, static_cast<double>(segment.to - segment.from));
      const double off = std::clamp(middle_offset(frames, segment), common - 0.5, common + 0.5);
      sum += each * off;
      weight += each;
    }
    for (std::size_t k = i; k < std::min(i + 10, frames.size()); ++k) offsets[k] = static_cast<float>(sum / weight);
  }
  return offsets;
}

/// Level that a tenth of the frames exceed.
double loud_level_db(const std::vector<PitchFrame>& frames) {
  std::vector<float> levels;
  for (const PitchFrame& frame : frames) levels.push_back(frame.level_db);
  const auto loud = levels.begin() + static_cast<std::ptrdiff_t>(levels.size() * 9 / 10);
  std::nth_element(levels.begin(), loud, levels.end());
  return static_cast<double>(*loud);
}

/// Whether the pitch of a moment is that of one voice. A major chord repeats as often as its root two octaves below
/// does, but that pitch has hardly anything of its first and third partial.
class OneVoiceCheck {
 public:
  explicit OneVoiceCheck(std::span<const float> sound) : sound_(sound), spectrum_(size), lines_(size / 2 + 1) {}

  bool holds(std::size_t frame, double midi) {
    const std::size_t centre = frame * PitchFrame::hop;
    if (centre < size / 2 || centre + size / 2 > sound_.size()) return true;
    spectrum_.compute(sound_.subspan(centre - size / 2, size), lines_);
    const double hz = 440 * std::exp2((midi - 69) / 12);
    const double odd = partial(hz) + partial(3 * hz);
    return odd > least_odd * (partial(2 * hz) + partial(4 * hz) + partial(6 * hz) + partial(8 * hz));
  }

 private:
  static constexpr std::size_t size = 4096;
  static constexpr double least_odd = 0.06;

  [[nodiscard]] double partial(double hz) const {
    const auto line = static_cast<std::size_t>(std::lround(hz * size / hearing_rate_hz));
    if (line + 1 >= lines_.size()) return 0;
    return static_cast<double>(std::max({lines_[line - 1], lines_[line], lines_[line + 1]}));
  }

  std::span<const float> sound_;
  AmplitudeSpectrum spectrum_;
  std::vector<float> lines_;
};

/// Whether a segment is the humming consonant, or the slide, that the next note begins with.
bool leads_into(const Segment& segment, const Segment& next) {
  const bool near = next.note <= segment.note + 2 && segment.note <= next.note + 2;
  const bool joined = next.from <= segment.to + 2;
  const double length_s = static_cast<double>(segment.to - segment.from) / PitchFrame::frames_per_second;
  return near && joined && next.onset_s && !segment.onset_s && length_s < longest_lead_s;
}

}  // namespace

VoiceReading notes_of_voice(std::span<const float> sound) {
  std::vector<PitchFrame> frames = voice_pitch(sound);
  VoiceReading reading;
  const double loud_db = loud_level_db(frames);
  if (loud_db < silent_db) return reading;
  OneVoiceCheck one_voice(sound);
  bool single = true;
  for (std::size_t i = 0; i < frames.size(); ++i) {
    PitchFrame& frame = frames[i];
    if (static_cast<double>(frame.level_db) < loud_db + softest_db) frame.voiced = false;
    if (static_cast<double>(frame.level_db) < loud_db + softest_heard_db) continue;
    reading.heard_s += 1 / PitchFrame::frames_per_second;
    if (!frame.voiced || frame.clarity < least_clarity) continue;
    if (i % 5 == 0) single = one_voice.holds(i, static_cast<double>(frame.midi));
    if (single) reading.clear_s += 1 / PitchFrame::frames_per_second;
  }
  const std::vector<Onset> onsets = onsets_in(sound);
  const double common = common_offset(frames);
  reading.tuning_cents = 100 * common;
  std::vector<float> offsets(frames.size(), static_cast<float>(common));
  std::vector<Segment> segments = NoteSearch(frames, offsets, onsets).run();
  offsets = followed_offsets(frames, segments, common);
  segments = NoteSearch(frames, offsets, onsets).run();
  for (std::size_t i = 0; i < segments.size(); ++i) {
    const Segment& segment = segments[i];
    if (i + 1 < segments.size() && leads_into(segment, segments[i + 1])) continue;
    VoiceNote note;
    note.start_s = segment.onset_s.value_or(static_cast<double>(segment.from) / PitchFrame::frames_per_second);
    note.end_s = static_cast<double>(segment.to) / PitchFrame::frames_per_second;
    note.midi = lowest_note + static_cast<int>(segment.note);
    if (note.end_s - note.start_s < shortest_voice_s) continue;
    if (!reading.notes.empty()) reading.notes.back().end_s = std::min(reading.notes.back().end_s, note.start_s);
    const double offset = middle_offset(frames, segment);
    note.pitch = note.midi + offset;
    const double off = offset - static_cast<double>(offsets[segment.from]);
    std::size_t voiced = 0;
    for (std::size_t k = segment.from; k < segment.to; ++k) voiced += frames[k].voiced ? 1 : 0;
    note.sure = std::abs(off) <= most_off_if_sure && 2 * voiced >= segment.to - segment.from;
    reading.notes.push_back(note);
  }
  return reading;
}

}  // namespace romanesca
