#include "theory/remarks.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "theory/numeral_text.h"

namespace romanesca {
namespace {

class Commentator {
 public:
  explicit Commentator(const Analysis& analysis) : analysis_(analysis) {}

  std::vector<Remark> comment() {
    on_key();
    on_bass();
    on_cadences();
    for (std::size_t i = 0; i < analysis_.chords.size(); ++i) on_chord(i);
    std::stable_sort(remarks_.begin(), remarks_.end(), [](const Remark& a, const Remark& b) { return a.bar < b.bar; });
    return std::move(remarks_);
  }

 private:
  void say(std::string kind, int bar, std::string text) { remarks_.push_back({std::move(kind), bar, std::move(text)}); }

  void on_key() {
    const KeyReading& keys = analysis_.keys;
    if (!keys.alternatives.empty() && keys.alternatives.front().confidence > 0.15) {
      say("key", 0,
          fmt::format(
              "These chords can also be heard in {}: try ending on its tonic and listen which one feels like home.",
              to_string(keys.alternatives.front().key)));
    }
    for (std::size_t bar = 1; bar < keys.by_bar.size(); ++bar) {
      if (keys.by_bar[bar] == keys.by_bar[bar - 1]) continue;
      say("key", static_cast<int>(bar) + 1,
          fmt::format("The music moves to {} about here.", to_string(keys.by_bar[bar])));
    }
  }

  /// The longest run of four or more bass notes that go one way by steps.
  void on_bass() {
    std::size_t best_start = 0;
    std::size_t best_length = 0;
    std::size_t start = 0;
    int direction = 0;
    const auto& chords = analysis_.chords;
    for (std::size_t i = 1; i < chords.size(); ++i) {
      const int step = bass_step(chords[i - 1].timed, chords[i].timed);
      if (step == 0 || (direction != 0 && step != direction)) start = step == 0 ? i : i - 1;
      direction = step;
      if (step != 0 && i - start + 1 > best_length) {
        best_length = i - start + 1;
        best_start = start;
      }
    }
    if (best_length < 4) return;
    const bool falls = bass_step(chords[best_start].timed, chords[best_start + 1].timed) < 0;
    say("bass", chords[best_start].timed.bar,
        fmt::format("The bass {} by step, {} to {}: a line that can be sung.", falls ? "falls" : "climbs",
                    to_string(chords[best_start].timed.chord->bass),
                    to_string(chords[best_start + best_length - 1].timed.chord->bass)));
  }

  /// -1 or 1 for a step down or up in the bass, 0 for anything else.
  static int bass_step(const TimedChord& from, const TimedChord& to) {
    if (!from.chord || !to.chord) return 0;
    const int up = ((to.chord->bass.semitone() - from.chord->bass.semitone()) % 12 + 12) % 12;
    return up == 1 || up == 2 ? 1 : up >= 10 ? -1 : 0;
  }

  void on_cadences() {
    if (analysis_.cadences.empty()) return;
    const Cadence& last = analysis_.cadences.back();
    const bool closes = last.bar >= analysis_.timeline.bars - 1;
    if (last.kind == CadenceKind::authentic && closes) {
      say("cadence", last.bar, "The ending closes with V to I: it sounds finished.");
    } else if (last.kind == CadenceKind::plagal && closes) {
      say("cadence", last.bar, "The ending settles softly on I without its dominant.");
    } else if (last.kind == CadenceKind::half && closes) {
      say("cadence", last.bar, "The ending stops on V: it asks to go round again. For a last time add I.");
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
    const std::string symbol = to_string(*each.timed.chord);
    if (on_spelling(each, symbol)) return;
    if (!said_.insert(symbol + to_string(each.key)).second) return;
    const std::string numeral = to_string(each.reading->numeral);
    switch (each.reading->origin) {
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
        break;
    }
  }

  static std::string borrowed_text(const AnalysedChord& each, const std::string& symbol, const std::string& numeral) {
    const bool from_minor = !is_minorish(each.key.mode);
    return fmt::format("{} ({}) is borrowed from {} {}: {} colour.", symbol, numeral, to_string(each.key.tonic),
                       from_minor ? "minor or a neighbouring mode" : "major or a neighbouring mode",
                       from_minor ? "a darker" : "a brighter");
  }

  /// A root that sounds in the key under another letter: A# in F major.
  bool on_spelling(const AnalysedChord& each, const std::string& symbol) {
    const Chord& chord = *each.timed.chord;
    for (const PitchClass note : each.key.scale()) {
      if (!note.sounds_like(chord.root) || note == chord.root) continue;
      const Interval turn{note.fifths() - chord.root.fifths(), 0};
      const Chord better{chord.root + turn, chord.type, chord.bass + turn};
      if (said_.insert("spelling " + symbol).second) {
        say("spelling", each.timed.bar,
            fmt::format("In {} write {} for {}: the same keys on the piano, and the letters follow the scale.",
                        to_string(each.key), to_string(better), symbol));
      }
      return true;
    }
    return false;
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

  const Analysis& analysis_;
  std::vector<Remark> remarks_;
  std::set<std::string> said_;
};

}  // namespace

std::vector<Remark> remarks_on(const Analysis& analysis) { return Commentator(analysis).comment(); }

}  // namespace romanesca
