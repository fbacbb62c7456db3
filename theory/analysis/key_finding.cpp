#include "theory/analysis/key_finding.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>
#include <optional>

#include "theory/analysis/key_model.h"

namespace romanesca {
namespace {

constexpr double change_cost = 9.0;          // nats; found on the corpora named in key_model.cpp
constexpr double section_change_cost = 5.0;  // the same where a new section begins: a choice, the corpora name none
constexpr double song_weight = 0.5;          // of the whole piece's evidence in each window; found likewise
// Both are scaled so that the confidence is calibrated, the more so the shorter the piece; found likewise.
constexpr double temper_long = 0.75;
constexpr double temper_bars = 5.0;
constexpr double framing_bonus = 1.0;      // nats, found on the first bars of the same songs
constexpr int longest_framed = 16;         // bars
constexpr double least_listed = 0.01;      // confidence of a further alternative
constexpr double stated_bonus = 10.0;      // nats for the key that the text names, in every block
constexpr int shortest_with_changes = 16;  // bars; a shorter piece whose key is stated stays in it

using LogProbabilities = std::array<double, 12>;

/// Best path through the tonics of the blocks: one pass forward, one back.
std::vector<int> best_path(const std::vector<LogProbabilities>& blocks, const std::vector<bool>& begins_section) {
  std::vector<std::array<int, 12>> came_from(blocks.size());
  LogProbabilities best = blocks.front();
  for (std::size_t b = 1; b < blocks.size(); ++b) {
    const auto top = std::max_element(best.begin(), best.end());
    const double cost = begins_section[b] ? section_change_cost : change_cost;
    LogProbabilities next{};
    for (std::size_t t = 0; t < 12; ++t) {
      const bool stay = best[t] >= *top - cost;
      came_from[b][t] = stay ? static_cast<int>(t) : static_cast<int>(top - best.begin());
      next[t] = (stay ? best[t] : *top - cost) + blocks[b][t];
    }
    best = next;
  }
  std::vector<int> path(blocks.size());
  path.back() = static_cast<int>(std::max_element(best.begin(), best.end()) - best.begin());
  for (std::size_t b = blocks.size() - 1; b > 0; --b) path[b - 1] = came_from[b][static_cast<std::size_t>(path[b])];
  return path;
}

/// The probabilities of the tonics in each block of bars, and their average.
struct WindowEvidence {
  std::vector<LogProbabilities> blocks;
  std::vector<int> starts;           ///< the first bar of each block
  std::vector<bool> begins_section;  ///< whether a section begins with it
  LogProbabilities mean{};
};

WindowEvidence window_evidence(const HeardPiece& piece, const Evidence& weights) {
  WindowEvidence result;
  const int margin = (key_window_bars - key_block_bars) / 2;
  for (int bar = 0; bar < piece.bars();) {
    // A window ends where its section ends.
    const auto [section_first, section_end] = piece.section_around(bar);
    const int end = std::min(bar + key_block_bars, section_end);
    const auto evidence =
        piece.evidence(std::max(bar - margin, section_first), std::min(bar + key_block_bars + margin, section_end));
    result.blocks.push_back(tonic_log_probabilities(evidence, weights));
    result.starts.push_back(bar);
    result.begins_section.push_back(bar == section_first);
    for (std::size_t t = 0; t < 12; ++t) result.mean[t] += result.blocks.back()[t];
    bar = end;
  }
  for (double& value : result.mean) value /= static_cast<double>(result.blocks.size());
  return result;
}

LogProbabilities blended(const LogProbabilities& song, const LogProbabilities& windows, int bars) {
  const double temper = temper_long * bars / (bars + temper_bars);
  LogProbabilities result{};
  double sum = 0;
  for (std::size_t t = 0; t < 12; ++t) {
    result[t] = temper * (song[t] + windows[t]);
    sum += std::exp(result[t]);
  }
  for (double& value : result) value -= std::log(sum);
  return result;
}

/// The root that a short piece begins and ends on, with other roots between: a typed phrase is usually complete, so
/// this is likely its tonic.
std::optional<std::size_t> framing_root(const HeardPiece& piece) {
  const auto& chords = piece.chords();
  if (piece.bars() > longest_framed || !chords.front().sounds || !chords.back().sounds) return std::nullopt;
  const int root = chords.front().root;
  const bool leaves = std::any_of(chords.begin(), chords.end(), [&](const HeardChord& c) { return c.root != root; });
  if (chords.back().root != root || !leaves) return std::nullopt;
  return static_cast<std::size_t>(root);
}

/// The feature that supports one tonic most against another.
int strongest_feature(const Evidence& one, const Evidence& other, const Evidence& weights) {
  int strongest = -1;
  double most = 0;
  for (std::size_t i = 0; i < evidence_count; ++i) {
    const double says = weights[i] * (one[i] - other[i]);
    if (says <= most) continue;
    most = says;
    strongest = static_cast<int>(i);
  }
  return strongest;
}

/// Gives sounding tonics their letters.
class Speller {
 public:
  explicit Speller(const Timeline& timeline) : timeline_(timeline) {
    for (const TimedChord& timed : timeline.chords) {
      if (!timed.chord) continue;
      const double length = timed.length.quarters();
      const int fifths = std::clamp(timed.chord->root.fifths(), -furthest, furthest);
      as_root_[place_of(fifths)] += length;
      sum_ += length * fifths;
      time_ += length;
    }
  }

