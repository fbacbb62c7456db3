#include "theory/analysis/remarks.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <functional>
#include <set>
#include <tuple>

#include "theory/chords/chord_naming.h"
#include "theory/chords/numeral_text.h"

namespace romanesca {
namespace {

/// The reason for another key, by the feature of key_model that supports it most.
std::string reason_for(const KeyGuess& other, const Key& main) {
  const std::string tonic = to_string(other.key.tonic);
  switch (other.strongest_feature) {
    case 1:
      return fmt::format("the music rests longest on {}", tonic);
    case 2:
      return fmt::format("the three main chords of {} are all there", tonic);
    case 3:
      return fmt::format("it begins on {}", tonic);
    case 5:
      return fmt::format("it ends on {}", tonic);
    case 6:
      return fmt::format("passages that come back begin on {}", tonic);
    case 7:
      return fmt::format("the strong bars fall on {}", tonic);
    case 8:
    case 10:
      return fmt::format("{} leads to {}", to_string(other.key.degree(5)), tonic);
    case 9:
      return fmt::format("{} with its seventh sounds like a chord that leads on", to_string(main.tonic));
    default:
      return "its scale holds the notes as well";
  }
}

/// What to say about the keys: a second reading where it is nearly as likely, with the reason for it; changes of key;
/// and the chords that belong to both keys of a change.
std::vector<Remark> remarks_on_keys(const Analysis& analysis) {
  std::vector<Remark> remarks;
  const KeyReading& keys = analysis.keys;
  if (!keys.alternatives.empty() && keys.alternatives.front().confidence > least_confidence_to_mention) {
    const KeyGuess& other = keys.alternatives.front();
    remarks.push_back({"key", 0,
                       fmt::format("It can also be heard in {}, for {}. End on either tonic and listen which one feels "
                                   "like home.",
                                   to_string(other.key), reason_for(other, keys.main.key))});
  }
  const std::vector<Pivot> pivots = find_pivots(analysis);
  for (std::size_t bar = 1; bar < keys.by_bar.size(); ++bar) {
    if (keys.by_bar[bar] == keys.by_bar[bar - 1]) continue;
    remarks.push_back({"key", static_cast<int>(bar) + 1,
                       fmt::format("The music moves to {} about here.", to_string(keys.by_bar[bar]))});
    const auto pivot = std::find_if(pivots.begin(), pivots.end(), [&](const Pivot& each) {
      return analysis.chords[each.chord].timed.bar == static_cast<int>(bar);
    });
    if (pivot == pivots.end()) continue;
    remarks.push_back({"pivot", static_cast<int>(bar),
                       fmt::format("{} is the door between the keys: {} in {}, {} in {}.",
                                   to_string(*analysis.chords[pivot->chord].timed.chord), to_string(pivot->before),
                                   to_string(pivot->from), to_string(pivot->after), to_string(pivot->to))});
  }
  return remarks;
}

/// Changes of chord: the first of each run of equal chords, without silence.
std::vector<const TimedChord*> changes_of(const Analysis& analysis) {
  std::vector<const TimedChord*> changes;
  for (const AnalysedChord& each : analysis.chords) {
    if (!each.timed.chord) continue;
    if (changes.empty() || *changes.back()->chord != *each.timed.chord) changes.push_back(&each.timed);
  }
  return changes;
}

struct Run {
  std::size_t start = 0;
  std::size_t length = 0;  ///< chords
};

using Link = std::function<int(const Chord& from, const Chord& to)>;

/// The longest run of chords in which every link from one to the next has the same value, not 0.
Run longest_run(const std::vector<const TimedChord*>& changes, const Link& link) {
  Run best;
  Run run{0, 1};
  int value = 0;
  for (std::size_t i = 1; i < changes.size(); ++i) {
    const int next = link(*changes[i - 1]->chord, *changes[i]->chord);
    if (next == 0) {
      run = {i, 1};
    } else if (value != 0 && next == value) {
      run.length += 1;
    } else {
      run = {i - 1, 2};
    }
    value = next;
    if (run.length > best.length && value != 0) best = run;
  }
  return best;
}

int up(PitchClass from, PitchClass to) { return ((to.semitone() - from.semitone()) % 12 + 12) % 12; }

int bass_step(const Chord& from, const Chord& to) {
  const int rise = up(from.bass, to.bass);
  return rise == 1 || rise == 2 ? 1 : rise >= 10 ? -1 : 0;
}

int bass_stays(const Chord& from, const Chord& to) {
  return from.bass.sounds_like(to.bass) && !from.root.sounds_like(to.root) ? 1 : 0;
}

/// A fifth down; the diminished one within a scale counts too (IV to viio).
int falls_a_fifth(const Chord& from, const Chord& to) {
  const int rise = up(from.root, to.root);
  return rise == 5 || (rise == 6 && to.type.is_diminished()) ? 1 : 0;
}

/// What to say about lines that run through several chords: a bass that walks by step, a bass that stays while the
/// chords change (pedal point), roots that fall by fifths (sequence). The longest of each.
std::vector<Remark> remarks_on_lines(const Analysis& analysis) {
  std::vector<Remark> remarks;
  const auto changes = changes_of(analysis);
  const auto chord = [&](std::size_t i) -> const Chord& { return *changes[i]->chord; };
  if (const Run run = longest_run(changes, bass_step); run.length >= 4) {
    const bool falls = bass_step(chord(run.start), chord(run.start + 1)) < 0;
    remarks.push_back(
        {"bass", changes[run.start]->bar,
         fmt::format("The bass {} by step, {} to {}: a line that can be sung.", falls ? "falls" : "climbs",
                     to_string(chord(run.start).bass), to_string(chord(run.start + run.length - 1).bass))});
  }
  if (const Run run = longest_run(changes, bass_stays); run.length >= 3) {
    remarks.push_back({"pedal", changes[run.start]->bar,
                       fmt::format("The bass stays on {} while the chords change above it (a pedal point): calm below, "
                                   "movement above.",
                                   to_string(chord(run.start).bass))});
  }
  if (const Run run = longest_run(changes, falls_a_fifth); run.length >= 4) {
    remarks.push_back(
        {"sequence", changes[run.start]->bar,
         fmt::format("{} roots in a row fall by fifths, {} to {}: each chord pulls the next one along.", run.length,
                     to_string(chord(run.start).root), to_string(chord(run.start + run.length - 1).root))});
  }
  return remarks;
}

class Commentator {
 public:
  explicit Commentator(const Analysis& analysis) : analysis_(analysis) {}

