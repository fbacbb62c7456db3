#include "progressions/continuation.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cstdlib>
#include <map>

#include "progressions/library.h"
#include "theory/chords/chord_naming.h"
#include "theory/chords/numeral_text.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

constexpr double used_already = 1.6;    // a chord that the piece has used, against others
constexpr double never_used = 0.5;      // a chord from outside the key that it has not
constexpr double pattern_weight = 0.3;  // of the patterns that the last chords have begun, beside the table

std::vector<std::string_view> split(std::string_view text, char by) {
  std::vector<std::string_view> parts;
  while (true) {
    const std::size_t end = text.find(by);
    const std::string_view part = trimmed(text.substr(0, end));
    if (!part.empty()) parts.push_back(part);
    if (end == std::string_view::npos) return parts;
    text.remove_prefix(end + 1);
  }
}

std::vector<ContinuationRow> read_rows() {
  std::vector<ContinuationRow> rows;
  for (const EmbeddedText& file : continuation_texts()) {
    for (const std::string_view line : split(file.text, '\n')) {
      if (line.starts_with('#')) continue;
      const auto cells = split(line, '|');
      if (cells.size() != 3) continue;
      ContinuationRow row{cells[0] == "minor", std::string(cells[1]), {}};
      const auto words = split(cells[2], ' ');
      for (std::size_t i = 0; i + 1 < words.size(); i += 2) {
        row.next.emplace_back(words[i], std::atof(std::string(words[i + 1]).c_str()) / 100);
      }
      rows.push_back(std::move(row));
    }
  }
  return rows;
}

/// The chords of the piece as steps above a tonic, repeats left out, the last ones only.
std::vector<std::string> last_steps(const Analysis& analysis, PitchClass tonic, std::size_t most) {
  std::vector<std::string> steps;
  for (std::size_t i = analysis.chords.size(); i-- > 0 && steps.size() < most;) {
    const auto& chord = analysis.chords[i].timed.chord;
    if (!chord) continue;
    std::string step = to_string(step_of(*chord, tonic));
    if (steps.empty() || steps.front() != step) steps.insert(steps.begin(), std::move(step));
  }
  return steps;
}

/// The next chord of a pattern that begins with these chords; loops repeat.
struct Completion {
  std::string next;
  const Pattern* pattern;
};

std::vector<Completion> completions(const std::vector<std::string>& steps, bool minor) {
  std::vector<Completion> found;
  for (const Pattern& pattern : library()) {
    if (is_minorish(pattern.mode) != minor) continue;
    std::vector<std::string> wanted;
    for (const TimedChord& timed : timeline(pattern.progression, {PitchClass{}, pattern.mode}).chords) {
      if (!timed.chord) continue;
      std::string step = to_string(step_of(*timed.chord, PitchClass{}));
      if (wanted.empty() || wanted.back() != step) wanted.push_back(std::move(step));
    }
    for (std::size_t known = std::min(steps.size(), wanted.size() - 1); known >= 2; --known) {
      if (!std::equal(steps.end() - static_cast<std::ptrdiff_t>(known), steps.end(), wanted.begin())) continue;
      found.push_back({wanted[known], &pattern});
      break;
    }
  }
  return found;
}

Chord chord_of(const std::string& step, const Key& key) {
  const Numeral numeral = *parse_roman(step);
  // Counted from the major scale in every mode.
  const Chord in_major = realise(numeral, {key.tonic, Mode::major});
  return Chord::on(spelled_in(in_major.root.semitone(), key), in_major.type);
}

/// Raises the share of chords that the piece uses; a chord that it uses with the other third (iv for IV) replaces the
/// usual one.
void prefer_own_chords(std::map<std::string, double>& shares, const Analysis& analysis, const Key& key) {
  std::map<int, std::string> own;  // by root above the tonic
  for (const AnalysedChord& each : analysis.chords) {
    if (!each.timed.chord || each.key != key) continue;
    const ChordStep step = step_of(*each.timed.chord, key.tonic);
    own.emplace(step.above, to_string(step));
  }
  std::map<std::string, double> weighed;
  double sum = 0;
  for (const auto& entry : shares) {
    const Chord chord = chord_of(entry.first, key);
    const auto used = own.find(step_of(chord, key.tonic).above);
    const bool foreign = !is_diatonic(chord, key);
    const double factor = used != own.end() ? used_already : foreign ? never_used : 1.0;
    weighed[used != own.end() ? used->second : entry.first] += factor * entry.second;
    sum += factor * entry.second;
  }
  for (auto& entry : weighed) entry.second /= std::max(sum, 1e-9);
  shares = std::move(weighed);
}

