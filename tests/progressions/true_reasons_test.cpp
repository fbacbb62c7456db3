// Each sentence that states a fact is checked by another reader of the chords: over the whole library in twelve keys,
// once as it is and once with a chord changed.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <bit>
#include <map>
#include <regex>

#include "progressions/ideas.h"
#include "progressions/level.h"
#include "progressions/library.h"
#include "tests/sweep.h"
#include "theory/analysis/remarks.h"
#include "theory/chords/numeral_text.h"

namespace romanesca {
namespace {

/// Compiling an expression takes longer than using it.
const std::regex& compiled(const std::string& pattern) {
  static std::map<std::string, std::regex> known;
  const auto found = known.find(pattern);
  return found != known.end() ? found->second : known.emplace(pattern, std::regex(pattern)).first->second;
}

int rise(PitchClass from, PitchClass to) { return ((to.semitone() - from.semitone()) % 12 + 12) % 12; }

class FactChecker {
 public:
  FactChecker(const Analysis& analysis, std::map<std::string, int>& checked) : analysis_(analysis), checked_(checked) {}

  void check(const Remark& remark) {
    std::smatch m;
    const std::string& text = remark.text;
    const auto says = [&](const char* pattern) { return std::regex_search(text, m, compiled(pattern)); };
    if (says("^(\\S+) is \\S+: it leads to (\\S+) like") || says("^(\\S+) leads to (\\S+) like")) {
      leads(remark, m[1], m[2]);
    } else if (says("^(\\S+) stands for .*falls a semitone to ([^ ,.]+)")) {
      count("substitute");
      EXPECT_EQ(rise(chord(m[1]).root, chord(m[2]).root), 11) << text;
      EXPECT_TRUE(follow(remark.bar, m[1], m[2])) << text;
    } else if (says("^(\\S+) and (\\S+) are ii and V of ([A-G][#b]*)")) {
      count("two-five");
      EXPECT_EQ(rise(chord(m[1]).root, chord(m[2]).root), 5) << text;
      EXPECT_EQ(rise(chord(m[2]).root, chord(m[3]).root), 5) << text;
    } else if (says(": (.+) (?:is|are) outside the (?:key|scale)")) {
      outside(remark, m[1]);
    } else if (says("borrowed from (.+): a (brighter|darker) colour")) {
      borrowed(remark, m[1], m[2]);
    } else if (says("keeps ([A-G][#b]*), the root of the (\\S+)")) {
      count("common tone");
      EXPECT_EQ(chord(m[1]).root, chord(m[2]).root) << text;
    } else if (says("^From (\\S+) to (\\S+) (\\d) notes stay")) {
      count("line");
      EXPECT_EQ(std::popcount(chord(m[1]).sounding_tones() & chord(m[2]).sounding_tones()), std::stoi(m[3])) << text;
    } else if (says("can also be heard in (.+?)(?:: (.+?))?\\. End on")) {
      second_key(text, m[1], m[2]);
    } else if (says("belongs to both keys, (\\S+) in (.+) and (\\S+) in (.+)\\.")) {
      count("pivot");
    } else if (says("^The ending (?:closes with|goes from) (\\S+) to (\\S+) \\(")) {
      count("ending");
      EXPECT_EQ(to_string(sounding().back()->reading->numeral), m[2]) << text;
    } else if (says("^Bars? .*have? ([A-G]\\S*);")) {
      count("slip");
    }
  }

  void check(const Idea& idea) {
    std::smatch m;
    if (std::regex_search(idea.text, m, compiled("^(\\S+) for (\\S+): (two|three|four) of its notes stay"))) {
      count("idea: notes stay");
      const int said = m[3] == "two" ? 2 : m[3] == "three" ? 3 : 4;
      EXPECT_EQ(std::popcount(chord(m[1]).sounding_tones() & chord(m[2]).sounding_tones()), said) << idea.text;
    } else if (std::regex_search(idea.text, m,
                                 compiled("^(\\S+) for (\\S+): (\\S+) becomes (\\S+), a (\\w+) colour"))) {
      count("idea: third");
      EXPECT_TRUE(chord(m[2]).sounding_tones() >> chord(m[3]).root.semitone() & 1U) << idea.text;
      EXPECT_TRUE(chord(m[1]).sounding_tones() >> chord(m[4]).root.semitone() & 1U) << idea.text;
      EXPECT_EQ(rise(chord(m[3]).root, chord(m[4]).root), m[5] == "darker" ? 11 : 1) << idea.text;
    } else if (std::regex_search(idea.text, m, compiled("^(\\S+) \\((\\S+)\\) before (\\S+): a dominant of its own"))) {
      count("idea: applied dominant");
      EXPECT_EQ(rise(chord(m[1]).root, chord(m[3]).root), 5) << idea.text;
      EXPECT_NE(m[2].str().find('/'), std::string::npos) << idea.text;
    } else if (std::regex_search(
                   idea.text, m,
                   compiled("the bass (?:walks by step|climbs by semitones), (\\S+) (\\S+) ([^ .]+)\\."))) {
      count("idea: bass");
      for (const int at : {1, 2}) {
        const int step = rise(chord(m[at]).root, chord(m[at + 1]).root);
        EXPECT_TRUE(step <= 2 || step >= 10) << idea.text;
      }
      EXPECT_TRUE(std::any_of(idea.chords.begin(), idea.chords.end(), [&](const Chord& each) {
        return each.bass == chord(m[2]).root;
      })) << idea.text;
    } else if (std::regex_search(idea.text, m, compiled("^The bass stays on (\\S+) under all"))) {
      count("idea: pedal");
      for (const Chord& each : idea.chords) EXPECT_EQ(each.bass, chord(m[1]).root) << idea.text;
    } else if (std::regex_search(idea.text, m, compiled("^(\\S+) and (\\S+) for .*: ii and V of (\\S+), which"))) {
      count("idea: two-five");
      EXPECT_EQ(rise(chord(m[1]).root, chord(m[2]).root), 5) << idea.text;
      EXPECT_EQ(rise(chord(m[2]).root, chord(m[3]).root), 5) << idea.text;
    }
  }

