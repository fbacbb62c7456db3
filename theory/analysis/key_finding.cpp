#include "theory/analysis/key_finding.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <limits>
#include <numeric>
#include <optional>

#include "theory/analysis/key_model.h"

namespace romanesca {
namespace {

constexpr double song_weight =
    0.7;  // of the whole piece's evidence in each block; found like change_cost in key_path.cpp
// Both are scaled so that the confidence is calibrated, the more so the shorter the piece; found likewise.
constexpr double temper_long = 0.75;
constexpr double temper_bars = 5.0;
constexpr double framing_bonus = 1.0;      // nats, found on the first bars of the same songs
constexpr int longest_framed = 16;         // bars
constexpr double resting_bonus = 3.0;      // nats, a choice: of 11 open jazz choruses that begin so all are in that key
constexpr double closing_bonus = 12.0;     // nats, a choice: two of 36 open jazz choruses close so, in that key
constexpr double least_listed = 0.01;      // confidence of a further alternative
constexpr double stated_bonus = 10.0;      // nats for the key that the text names, in every block
constexpr int shortest_with_changes = 16;  // bars; a shorter piece whose key is stated stays in it

LogProbabilities blended(const LogProbabilities& song, const LogProbabilities& windows, int bars) {
  const double temper = temper_long * bars / (bars + temper_bars);
  LogProbabilities result{};
  double sum = 0;
  for (std::size_t t = 0; t < 12; ++t) {
    result[t] = temper * (song[t] + windows[t]);
    sum += std::exp(result[t]);
  }
  const double whole = std::log(sum);
  for (double& value : result) value -= whole;
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

// Nats for a minor key against its relative major. Found on the same songs.
constexpr double closes_in_minor = 3.0;    // V to i is the last thing heard
constexpr double begins_in_minor = 3.0;    // it begins on i, and i has its own V
constexpr double stops_on_dominant = 3.0;  // it begins on i and stops on its V
constexpr double framed_by_minor = 2.0;    // it begins and ends on i, and is short or has its own V

/// Where the ear finds a minor key: it looks at how the piece begins and ends and at its V, whose leading tone the
/// relative major lacks.
LogProbabilities minor_signs(const HeardPiece& piece) {
  LogProbabilities signs{};
  const HeardChord* first = nullptr;
  const HeardChord* last = nullptr;
  unsigned dominants = 0;  // bit for each root of a major triad
  bool closes = false;     // the last change is V to i
  for (const HeardChord& chord : piece.chords()) {
    if (!chord.sounds) continue;
    const bool has_leading_tone = !chord.minor && (chord.tones >> (chord.root + 4) % 12 & 1) != 0;
    if (has_leading_tone) dominants |= 1U << static_cast<unsigned>(chord.root);
    if (first == nullptr) first = &chord;
    if (last != nullptr && last->root != chord.root) {
      const bool from_dominant = last->root == (chord.root + 7) % 12 && (dominants >> last->root & 1U) != 0;
      closes = chord.minor && !last->minor && from_dominant;
    }
    last = &chord;
  }
  if (first == nullptr) return signs;
  if (closes) signs[static_cast<std::size_t>(last->root)] += closes_in_minor;
  if (!first->minor) return signs;
  double& begun = signs[static_cast<std::size_t>(first->root)];
  const int dominant = (first->root + 7) % 12;
  const bool has_dominant = (dominants >> dominant & 1U) != 0;
  if (has_dominant) begun += begins_in_minor;
  if (has_dominant && last->root == dominant && !last->minor) begun += stops_on_dominant;
  const bool framed = last->minor && last->root == first->root;
  if (framed && (has_dominant || piece.bars() <= longest_framed)) begun += framed_by_minor;
  return signs;
}

/// Divides the probability of each relative pair anew; what both have together stays.
void weigh_relative_pairs(LogProbabilities& song, const LogProbabilities& minor_signs) {
  const auto log_sum = [](double x, double y) { return std::max(x, y) + std::log1p(std::exp(-std::abs(x - y))); };
  const LogProbabilities before = song;
  for (std::size_t minor = 0; minor < 12; ++minor) {
    if (minor_signs[minor] == 0) continue;
    const std::size_t major = (minor + 3) % 12;
    const double favoured = before[minor] + minor_signs[minor];
    const double excess = log_sum(favoured, before[major]) - log_sum(before[minor], before[major]);
    song[minor] = favoured - excess;
    song[major] = before[major] - excess;
  }
}

/// The root of a major sixth chord that a piece begins with: the chord that jazz rests on (common practice, no source).
std::optional<std::size_t> opening_sixth_chord(const HeardPiece& piece) {
  constexpr unsigned major_sixth = 1U | 1U << 4U | 1U << 7U | 1U << 9U;  // bits of the tones above the root
  const auto first = std::find_if(piece.chords().begin(), piece.chords().end(), [](const auto& c) { return c.sounds; });
  if (first == piece.chords().end()) return std::nullopt;
  const unsigned twice = first->tones | static_cast<unsigned>(first->tones) << 12U;
  if ((twice >> static_cast<unsigned>(first->root) & 0xFFFU) != major_sixth) return std::nullopt;
  return static_cast<std::size_t>(first->root);
}

/// The root of the major chord with a sixth or seventh that a jazz chorus closes on, by its own dominant, before a
/// turnaround to the chord that the chorus begins with: where it ends is its key, and what follows only leads back
/// (common practice, no source).
std::optional<std::size_t> close_before_turnaround(const HeardPiece& piece) {
  constexpr int shortest_chorus = 16;  // bars
  const auto& chords = piece.chords();
  std::size_t end = chords.size();
  if (piece.bars() < shortest_chorus || end < 4 || !chords.front().sounds) return std::nullopt;
  const int home = chords.front().root;
  const auto is_on = [&](std::size_t place, int above) {
    return chords[place].sounds && chords[place].root == (home + above) % 12;
  };
  if (!is_on(end - 1, 7) || !chords[end - 1].dominant) return std::nullopt;
  while (end > 2 && is_on(end - 1, 7)) --end;
  while (end > 2 && is_on(end - 1, 2)) --end;
  const HeardChord& close = chords[end - 1];
  std::size_t last = end - 1;  // that is another chord
  while (last > 0 && chords[last].sounds && chords[last].root == close.root) --last;
  const HeardChord& before = chords[last];
  const bool by_dominant = before.sounds && before.dominant && before.root == (close.root + 7) % 12;
  const bool rests = close.sounds && !close.minor && !close.dominant && std::popcount(close.tones) >= 4;
  if (!rests || !by_dominant || close.root == home) return std::nullopt;
  return static_cast<std::size_t>(close.root);
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
  explicit Speller(const Timeline& timeline) : timeline_(timeline) {}

  [[nodiscard]] int bars() const { return timeline_.bars; }
  /// The key on a sounding tonic: as these bars spell it as a root most of the time, else the name nearest to their
  /// other roots on the line of fifths; always a key that can be written. Its mode is what the bars make.
  [[nodiscard]] Key key(int tonic, int first_bar, int last_bar) const {
    std::array<double, 2 * furthest + 1> as_root{};
    double sum = 0;
    double time = 0;
    const auto& chords = timeline_.chords;
    const auto from = std::lower_bound(chords.begin(), chords.end(), first_bar,
                                       [](const TimedChord& timed, int bar) { return timed.bar < bar; });
    for (auto each = from; each != chords.end() && each->bar <= last_bar; ++each) {
      if (!each->chord) continue;
      const double length = each->length.quarters();
      const int fifths = std::clamp(each->chord->root.fifths(), -furthest, furthest);
      as_root[place_of(fifths)] += length;
      sum += length * fifths;
      time += length;
    }
    const double centre = time > 0 ? sum / time : 0;
    PitchClass name(0);
    double most = 0;
    double nearest = std::numeric_limits<double>::max();
    for (int fifths = -furthest; fifths <= furthest; ++fifths) {
      const PitchClass candidate(fifths);
      if (candidate.semitone() != tonic) continue;
      const double held = as_root[place_of(fifths)];
      const double distance = std::abs(fifths - centre + 1);
      if (held < most || (held == most && distance >= nearest)) continue;
      most = held;
      nearest = distance;
      name = candidate;
    }
    const Key key{name, mode_on(name, chords, first_bar, last_bar)};
    return key.can_be_written() ? key : simplest_spelling(key);
  }

 private:
  static std::size_t place_of(int fifths) {
    const int place = fifths + furthest;
    return static_cast<std::size_t>(place);
  }

  static constexpr int furthest = 20;  // fifths from C either way; further names are counted with the last
  const Timeline& timeline_;
};

/// The keys along a piece.
struct HeldKeys {
  std::vector<Key> by_bar;
  std::array<double, 12> bars_on{};  ///< each sounding tonic
};

/// The key of every run of bars on one tonic, spelled and with the mode that its own bars make.
/// @param tonics of the bars, counted from the first that is heard @param first that bar
HeldKeys held_keys(const std::vector<int>& tonics, int first, const Speller& speller,
                   const std::optional<KeyText>& stated) {
  HeldKeys held;
  for (std::size_t begin = 0; begin < tonics.size();) {
    std::size_t end = begin;
    while (end < tonics.size() && tonics[end] == tonics[begin]) ++end;
    const int from = first + static_cast<int>(begin);
    const int to = first + static_cast<int>(end) - 1;
    held.bars_on[static_cast<std::size_t>(tonics[begin])] += to - from + 1;
    const bool is_stated = stated && stated->tonic.semitone() == tonics[begin];
    Key key = speller.key(tonics[begin], from, to);
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
    for (unsigned rest = timed.chord->sounding_tones(); rest != 0; rest &= rest - 1)
      tones[static_cast<std::size_t>(std::countr_zero(rest))] += length;
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
  const std::vector<TransposedRepeat> repeats = find_transposed_repeats(piece);
  const std::vector<int> shifts = find_shifts(repeats);
  const bool moves = std::any_of(shifts.begin(), shifts.end(), [](int shift) { return shift != 0; });
  const std::optional<HeardPiece> moved = moves ? std::optional(piece.moved_back(shifts)) : std::nullopt;
  const HeardPiece& in_one_key = moved ? *moved : piece;
  const std::array<Evidence, 12> signs = in_one_key.evidence(0, piece.bars());
  LogProbabilities song = tonic_log_probabilities(signs, model.song);
  if (const auto frame = framing_root(piece)) song[*frame] += framing_bonus;
  if (const auto resting = opening_sixth_chord(in_one_key)) song[*resting] += resting_bonus;
  if (const auto close = close_before_turnaround(in_one_key)) song[*close] += closing_bonus;
  weigh_relative_pairs(song, minor_signs(in_one_key));
  const std::vector<KeyBlock> blocks = key_blocks(piece, in_one_key, repeats, shifts, model.window);
  LogProbabilities windows{};
  for (const KeyBlock& block : blocks) {
    for (std::size_t t = 0; t < 12; ++t)
      windows[t] += static_cast<double>(block.home[t]) / static_cast<double>(blocks.size());
  }
  const LogProbabilities overall = blended(song, windows, piece.bars());
  LogProbabilities home = song;
  for (double& value : home) value *= song_weight;
  if (stated) home[static_cast<std::size_t>(stated->tonic.semitone())] += stated_bonus;
  std::vector<int> tonics = find_key_path(piece, blocks, home, repeats, shifts);
  // In one key throughout, the whole piece says better than its windows which of two relatives it is.
  const auto likeliest = static_cast<int>(std::max_element(overall.begin(), overall.end()) - overall.begin());
  const bool one_key = std::all_of(tonics.begin(), tonics.end(), [&](int tonic) { return tonic == tonics.front(); });
  const int apart = (likeliest - tonics.front() + 12) % 12;
  if (one_key && !stated && (apart == 3 || apart == 9)) std::fill(tonics.begin(), tonics.end(), likeliest);
  if (stated && timeline.bars < shortest_with_changes)
    std::fill(tonics.begin(), tonics.end(), stated->tonic.semitone());

  const Speller speller(timeline);
  HeldKeys held = held_keys(tonics, timeline.bars - piece.bars() + 1, speller, stated);
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
