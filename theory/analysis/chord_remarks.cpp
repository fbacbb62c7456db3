#include "theory/analysis/chord_remarks.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cstdlib>
#include <map>
#include <set>
#include <tuple>

#include "theory/analysis/slips.h"
#include "theory/chords/chord_naming.h"
#include "theory/chords/numeral_text.h"

namespace romanesca {
namespace {

int rise_between(PitchClass from, PitchClass to) { return ((to.semitone() - from.semitone()) % 12 + 12) % 12; }

/// The chord's tones outside the key with their verb, "F# is" or "F# and A are"; empty where there is none.
std::string foreign_tones(const Chord& chord, const Key& key) {
  std::vector<std::string> names;
  for (const PitchClass tone : chord.tones()) {
    if ((key.sounding_tones() >> tone.semitone() & 1U) == 0) names.push_back(to_string(tone));
  }
  if (names.empty()) return {};
  if (names.size() == 1) return names.front() + " is";
  const std::string last = names.back();
  names.pop_back();
  return fmt::format("{} and {} are", fmt::join(names, ", "), last);
}

std::string borrowed_text(const AnalysedChord& each, const std::string& symbol, const std::string& numeral) {
  const auto mode = borrowed_from(*each.timed.chord, each.key);
  if (!mode) return {};
  // More sharps or fewer flats than the key is brighter.
  const bool brighter = Key{each.key.tonic, *mode}.signature() > each.key.signature();
  return fmt::format("{} ({}) is borrowed from {} {}: a {} colour.", symbol, numeral, to_string(each.key.tonic),
                     to_string(*mode), brighter ? "brighter" : "darker");
}

/// The tritone that a dominant seventh shares with the one a tritone away, said only where both tones sound.
std::string substitute_text(const Chord& chord, const Chord& goal) {
  const Interval turn = goal.root + intervals::minor_second - chord.root;
  const Chord spelled{chord.root + turn, chord.type, chord.bass + turn};
  const PitchClass usual = goal.root + intervals::perfect_fifth;
  std::string text = fmt::format("{} stands for {}7 (a tritone substitute): its root falls a semitone to {}",
                                 to_string(chord), to_string(usual), to_string(goal));
  if (!spelled.type.has(intervals::major_third) || !spelled.type.has(intervals::minor_seventh)) return text + ".";
  return text + fmt::format(", and it has the same tritone, {} and {}.",
                            to_string(spelled.root + intervals::major_third),
                            to_string(usual + intervals::major_third));
}

/// How a diminished chord hangs together with a neighbour: a tone that stays, or one that goes on by a semitone.
std::string common_tone_text(const Chord& chord, const Chord& neighbour, bool follows) {
  for (const PitchClass tone : chord.tones()) {
    if (!tone.sounds_like(neighbour.root)) continue;
    return fmt::format("{} keeps {}, the root of the {} after it: its other notes lean on that chord.",
                       to_string(chord), to_string(neighbour.root), to_string(neighbour));
  }
  if (!follows) return {};
  for (const PitchClass tone : chord.tones()) {
    const int step = rise_between(tone, neighbour.root);
    if (step != 1 && step != 11) continue;
    return fmt::format("{} leads on by a semitone: {} goes {} to {}, the root of {}.", to_string(chord),
                       to_string(tone), step == 1 ? "up" : "down", to_string(neighbour.root), to_string(neighbour));
  }
  return {};
}

class ChordCommentator {
 public:
  explicit ChordCommentator(const Analysis& analysis) : analysis_(analysis), slips_(find_slips(analysis)) {}

  std::vector<Remark> comment() {
    for (std::size_t i = 0; i < analysis_.chords.size(); ++i) on_chord(i);
    return std::move(remarks_);
  }

 private:
  void say(std::string kind, int bar, std::string text) {
    if (!text.empty()) remarks_.push_back({std::move(kind), bar, std::move(text)});
  }

  void on_chord(std::size_t index) {
    const AnalysedChord& each = analysis_.chords[index];
    while (next_slip_ < slips_.size() && slips_[next_slip_].chord < index) ++next_slip_;
    if (!each.reading || each.timed.held) return;
    if (next_slip_ < slips_.size() && slips_[next_slip_].chord == index) return on_likely_slip(slips_[next_slip_]);
    if (on_spelling(each)) return;
    const Origin origin = each.reading->origin;
    if (origin == Origin::diatonic || origin == Origin::passing || origin == Origin::pedal) return;
    if (!said_.insert(in_key(each)).second) return;
    on_foreign_chord(each);
  }

  void on_foreign_chord(const AnalysedChord& each) {
    const std::string symbol = to_string(*each.timed.chord);
    const int bar = each.timed.bar;
    switch (each.reading->origin) {
      case Origin::applied:
      case Origin::dominant:
      case Origin::substitute:
      case Origin::related_two:
      case Origin::tonicised:
        say("applied", bar, leading_text(each));
        break;
      case Origin::borrowed:
        say("borrowed", bar, borrowed_text(each, symbol, to_string(each.reading->numeral)));
        break;
      case Origin::blues:
        say("blues", bar, fmt::format("{} has the seventh of the blues: it colours and need not resolve.", symbol));
        break;
      case Origin::chromatic:
        on_unexplained(each, symbol);
        break;
      default:
        say("colour", bar, colour_text(each));
    }
  }

