#include "cli/web/page_tune.h"

#include <gtest/gtest.h>

#include "cli/web/page_engine.h"
#include "theory/songs/progression_writer.h"
#include "theory/songs/song_reading.h"
#include "theory/songs/song_tune.h"

namespace romanesca {
namespace {

using json = nlohmann::json;

/// Invented for these tests: an upbeat, a tie over a bar line, a triplet, syllables that are held and joined.
constexpr const char* harbour =
    "title: Harbour\nkey: Bb\n\n| Bb | Eb F | Bb |\n"
    "tune: F2 | B2 c2 d4- | d2 (3cBA B2 A2 | B6 z2 |\nwords: A long, long_ wind-ing_ har-bour wall\n";

Progression sung_song(const char* text) {
  auto song = read_song(text, "song");
  EXPECT_TRUE(song) << song.error().message;
  return song->progression;
}

json asked(const json& request) {
  PageEngine engine;
  return json::parse(engine.answer(request.dump()));
}

TEST(PageTune, APacketsTuneIsReadBackTheSame) {
  const Tune tune = tune_of(sung_song(harbour), Key{});
  EXPECT_EQ(read_tune_json(tune_json(tune)), tune);
}

TEST(PageTune, PutIntoAPlainSongItIsTheSameTune) {
  const Progression song = sung_song(harbour);
  const Tune tune = tune_of(song, Key{});
  Progression plain = without_tune(song);
  ASSERT_FALSE(has_tune(plain));
  put_tune(plain, tune);
  EXPECT_EQ(tune_of(plain, Key{}), tune);
}

TEST(PageTune, WhatIsNoTuneIsLeftOut) {
  const auto read = [](const char* text) { return read_tune_json(json::parse(text)).notes.size(); };
  EXPECT_EQ(read("[]"), 0U);
  EXPECT_EQ(read("7"), 0U);
  EXPECT_EQ(read(R"([[0,960,"G4"],[480,960,"A4"],[960,0,"A4"],[960,10,"Q4"],[960],"x",[960,960,"A4"]])"), 2U);
  EXPECT_EQ(read(R"([[1e300,1e300,"G4"]])"), 1U);
}

TEST(PageTune, EachTimeRoundAnotherVerse) {
  const std::string song = std::string(harbour) + "words: Gulls cry, far_ o-ver_ mast and sail\n";
  const auto words = [&](int verse) {
    const json answer =
        asked({{"do", "tune"}, {"text", song}, {"key", ""}, {"first", 1}, {"bars", 3}, {"verse", verse}});
    EXPECT_EQ(answer["verses"], 2) << answer;
    std::string sung;
    for (const json& word : answer["words"]) sung += word["text"].get<std::string>() + (word["joined"] ? "-" : " ");
    return sung;
  };
  EXPECT_EQ(words(1), "A long, long wind-ing har-bour wall ");
  EXPECT_EQ(words(2), "Gulls cry, far o-ver mast and sail ");
  EXPECT_EQ(words(3), words(1));
}

TEST(PageTune, SomeBarsOnAStaffWithTheirWords) {
  const json answer = asked({{"do", "tune"}, {"text", harbour}, {"key", ""}, {"first", 1}, {"bars", 2}});
  EXPECT_TRUE(answer["svg"].get<std::string>().starts_with("<svg")) << answer;
  std::string words;
  for (const json& word : answer["words"]) words += word["text"].get<std::string>() + (word["joined"] ? "-" : " ");
  EXPECT_EQ(words, "A long, long wind-ing har-bour ");
  ASSERT_GE(answer["notes"].size(), 8U);
  EXPECT_EQ(answer["notes"][0]["bar"], 0);
  double x = -1;
  for (const json& note : answer["notes"]) {
    EXPECT_GT(note["x"].get<double>(), x);
    x = note["x"].get<double>();
  }
  EXPECT_LT(x, answer["width"].get<double>());
  const json none = asked({{"do", "tune"}, {"text", "| C | F |"}, {"first", 1}});
  EXPECT_EQ(none["svg"], "");
  const json beyond = asked({{"do", "tune"}, {"text", harbour}, {"first", 1e12}, {"bars", -4}});
  EXPECT_TRUE(beyond["svg"].get<std::string>().starts_with("<svg"));
}

TEST(PageTune, TheTuneIsAPartThatRestsUntilItIsAskedFor) {
  const json form = asked({{"do", "form"}, {"text", harbour}, {"style", "pop"}});
  bool found = false;
  for (const json& part : form["parts"]) {
    if (part["name"] != "tune") continue;
    found = true;
    EXPECT_TRUE(part["out"].get<bool>());
  }
  EXPECT_TRUE(found) << form;
}

}  // namespace
}  // namespace romanesca