  std::vector<Remark> comment() {
    for (const auto& some : {remarks_on_keys(analysis_), remarks_on_lines(analysis_)}) {
      remarks_.insert(remarks_.end(), some.begin(), some.end());
    }
    on_cadences();
    for (std::size_t i = 0; i < analysis_.chords.size(); ++i) on_chord(i);
    std::stable_sort(remarks_.begin(), remarks_.end(), [](const Remark& a, const Remark& b) { return a.bar < b.bar; });
    return std::move(remarks_);
  }

 private:
  void say(std::string kind, int bar, std::string text) { remarks_.push_back({std::move(kind), bar, std::move(text)}); }

  /// The tonic's numeral in the key of a bar.
  [[nodiscard]] std::string_view home(int bar) const {
    return is_minorish(analysis_.keys.by_bar[static_cast<std::size_t>(bar - 1)].mode) ? "i" : "I";
  }

  void on_cadences() {
    if (analysis_.cadences.empty()) return;
    const Cadence& last = analysis_.cadences.back();
    const bool closes = last.bar >= analysis_.timeline.bars - 1;
    if (last.kind == CadenceKind::authentic && closes) {
      say("cadence", last.bar, fmt::format("The ending closes with V to {}: it sounds finished.", home(last.bar)));
    } else if (last.kind == CadenceKind::plagal && closes) {
      say("cadence", last.bar, fmt::format("The ending settles softly on {} without its dominant.", home(last.bar)));
    } else if (last.kind == CadenceKind::half && closes) {
      say("cadence", last.bar,
          fmt::format("The ending stops on V: it asks to go round again. For a last time add {}.", home(last.bar)));
    }
    const auto deceptive = std::find_if(analysis_.cadences.begin(), analysis_.cadences.end(),
                                        [](const Cadence& each) { return each.kind == CadenceKind::deceptive; });
    if (deceptive != analysis_.cadences.end()) {
      say("cadence", deceptive->bar,
          "V goes to the sixth degree instead of home: a small surprise that keeps the story open.");
    }
  }

  void on_chord(std::size_t index) {
    const AnalysedChord& each = analysis_.chords[index];
    if (!each.reading || each.timed.held) return;
    if (on_spelling(each)) return;
    const Origin origin = each.reading->origin;
    if (origin == Origin::diatonic || origin == Origin::passing || !said_.insert(in_key(each)).second) return;
    const std::string symbol = to_string(*each.timed.chord);
    const std::string numeral = to_string(each.reading->numeral);
    switch (origin) {
      case Origin::applied:
        say("applied", each.timed.bar,
            fmt::format("{} is {}: it leads into the next chord like a dominant of its own.", symbol, numeral));
        break;
      case Origin::borrowed:
        say("borrowed", each.timed.bar, borrowed_text(each, symbol, numeral));
        break;
      case Origin::blues:
        say("blues", each.timed.bar,
            fmt::format("{} has the seventh of the blues: it colours and need not resolve.", symbol));
        break;
      case Origin::chromatic_third:
        say("colour", each.timed.bar,
            fmt::format("{} stands a third from home and outside the key: a bright change of light.", symbol));
        break;
      case Origin::chromatic:
        on_slip(each, symbol);
        break;
      case Origin::diatonic:
      case Origin::passing:
      case Origin::pedal:
        break;
    }
  }

  static std::string borrowed_text(const AnalysedChord& each, const std::string& symbol, const std::string& numeral) {
    const Mode mode = borrowed_from(*each.timed.chord, each.key).value_or(Mode::major);
    // More sharps or fewer flats than the key is brighter.
    const bool brighter = Key{each.key.tonic, mode}.signature() > each.key.signature();
    return fmt::format("{} ({}) is borrowed from {} {}: a {} colour.", symbol, numeral, to_string(each.key.tonic),
                       to_string(mode), brighter ? "brighter" : "darker");
  }

  /// A root that the key writes with another letter: A# in F major. Diminished chords lead upwards and keep theirs.
  bool on_spelling(const AnalysedChord& each) {
    const Chord& chord = *each.timed.chord;
    const Chord better = respelled(chord, each.key);
    if (better.root == chord.root) return false;
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

  void on_slip(const AnalysedChord& each, const std::string& symbol) {
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

  const Analysis& analysis_;
  std::vector<Remark> remarks_;
  std::set<ChordInKey> said_;
};

}  // namespace

std::vector<Remark> remarks_on(const Analysis& analysis) { return Commentator(analysis).comment(); }

}  // namespace romanesca