  /// What to say of a chord that leads to another or comes from its own dominant.
  [[nodiscard]] std::string leading_text(const AnalysedChord& each) const {
    const Chord& chord = *each.timed.chord;
    const ChordNeighbours around = around_of(each);
    switch (each.reading->origin) {
      case Origin::dominant:
        return foreign_dominant_text(each);
      case Origin::tonicised:
        if (!around.before) return {};
        return fmt::format("{} comes after {}, its own dominant: for a moment it sounds like home.", to_string(chord),
                           to_string(*around.before));
      case Origin::substitute:
        return around.next ? substitute_text(chord, *around.next) : "";
      case Origin::related_two:
        return around.next ? two_text(each, *around.next) : "";
      default:
        if (!around.next) return {};
        return fmt::format("{} is {}: it leads to {} like a dominant of its own.", to_string(chord),
                           to_string(each.reading->numeral), to_string(*around.next));
    }
  }

  /// What to say of a chord that is foreign for its own sake.
  [[nodiscard]] std::string colour_text(const AnalysedChord& each) const {
    const Chord& chord = *each.timed.chord;
    const std::string symbol = to_string(chord);
    switch (each.reading->origin) {
      case Origin::chromatic_third:
        return fmt::format("{} stands a third from home: {} outside the key.", symbol, foreign_tones(chord, each.key));
      case Origin::common_tone:
        return diminished_text(each);
      case Origin::altered:
        return fmt::format("{} is {}: {} outside the scale of {}, for more colour.", symbol,
                           to_string(each.reading->numeral), foreign_tones(chord, each.key), to_string(each.key));
      case Origin::line:
        return line_text(each);
      case Origin::parallel:
        return parallel_text(each);
      default:
        return {};
    }
  }

  [[nodiscard]] ChordNeighbours around_of(const AnalysedChord& each) const {
    return analysis_.around(static_cast<std::size_t>(&each - analysis_.chords.data()));
  }

  [[nodiscard]] std::string foreign_dominant_text(const AnalysedChord& each) const {
    const Chord& chord = *each.timed.chord;
    const ChordNeighbours around = around_of(each);
    if (around.next && rise_between(chord.root, around.next->root) == 5) {
      return fmt::format("{} leads to {} like a dominant of its own.", to_string(chord), to_string(*around.next));
    }
    const PitchClass goal = chord.root + intervals::perfect_fourth;
    const bool after_its_two =
        around.before && around.before->type.is_minor() && rise_between(around.before->root, chord.root) == 5;
    if (!after_its_two)
      return fmt::format("{} is a dominant of {}, which does not follow at once.", to_string(chord), to_string(goal));
    return fmt::format("{} and {} are ii and V of {}, which does not follow at once.", to_string(*around.before),
                       to_string(chord), to_string(goal));
  }

  static std::string two_text(const AnalysedChord& each, const Chord& dominant) {
    const Chord& chord = *each.timed.chord;
    if (rise_between(chord.root, dominant.root) != 5) {
      return fmt::format("{} steps down a semitone to {}, and goes with it like a ii with its V.", to_string(chord),
                         to_string(dominant));
    }
    const PitchClass goal = dominant.root + intervals::perfect_fourth;
    return fmt::format("{} and {} are ii and V of {}.", to_string(chord), to_string(dominant), to_string(goal));
  }

  [[nodiscard]] std::string diminished_text(const AnalysedChord& each) const {
    const ChordNeighbours around = around_of(each);
    const Chord& chord = *each.timed.chord;
    if (around.next) {
      std::string text = common_tone_text(chord, *around.next, true);
      if (!text.empty()) return text;
    }
    if (!around.before) return {};
    const Chord& before = *around.before;
    for (const PitchClass tone : chord.tones()) {
      if (!tone.sounds_like(before.root)) continue;
      return fmt::format("{} keeps {}, the root of the {} before it: its other notes lean on that chord.",
                         to_string(chord), to_string(before.root), to_string(before));
    }
    return {};
  }

  [[nodiscard]] std::string line_text(const AnalysedChord& each) const {
    const ChordNeighbours around = around_of(each);
    const auto& other = around.same_root_before ? around.same_root_before : around.same_root_after;
    if (!other) return {};
    const Chord& chord = *each.timed.chord;
    const bool comes_from = around.same_root_before.has_value();
    const Chord& first = comes_from ? *other : chord;
    const Chord& second = comes_from ? chord : *other;
    const int stay = std::popcount(first.sounding_tones() & second.sounding_tones());
    if (stay < 2) return {};
    return fmt::format("From {} to {} {} notes stay, and the rest moves as a line within the chord.", to_string(first),
                       to_string(second), stay);
  }