  [[nodiscard]] int bars() const { return timeline_.bars; }
  /// The key on a sounding tonic: as the text spells it as a root most of the time, else the name nearest to its other
  /// roots on the line of fifths; always a key that can be written. Its mode is what those bars make.
  [[nodiscard]] Key key(int tonic, int first_bar, int last_bar) const {
    const double centre = time_ > 0 ? sum_ / time_ : 0;
    PitchClass name(0);
    double most = 0;
    double nearest = std::numeric_limits<double>::max();
    for (int fifths = -furthest; fifths <= furthest; ++fifths) {
      const PitchClass candidate(fifths);
      if (candidate.semitone() != tonic) continue;
      const double time = as_root_[place_of(fifths)];
      const double distance = std::abs(fifths - centre + 1);
      if (time < most || (time == most && distance >= nearest)) continue;
      most = time;
      nearest = distance;
      name = candidate;
    }
    const Key key{name, mode_on(name, timeline_.chords, first_bar, last_bar)};
    return key.can_be_written() ? key : simplest_spelling(key);
  }

 private:
  static std::size_t place_of(int fifths) {
    const int place = fifths + furthest;
    return static_cast<std::size_t>(place);
  }

  static constexpr int furthest = 20;  // fifths from C either way; further names are counted with the last
  const Timeline& timeline_;
  std::array<double, 2 * furthest + 1> as_root_{};
  double sum_ = 0;
  double time_ = 0;
};

/// The keys along a piece.
struct HeldKeys {
  std::vector<Key> by_bar;
  std::array<double, 12> bars_on{};  ///< each sounding tonic
};

/// The key of every run of blocks, spelled and with the mode that its own bars make.
/// @param path the tonics of the blocks @param starts their first bars, counted from the first that is heard
/// @param first that bar
HeldKeys held_keys(const std::vector<int>& path, const std::vector<int>& starts, int first, const Speller& speller,
                   const std::optional<KeyText>& stated) {
  HeldKeys held;
  const int last = speller.bars();
  for (std::size_t begin = 0; begin < path.size();) {
    std::size_t end = begin;
    while (end < path.size() && path[end] == path[begin]) ++end;
    const int from = first + starts[begin];
    const int to = end < path.size() ? first + starts[end] - 1 : last;
    held.bars_on[static_cast<std::size_t>(path[begin])] += to - from + 1;
    const bool is_stated = stated && stated->tonic.semitone() == path[begin];
    Key key = speller.key(path[begin], from, to);
    if (is_stated) key = {stated->tonic, stated->mode.value_or(key.mode)};
    held.by_bar.resize(static_cast<std::size_t>(begin == 0 ? first - 1 : from - 1), key);
    held.by_bar.resize(static_cast<std::size_t>(to), key);
    begin = end;
  }
  return held;
}

/// The main key, which is on the tonic @p most, and what else is likely, the likeliest first.
void add_guesses(KeyReading& reading, const LogProbabilities& overall, const std::array<Evidence, 12>& signs, int most,
                 const Speller& speller, const Evidence& weights) {
  std::array<int, 12> order{};
  std::iota(order.begin(), order.end(), 0);
  std::stable_sort(order.begin(), order.end(), [&](int x, int y) {
    return overall[static_cast<std::size_t>(x)] > overall[static_cast<std::size_t>(y)];
  });
  for (const int tonic : order) {
    const double confidence = std::exp(overall[static_cast<std::size_t>(tonic)]);
    const bool listed = tonic == most || reading.alternatives.empty() || confidence > least_listed;
    if (!listed) continue;
    const KeyGuess guess{
        speller.key(tonic, 1, speller.bars()), confidence,
        strongest_feature(signs[static_cast<std::size_t>(tonic)], signs[static_cast<std::size_t>(most)], weights)};
    if (tonic == most) {
      reading.main = guess;
    } else {
      reading.alternatives.push_back(guess);
    }
  }
}

}  // namespace

Mode mode_on(PitchClass tonic, const std::vector<TimedChord>& chords, int first_bar, int last_bar) {
  std::array<double, 12> tones{};
  double major = 0;
  double minor = 0;
  double time = 0;
  const auto from = std::lower_bound(chords.begin(), chords.end(), first_bar,
                                     [](const TimedChord& timed, int bar) { return timed.bar < bar; });
  for (auto each = from; each != chords.end() && each->bar <= last_bar; ++each) {
    const TimedChord& timed = *each;
    if (!timed.chord) continue;
    const double length = timed.length.quarters();
    time += length;
    const unsigned sounding = timed.chord->sounding_tones();
    for (std::size_t tone = 0; tone < 12; ++tone) tones[tone] += length * static_cast<double>(sounding >> tone & 1U);
    if (timed.chord->root.sounds_like(tonic) && timed.chord->type.has_third()) {
      (timed.chord->type.is_minor() ? minor : major) += length;
    }
  }
  std::rotate(tones.begin(), tones.begin() + tonic.semitone(), tones.end());
  if (major == 0 && minor == 0) {
    major = tones[4];
    minor = tones[3];
  }
  const auto never = [&](std::size_t tone) { return tones[tone] == 0; };
  // The characteristic tone of a mode must sound for a good part of the time, not in one passing chord.
  const auto marks = [&](std::size_t tone, double share) { return tones[tone] >= share * time; };
  if (minor > major) {
    if (marks(9, 0.2) && never(8) && never(11)) return Mode::dorian;
    if (marks(1, 0.2) && never(2) && never(11) && never(9)) return Mode::phrygian;
    return Mode::minor;
  }
  if (marks(10, 0.2) && never(11) && never(3) && never(8) && never(6)) return Mode::mixolydian;
  if (marks(6, 0.3) && never(5) && never(10)) return Mode::lydian;
  return Mode::major;
}

KeyReading find_key(const Timeline& timeline, const std::optional<KeyText>& stated, const KeyModel& model) {
  KeyReading reading;
  const HeardPiece piece(timeline);
  if (piece.bars() == 0) {
    if (stated) reading.main = {{stated->tonic, stated->mode.value_or(Mode::major)}, 1};
    reading.by_bar.assign(static_cast<std::size_t>(timeline.bars), reading.main.key);
    return reading;
  }
  const std::array<Evidence, 12> signs = piece.evidence(0, piece.bars());
  LogProbabilities song = tonic_log_probabilities(signs, model.song);
  if (const auto frame = framing_root(piece)) song[*frame] += framing_bonus;
  WindowEvidence windows = window_evidence(piece, model.window);
  const LogProbabilities overall = blended(song, windows.mean, piece.bars());
  for (LogProbabilities& block : windows.blocks) {
    for (std::size_t t = 0; t < 12; ++t) block[t] += song_weight * song[t];
    if (stated) block[static_cast<std::size_t>(stated->tonic.semitone())] += stated_bonus;
  }
  std::vector<int> path = best_path(windows.blocks, windows.begins_section);
  if (stated && timeline.bars < shortest_with_changes) std::fill(path.begin(), path.end(), stated->tonic.semitone());

  const Speller speller(timeline);
  HeldKeys held = held_keys(path, windows.starts, timeline.bars - piece.bars() + 1, speller, stated);
  reading.by_bar = std::move(held.by_bar);
  const auto longest = std::max_element(held.bars_on.begin(), held.bars_on.end()) - held.bars_on.begin();
  add_guesses(reading, overall, signs, stated ? stated->tonic.semitone() : static_cast<int>(longest), speller,
              model.song);
  if (stated) reading.main = {{stated->tonic, stated->mode.value_or(reading.main.key.mode)}, 1};
  for (Key& key : reading.by_bar) {
    if (key.tonic.sounds_like(reading.main.key.tonic)) key = reading.main.key;
  }
  return reading;
}

}  // namespace romanesca