 private:
  static Chord chord(const std::string& symbol) {
    const auto parsed = parse_chord(symbol);
    EXPECT_TRUE(parsed) << symbol;
    return parsed.value_or(Chord{});
  }
  void count(const std::string& what) { ++checked_[what]; }

  [[nodiscard]] std::vector<const AnalysedChord*> sounding() const {
    std::vector<const AnalysedChord*> result;
    for (const AnalysedChord& each : analysis_.chords) {
      if (each.reading) result.push_back(&each);
    }
    return result;
  }

  /// Whether one symbol is followed by the other, from a bar on, with nothing but its own root between.
  [[nodiscard]] bool follow(int bar, const std::string& first, const std::string& second) const {
    const auto chords = sounding();
    for (std::size_t i = 0; i < chords.size(); ++i) {
      if (chords[i]->timed.bar != bar || to_string(*chords[i]->timed.chord) != first) continue;
      for (std::size_t k = i + 1; k < chords.size(); ++k) {
        if (chords[k]->timed.chord->root == chords[i]->timed.chord->root) continue;
        if (to_string(*chords[k]->timed.chord) == second) return true;
        break;
      }
    }
    return false;
  }

  void leads(const Remark& remark, const std::string& from, const std::string& to) {
    count("leads to");
    const int step = rise(chord(from).root, chord(to).root);
    EXPECT_TRUE(step == 5 || (step == 1 && chord(from).type.is_diminished())) << remark.text;
    EXPECT_TRUE(follow(remark.bar, from, to)) << remark.text;
  }

  void outside(const Remark& remark, const std::string& names) {
    count("outside");
    const Key& key = analysis_.keys.by_bar[static_cast<std::size_t>(remark.bar - 1)];
    const std::regex& note = compiled("[A-G][#b]*(?![a-z])");
    for (auto it = std::sregex_iterator(names.begin(), names.end(), note); it != std::sregex_iterator(); ++it) {
      EXPECT_FALSE(key.sounding_tones() >> chord(it->str()).root.semitone() & 1U) << remark.text;
    }
  }

  void borrowed(const Remark& remark, const std::string& from, const std::string& how) {
    count("borrowed");
    const auto text = parse_key(from);
    ASSERT_TRUE(text && text->mode) << remark.text;
    const Key source{text->tonic, *text->mode};
    const Key& key = analysis_.keys.by_bar[static_cast<std::size_t>(remark.bar - 1)];
    const Chord heard = chord(remark.text.substr(0, remark.text.find(' ')));
    EXPECT_EQ(heard.sounding_tones() & ~source.sounding_tones(), 0U) << remark.text;
    EXPECT_EQ(source.signature() > key.signature(), how == "brighter") << remark.text;
  }

  void second_key(const std::string& text, const std::string& name, const std::string& reason) {
    count("second key");
    const auto read = parse_key(name);
    ASSERT_TRUE(read && read->mode) << text;
    const Key other{read->tonic, *read->mode};
    const auto chords = sounding();
    if (reason.starts_with("it begins on")) {
      EXPECT_TRUE(chords.front()->timed.chord->root.sounds_like(other.tonic)) << text;
    } else if (reason.starts_with("it ends on")) {
      EXPECT_TRUE(chords.back()->timed.chord->root.sounds_like(other.tonic)) << text;
    } else if (reason.starts_with("its scale")) {
      for (const AnalysedChord* each : chords) {
        EXPECT_EQ(each->timed.chord->sounding_tones() & ~other.sounding_tones(), 0U) << text;
      }
    }
  }

  const Analysis& analysis_;
  std::map<std::string, int>& checked_;
};

TEST(Reasons, AreTrueOverTheLibrary) {
  std::map<std::string, int> checked;
  std::size_t turn = 0;
  const std::vector<int> tonics{-6, -5, -4, -3, -2, -1, 0, 1, 2, 3, 4, 5};
  for (const Pattern& pattern : library()) {
    for (const int fifths : test::tried(tonics, turn++)) {
      const Key key{PitchClass(fifths), pattern.mode};
      if (!key.can_be_written()) continue;
      Progression chords = realised(pattern.progression, key);
      for (const bool changed : {false, true}) {
        if (changed) {
          std::size_t place = 0;
          chords = with_chords(chords, [&](auto content) {
            if (auto* chord = std::get_if<Chord>(&content); chord != nullptr && ++place % 5 == 3) {
              chord->type = chord->type.is_minor() ? chord_types::dominant_seventh : chord_types::minor;
            }
            return content;
          });
        }
        for (const bool stated : {false, true}) {
          if (!stated) chords.key.reset();
          const Analysis analysis =
              analyse(chords, stated ? std::optional(KeyText{key.tonic, key.mode}) : std::nullopt);
          FactChecker checker(analysis, checked);
          for (const Remark& remark : remarks_on(analysis)) checker.check(remark);
          for (const Idea& idea : ideas_for(analysis, level(7), pattern.id + std::to_string(fifths)))
            checker.check(idea);
        }
      }
    }
  }
  for (const char* fact : {"leads to", "borrowed", "second key", "ending", "idea: notes stay", "idea: third", "outside",
                           "idea: applied dominant", "idea: bass", "idea: pedal"}) {
    EXPECT_GT(checked[fact], 10) << fact;
  }
}

}  // namespace
}  // namespace romanesca
