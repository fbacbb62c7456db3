#include "synth/arranging/style.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "synth/sound/instrument.h"

namespace romanesca {
namespace {

TEST(Styles, EveryFileIsValid) {
  EXPECT_EQ(styles().size(), style_texts().size());
  for (const EmbeddedText& file : style_texts()) {
    const auto style = read_style(file);
    ASSERT_TRUE(style) << file.name << ":" << style.error().place.line << ": " << style.error().message;
    EXPECT_FALSE(style->feel.empty());
    EXPECT_LE(style->feel.size(), 34U) << file.name;
    EXPECT_LT(style->slowest_bpm, style->usual_bpm);
    EXPECT_LT(style->usual_bpm, style->fastest_bpm);
  }
  for (const char* id : {"pop", "ballad", "waltz", "six-eight-ballad", "shuffle"})
    EXPECT_NE(style_named(id), nullptr) << id;
  for (const Meter& meter : all_meters) EXPECT_EQ(usual_style(meter).meter, meter);
}

TEST(Styles, CoverWhatTeachersPlay) {
  EXPECT_GE(styles().size(), 16U);
  std::set<std::string> meters;
  double slowest = 400;
  double fastest = 0;
  bool swings = false;
  for (const Style& style : styles()) {
    meters.insert(to_string(style.meter));
    slowest = std::min(slowest, style.slowest_bpm);
    fastest = std::max(fastest, style.fastest_bpm);
    swings = swings || style.swing_percent > 60;
  }
  EXPECT_EQ(meters.size(), all_meters.size());
  EXPECT_LE(slowest, 50);
  EXPECT_GE(fastest, 180);
  EXPECT_TRUE(swings);
}

/// The student's part is left out, so another one must play the chords, in every section.
TEST(Styles, PlayTheChordsWithoutTheKeys) {
  for (const Style& style : styles()) {
    for (const Intensity intensity : {Intensity::soft, Intensity::medium, Intensity::full}) {
      for (const bool leads_on : {false, true}) {
        EXPECT_TRUE(std::any_of(style.parts.begin(), style.parts.end(), [&](const StylePart& part) {
          const bool plays_chords = part.role == StyleRole::chords || part.role == StyleRole::guitar;
          return plays_chords && part.name != students_part && !part.pattern(intensity, leads_on).empty();
        })) << style.id;
      }
    }
  }
}

TEST(Styles, ErrorsHaveAPosition) {
  const auto bad = [](const std::string& text) {
    const auto style = read_style({"bad", text});
    EXPECT_FALSE(style) << text;
    return style ? "" : std::to_string(style.error().place.line) + ": " + style.error().message;
  };
  const std::string head = "meter = \"4/4\"\nsteps_per_beat = 1\ntempo = [60, 70, 80]\n";
  EXPECT_EQ(bad(head + "[bass]\nplay = \"R--\"\n"), "5: 3 steps do not fill whole bars of 4");
  EXPECT_EQ(bad(head + "[bass]\nplay = \"R--Q\"\n"), "5: unknown sign \"Q\" for bass");
  EXPECT_EQ(bad(head + "[bass]\nplay = \"-R--\"\n"), "5: a row must begin with a stroke or a rest, not with -");
  EXPECT_EQ(bad(head + "[drums]\ngong = \"x...\"\n"), "5: unknown drum \"gong\"");
  EXPECT_EQ(bad(head + "[drums.fill]\ngong = \"x...\"\n"), "5: unknown drum \"gong\"");
  EXPECT_EQ(bad(head + "[horns]\nplay = \"x...\"\n"), "4: unknown part \"horns\"");
  EXPECT_EQ(bad(head + "[pad]\nvoicing = \"wide\"\nplay = \"x...\"\n"), "4: unknown voicing \"wide\"");
  EXPECT_EQ(bad(head + "swing = 90\n[bass]\nplay = \"R--R\"\n"), "1: swing must be 50 to 75");
  EXPECT_EQ(bad(head), "1: the style has no part");
  EXPECT_EQ(bad("meter = \"4/4\"\nsteps_per_beat = 1\ntempo = [80, 70, 60]\n"),
            "3: tempo must rise from slowest to fastest, between 20 and 400");
  EXPECT_EQ(bad("meter = \"7/8\"\n"), "1: meter is missing or unknown");
  EXPECT_EQ(bad(head + "[bass]\nplay = \"R---\"\n"), "4: bass has no instrument");
  EXPECT_EQ(bad(head + "[bass]\nplay = [\"R---\", \"R---R---\"]\n"),
            "5: all ways of a row must be as long as the first");
  EXPECT_EQ(bad(head + "[bass]\nplay = []\n"), "5: a row needs at least one way");
  EXPECT_EQ(bad(head + "[bass]\nlean_ms = 40\nplay = \"R---\"\n"), "4: lean_ms must be -30 to 30");
  EXPECT_EQ(bad(head + "intro = \"flute\"\n[bass]\nplay = \"R---\"\n"), "4: intro must be band or drums");
  EXPECT_EQ(bad(head + "fills = \"loud\"\n[bass]\nplay = \"R---\"\n"), "4: unknown fills \"loud\"");
  EXPECT_EQ(bad(head + "[drums]\ninstrument = \"drum-kit\"\n[drums.fill]\nkick = \"x... x...\"\n"),
            "6: a row of a fill is one bar long, and has no other ways");
  EXPECT_EQ(bad(head + "[bass]\ninstrument = \"tuba\"\nplay = \"R---\"\n"), "5: unknown instrument \"tuba\"");
}

TEST(Styles, FaultsHaveAHint) {
  const auto hint = [](const std::string& part) {
    const std::string text = "meter = \"4/4\"\nsteps_per_beat = 1\ntempo = [60, 70, 80]\n" + part;
    return read_style({"bad", text}).error().hint;
  };
  EXPECT_EQ(hint("[drums]\nrde = \"x...\"\n"), "did you mean ride?");
  EXPECT_EQ(hint("[bas]\nplay = \"R---\"\n"), "did you mean bass?");
  EXPECT_EQ(hint("[trombones]\nplay = \"x...\"\n"),
            "choose drums, percussion, bass, keys, organ, guitar, pad, strings");
}

TEST(Styles, PatternsByIntensityAndFill) {
  const auto style =
      read_style({"s",
                  "meter = \"4/4\"\nsteps_per_beat = 1\ntempo = [60, 70, 80]\n[drums]\ninstrument = \"drum-kit\"\nkick "
                  "= \"x...\"\n"
                  "[drums.fill]\nsnare = \"xxxx\"\n[pad]\ninstrument = \"pad\"\nplay = \"x---\"\nsoft = \"tacet\"\n"});
  ASSERT_TRUE(style) << style.error().message;
  const StylePart& drums = style->parts[0];
  EXPECT_EQ(drums.pattern(Intensity::medium, false).front().drum, 36);
  ASSERT_EQ(drums.fills.size(), 1U);
  EXPECT_EQ(drums.fills.front().pulses, 4);
  EXPECT_EQ(drums.fills.front().rows.front().drum, 38);
  EXPECT_TRUE(style->parts[1].pattern(Intensity::soft, false).empty());
  EXPECT_FALSE(style->parts[1].pattern(Intensity::full, false).empty());
}

}  // namespace
}  // namespace romanesca
