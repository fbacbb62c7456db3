// A packet has the same content in words, on the page, on paper and as sound.
#include "cli/studio/packet.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>

#include "cli/errors.h"
#include "cli/formats/keyboard_text.h"
#include "cli/web/page_data.h"
#include "cli/web/page_engine.h"
#include "cli/web/page_sound.h"
#include "tests/cli/handout_folder.h"

namespace romanesca {
namespace {

using nlohmann::json;
using test::HandoutTest;
using test::Outcome;

Packet packet_of(const PacketRequest& request) {
  std::istringstream in;
  return value_or_throw(make_packet(request, {}, in));
}

/// The chart that a packet's page draws: the engine's answer to the page's request.
json page_chart(const Packet& packet) {
  PageEngine engine;
  const json request{{"do", "song"},
                     {"text", packet.text},
                     {"key", to_string(packet.placed.key)},
                     {"hands", hand_settings_json(packet.hand_settings)}};
  return json::parse(engine.answer(request.dump()));
}

std::string in_words(const json& hand) {
  std::string text;
  for (const json& note : hand) {
    text += (text.empty() ? "" : ", ") + note["note"].get<std::string>();
    if (note.contains("finger")) text += " finger " + note["finger"].dump();
  }
  return text;
}

/// At every level the page has the same notes and fingers for each chord as the words and the paper.
TEST(Packet, EveryLevelHasTheSameVoicingsEverywhere) {
  std::set<std::string> different;
  for (int level = 1; level <= 8; ++level) {
    for (const char* text : {"| C | Am | F | G7 |", "| Eb | Cm7 | Fm7 Bb7 | Eb/G |", "| F#m7b5 | B7 | Em | % |"}) {
      PacketRequest request;
      request.progression = text;
      request.level = level;
      const Packet packet = packet_of(request);
      const json chart = page_chart(packet);
      ASSERT_EQ(chart["chords"].size(), packet.hands.chords.size()) << text;
      std::string all;
      for (std::size_t i = 0; i < packet.hands.chords.size(); ++i) {
        const std::string left = in_words(chart["chords"][i]["left"]);
        const std::string right = in_words(chart["chords"][i]["right"]);
        const std::string page = (left.empty() ? "" : "left hand " + left) +
                                 (left.empty() || right.empty() ? "" : "; ") +
                                 (right.empty() ? "" : "right hand " + right);
        EXPECT_EQ(page, hands_in_words(packet.hands.chords[i])) << text << " at level " << level;
        all += page;
      }
      different.insert(all);
    }
  }
  EXPECT_GT(different.size(), 6U) << "levels do not differ: the comparison shows nothing";
}

TEST(HandSettingsJson, RoundTrip) {
  for (const VoicingKind voicing : all_voicing_kinds) {
    for (const LeftHand left : all_left_hands) {
      HandSettings settings{voicing, left, 7, 1, false};
      settings.one_place = settings.spare_doublings = settings.strict_spelling = true;
      const HandSettings back = read_hand_settings(hand_settings_json(settings));
      EXPECT_EQ(back.voicing, voicing);
      EXPECT_EQ(back.left, left);
      EXPECT_EQ(back.span, 7);
      EXPECT_EQ(back.most_inversion, 1);
      EXPECT_FALSE(back.loops);
      EXPECT_TRUE(back.one_place && back.spare_doublings && back.strict_spelling);
    }
  }
  const HandSettings odd = read_hand_settings({{"span", 99}, {"inversions", -1}, {"left", 3}, {"voicing", "drop"}});
  EXPECT_EQ(odd.span, widest_span);
  EXPECT_EQ(odd.most_inversion, 0);
  EXPECT_EQ(odd.voicing, VoicingKind::close);
  EXPECT_TRUE(read_hand_settings("none").loops);
}

PacketRequest ear_request() {
  PacketRequest request;
  request.exercise = "major-or-minor";
  request.key = "G";
  request.level = 3;
  return request;
}

TEST(Packet, AnEarExercisePlaysAndHidesItsChords) {
  const Packet packet = packet_of(ear_request());
  ASSERT_TRUE(packet.exercise);
  const json task = task_json(*packet.exercise);
  EXPECT_EQ(task["hidden"].size(), packet.placed.analysis.chords.size()) << "every chord is hidden";
  EXPECT_EQ(task["solution"].size(), task["hidden"].size());
  // The page requests the sound, and each note sounds at its time.
  PageEngine engine;
  json request = task["heard"];
  request["do"] = "heard";
  const json answer = json::parse(engine.answer(request.dump()));
  const PageSound sound = page_sound(engine.plan(), 24000);
  ASSERT_GE(static_cast<double>(sound.left.size()), answer["seconds"].get<double>() * 24000);
  const double quarter_s = 60 / task["heard"]["tempo"].get<double>();
  for (const json& note : task["heard"]["notes"]) {
    const auto from = static_cast<std::ptrdiff_t>((note[0].get<double>() / task_ticks + 0.1) * quarter_s * 24000);
    const auto first = sound.left.begin() + from;
    const float loudest = *std::max_element(first, first + 4000);
    EXPECT_GT(loudest, 0.02f) << "silence at " << note[0];
  }
  // With the answer all chords are shown.
  request = {{"do", "song"}, {"text", task["text"]}, {"key", to_string(packet.placed.key)}};
  const json whole = json::parse(engine.answer(request.dump()));
  for (const json& place : task["hidden"]) EXPECT_NE(whole["chords"][place.get<std::size_t>()]["symbol"], "N.C.");
}

TEST(Packet, AGivenTempoAppliesToTheExerciseToo) {
  PacketRequest request = ear_request();
  request.tempo_bpm = 47;
  const Packet packet = packet_of(request);
  EXPECT_EQ(packet.exercise->progression.tempo_bpm, 47);
  EXPECT_EQ(task_json(*packet.exercise)["heard"]["tempo"], 47);
}

TEST(Packet, AnExerciseThatShowsEverythingHasNoTask) {
  PacketRequest request;
  request.exercise = "few-notes";
  EXPECT_TRUE(task_json(*packet_of(request).exercise).is_null());
}

/// The data that a page's script reads.
json data_of(const std::string& html) {
  const std::size_t from = html.find('>', html.find("id=\"data\"")) + 1;
  return json::parse(html.substr(from, html.find("</script>", from) - from));
}

TEST_F(HandoutTest, AnEarExerciseIsWrittenInEveryFormat) {
  const std::vector<std::string> line{"--exercise", "major-or-minor", "--key",   "G",     "--level",
                                      "3",          "--audio",        path("s"), "--pdf", path("p.pdf")};
  ASSERT_EQ(handout(line).status, 0);
  EXPECT_TRUE(read(path("s/loop.flac")).starts_with("fLaC"));
  // The sound is that of the exercise, once through, whatever other files are made: not a loop with drums.
  ASSERT_EQ(handout({"--exercise", "major-or-minor", "--key", "G", "--level", "3", "--audio", path("t")}).status, 0);
  EXPECT_EQ(read(path("s/loop.flac")), read(path("t/loop.flac")));
  if (no_page()) GTEST_SKIP() << "no compiler for the page";
  ASSERT_EQ(handout({"--exercise", "major-or-minor", "--key", "G", "--level", "3", "--out", path("p.html")}).status, 0);
  const std::string html = read(path("p.html"));
  EXPECT_FALSE(has(html, "<li>bar 1: N.C.")) << "a hidden chord is not N.C.";
  EXPECT_TRUE(has(html, "<li>bar 1: an empty box: to be found"));
  EXPECT_FALSE(data_of(html)["task"]["heard"]["notes"].empty());
}

TEST_F(HandoutTest, ThePageHasVoicingsTempoAndTitle) {
  if (no_page()) GTEST_SKIP() << "no compiler for the page";
  const std::string song = write("song.txt", "title: Lantern <Walk>\ntempo: 84\n| C | Am |\n");
  ASSERT_EQ(handout({song, "--level", "1", "--tempo", "66", "--out", path("p.html")}).status, 0);
  const std::string html = read(path("p.html"));
  EXPECT_TRUE(has(html, "<p id=\"song\">Lantern &lt;Walk&gt;</p>"));
  const json data = data_of(html);
  EXPECT_EQ(data["tempo"], 66);
  EXPECT_EQ(read_hand_settings(data["hands"]).most_inversion, 0) << "level 1 plays root positions";
  ASSERT_EQ(handout({"--lesson", "--out", path("l.html")}).status, 0);
  EXPECT_EQ(data_of(read(path("l.html")))["levels"].size(), 8U);
}

TEST_F(HandoutTest, TwoStudentsOfOneNameAreSelectedById) {
  ASSERT_EQ(student({"add", "Mira", "--level", "3"}).status, 0);
  ASSERT_EQ(handout({"C G", "--student", "Mira", "--pdf", path("p.pdf")}).status, 0);
  ASSERT_EQ(student({"add", "Mira", "--level", "5"}).status, 0);
  const Outcome refused = handout({"C G", "--student", "Mira", "--pdf", path("q.pdf")});
  EXPECT_EQ(refused.status, 2);
  EXPECT_FALSE(std::filesystem::exists(path("q.pdf")));
  EXPECT_EQ(refused.err, student({"show", "Mira"}).err) << "the message of every other command";
  EXPECT_TRUE(has(refused.err, "2 students are called Mira")) << refused.err;
  EXPECT_TRUE(has(refused.err, "1 (level 3, since 2026-11-20), 2 (level 5, since 2026-11-20)")) << refused.err;
  EXPECT_EQ(handout({"C G", "--student", "2", "--pdf", path("q.pdf")}).status, 0);
  // A roster reports it with its line, and makes the other packets.
  const std::string roster = write("r.csv", "student,song\nMira,C G\nJon,C G\n");
  if (no_page()) GTEST_SKIP() << "no compiler for the page";
  const Outcome made = handout({"--roster", roster, "--out", path("all")});
  EXPECT_EQ(made.status, 2);
  EXPECT_TRUE(has(made.err, "r.csv:2: 2 students are called Mira; give the id of the one that you mean: 1 ("))
      << made.err;
  EXPECT_TRUE(std::filesystem::exists(path("all/Jon.html")));
}

}  // namespace
}  // namespace romanesca