  [[nodiscard]] std::string parallel_text(const AnalysedChord& each) const {
    const ChordNeighbours around = around_of(each);
    const Chord& chord = *each.timed.chord;
    const bool to_next = around.next && around.next->type == chord.type;
    const auto& other = to_next ? around.next : around.before;
    if (!other || other->type != chord.type) return {};
    return fmt::format("{} and {} are the same kind of chord a step apart: parallel chords.",
                       to_string(to_next ? chord : *other), to_string(to_next ? *other : chord));
  }

  /// A root that the key writes with another letter: A# in F major. Diminished chords lead upwards and keep theirs, and
  /// so does what is far from the key: no Cb for B.
  bool on_spelling(const AnalysedChord& each) {
    const Chord& chord = *each.timed.chord;
    const Chord better = respelled(chord, each.key);
    if (better.root == chord.root) return false;
    const bool usual = is_diatonic(better, each.key) || each.reading->origin == Origin::borrowed;
    const bool plain = each.key.contains(better.root) || (better.root.fifths() >= -5 && better.root.fifths() <= 6);
    if (!usual || !plain) return false;
    if (!said_.insert(in_key(each)).second) return true;
    std::string bars;
    for (const AnalysedChord& other : analysis_.chords) {
      if (!other.timed.chord || other.timed.held || other.timed.bar <= each.timed.bar) continue;
      if (*other.timed.chord == chord) bars += fmt::format("{}{}", bars.empty() ? "" : ", ", other.timed.bar);
    }
    say("spelling", each.timed.bar,
        fmt::format("In {} write {} for {}{}: the same keys on the piano, and the letters follow the scale.",
                    to_string(each.key), to_string(better), to_string(chord),
                    bars.empty() ? "" : " (bar " + bars + " too)"));
    return true;
  }

  void on_likely_slip(const Slip& slip) {
    const AnalysedChord& each = analysis_.chords[slip.chord];
    const std::string typed = to_string(*each.timed.chord);
    const std::string meant = to_string(slip.meant);
    std::string text =
        fmt::format("{} is easily typed for {}, which the piece has elsewhere; did you mean {}?", typed, meant, meant);
    if (slip.like_bars.size() == 1) {
      text = fmt::format("Bar {}, in a line like this one, has {}; did you mean {} instead of {}?",
                         slip.like_bars.front(), meant, meant, typed);
    } else if (!slip.like_bars.empty()) {
      std::vector<int> bars = slip.like_bars;
      const int last = bars.back();
      bars.pop_back();
      text = fmt::format("Bars {} and {}, in lines like this one, have {}; did you mean {} instead of {}?",
                         fmt::join(bars, ", "), last, meant, meant, typed);
    }
    say("slip", each.timed.bar, text);
  }

  /// A chord that stands once and that nothing explains. One that comes again is meant.
  void on_unexplained(const AnalysedChord& each, const std::string& symbol) {
    if (times_of(each) != 1) return;
    const Chord& chord = *each.timed.chord;
    std::vector<std::string> meant;
    const auto offer = [&](const Chord& candidate) {
      const std::string text = to_string(candidate);
      if (meant.size() < 2 && std::find(meant.begin(), meant.end(), text) == meant.end()) meant.push_back(text);
    };
    // The key's own chord on the same letter, then the one a semitone away.
    for (const bool same_letter : {true, false}) {
      for (int degree = 1; degree <= 7; ++degree) {
        const PitchClass root = each.key.degree(degree);
        const int apart = std::abs(root.semitone() - chord.root.semitone());
        const bool near = same_letter ? root.letter() == chord.root.letter() : apart == 1 || apart == 11;
        if (near) offer(each.key.diatonic_chord(degree, chord.type.has_seventh() ? 4 : 3));
      }
    }
    say("slip", each.timed.bar,
        fmt::format(
            "{} belongs to no reading of {}. If you like the surprise, keep it; if it slipped in, did you mean {}?",
            symbol, to_string(each.key), fmt::join(meant, " or ")));
  }

  /// A chord in a key, to be mentioned once.
  using ChordInKey = std::tuple<int, std::uint32_t, int, int, Mode>;
  static ChordInKey in_key(const AnalysedChord& each) {
    const Chord& chord = *each.timed.chord;
    return {chord.root.fifths(), chord.type.mask(), chord.bass.fifths(), each.key.tonic.fifths(), each.key.mode};
  }

  /// How often the chord stands in that key. Counted for all chords when it is first asked for: few pieces need it.
  int times_of(const AnalysedChord& asked) {
    if (times_.empty()) {
      for (const AnalysedChord& each : analysis_.chords) {
        if (each.timed.chord) ++times_[in_key(each)];
      }
    }
    return times_[in_key(asked)];
  }

  const Analysis& analysis_;
  std::vector<Slip> slips_;
  std::size_t next_slip_ = 0;
  std::vector<Remark> remarks_;
  std::set<ChordInKey> said_;
  std::map<ChordInKey, int> times_;
};

}  // namespace

std::vector<Remark> remarks_on_chords(const Analysis& analysis) { return ChordCommentator(analysis).comment(); }

}  // namespace romanesca