std::string reason_for(const Chord& chord, const Chord& last, const Key& key, const Pattern* pattern) {
  const ChordStep step = step_of(chord, key.tonic);
  const int from = step_of(last, key.tonic).above;
  const int common = std::popcount(chord.sounding_tones() & last.sounding_tones());
  std::string reason;
  if (step.above == 0 && (from == 7 || from == 11)) {
    reason = "comes home from the dominant; a phrase can end here";
  } else if (step.above == 0 && from == 5) {
    reason = "comes home softly, as hymns end";
  } else if (step.above == 0) {
    reason = "comes home";
  } else if (step.above == 7) {
    reason = "opens a door: the ear now expects home";
  } else if (from == 7 && (step.above == 9 || step.above == 8)) {
    reason = "goes past home: a small surprise";
  } else if ((from - step.above + 12) % 12 == 7) {
    reason = "its root lies a fifth lower, the strongest pull there is";
  } else if (step.above == 5 || step.above == 2) {
    reason = "leaves home and prepares the dominant";
  } else if (step.above == 10) {
    reason = "steps in from below home, with a rock colour";
  } else if (is_diatonic(chord, key)) {
    reason = common >= 2 ? "changes the light a little" : "moves on within the key";
  } else {
    reason = "brings a colour from outside the key";
  }
  if (common >= 2) reason += fmt::format("; {} notes can stay", common);
  if (pattern != nullptr) reason += fmt::format("; goes on like {}", pattern->id);
  return reason;
}

}  // namespace

std::string_view how_usual(double share) noexcept {
  return share >= 0.2 ? "often" : share >= 0.05 ? "sometimes" : "seldom";
}

ChordStep step_of(const Chord& chord, PitchClass tonic) noexcept {
  using Kind = ChordStep::Kind;
  const Kind kind = chord.type.is_diminished() ? Kind::diminished : chord.type.is_minor() ? Kind::minor : Kind::major;
  return {(chord.root.semitone() - tonic.semitone() + 12) % 12, kind};
}

std::string to_string(const ChordStep& step) {
  constexpr std::array<std::string_view, 12> upper{"I",   "bII", "II",  "bIII", "III",  "IV",
                                                   "#IV", "V",   "bVI", "VI",   "bVII", "VII"};
  std::string text(upper[static_cast<std::size_t>(step.above)]);
  if (step.kind == ChordStep::Kind::major) return text;
  for (char& c : text) c = c == 'I' ? 'i' : c == 'V' ? 'v' : c;
  return step.kind == ChordStep::Kind::diminished ? text + "o" : text;
}

const std::vector<ContinuationRow>& continuation_rows() {
  static const std::vector<ContinuationRow> rows = read_rows();
  return rows;
}

std::vector<Continuation> continuations(const Analysis& analysis, std::size_t most) {
  const auto last = std::find_if(analysis.chords.rbegin(), analysis.chords.rend(),
                                 [](const AnalysedChord& each) { return each.timed.chord.has_value(); });
  if (last == analysis.chords.rend()) return {};
  const Key key = last->key;
  const bool minor = is_minorish(key.mode);
  const auto steps = last_steps(analysis, key.tonic, 8);
  std::map<std::string, double> shares;
  const auto& rows = continuation_rows();
  const auto row = std::find_if(rows.begin(), rows.end(), [&](const ContinuationRow& each) {
    return each.minor == minor && each.from == steps.back();
  });
  if (row != rows.end()) {
    for (const auto& [next, share] : row->next) shares[next] += (1 - pattern_weight) * share;
  } else {
    for (const char* next : {minor ? "i" : "I", minor ? "iv" : "IV", "V"}) shares[next] += (1 - pattern_weight) / 3;
  }
  const auto begun = completions(steps, minor);
  for (const Completion& each : begun) shares[each.next] += pattern_weight / static_cast<double>(begun.size());

  prefer_own_chords(shares, analysis, key);

  std::vector<Continuation> result;
  for (const auto& entry : shares) {
    const std::string& step = entry.first;
    if (step == steps.back()) continue;
    Continuation next;
    next.chord = chord_of(step, key);
    next.numeral = numeral_of(next.chord, key);
    next.share = entry.second;
    const auto pattern =
        std::find_if(begun.begin(), begun.end(), [&](const Completion& each) { return each.next == step; });
    next.reason = reason_for(next.chord, *last->timed.chord, key, pattern == begun.end() ? nullptr : pattern->pattern);
    result.push_back(std::move(next));
  }
  std::stable_sort(result.begin(), result.end(), [](const auto& a, const auto& b) { return a.share > b.share; });
  if (result.size() > most) result.resize(most);
  return result;
}

}  // namespace romanesca
