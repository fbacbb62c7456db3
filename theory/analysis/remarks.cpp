#include "theory/analysis/remarks.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <set>
#include <tuple>

#include "theory/analysis/key_remarks.h"
#include "theory/analysis/line_remarks.h"
#include "theory/chords/chord_naming.h"
#include "theory/chords/numeral_text.h"

namespace romanesca {
namespace {

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

  /// A chord in a key, to be spoken of once.
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
