// Handouts: packets, the lesson page, rosters; and the engine of the page.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "cli/errors.h"
#include "cli/formats/html_text.h"
#include "cli/studio/name_for_file.h"
#include "cli/studio/process_pool.h"
#include "cli/studio/roster.h"
#include "cli/web/page_engine.h"
#include "cli/web/page_sound.h"
#include "cli/web/plan_bytes.h"
#include "tests/cli/handout_folder.h"
#include "theory/text/errors.h"

namespace romanesca {
namespace {

using test::HandoutTest;
using test::Outcome;
namespace fs = std::filesystem;

TEST_F(HandoutTest, APacketHasTextsChordsAndPlayer) {
  if (no_page()) GTEST_SKIP() << "no compiler for the page";
  const std::string page = path("p.html");
  const Outcome made = handout({"| C | Am |", "--student", "Mira", "--greeting", "Slowly.\nWith joy.", "--day",
                                "Monday: right hand", "--day", "Friday: both", "--out", page});
  ASSERT_EQ(made.status, 0) << made.err;
  const std::string html = read(page);
  for (const char* part :
       {"<title>For Mira</title>", "<p>Slowly.</p>", "<p>With joy.</p>", "<li>Monday: right hand</li>",
        "<li>Friday: both</li>", "bar 2: Am: left hand A", "default-src 'none'", "\"key\":\"C major\""}) {
    EXPECT_TRUE(has(html, part)) << part;
  }
  EXPECT_LT(html.size(), 600'000U);
  ASSERT_EQ(handout({"| C | Am |", "--student", "Mira", "--greeting", "Slowly.\nWith joy.", "--day",
                     "Monday: right hand", "--day", "Friday: both", "--out", path("q.html")})
                .status,
            0);
  EXPECT_EQ(html, read(path("q.html"))) << "the same input makes the same bytes";
}

TEST_F(HandoutTest, APacketHearsAPianoWhereThatIsAskedFor) {
  if (no_page()) GTEST_SKIP() << "no compiler for the page";
  ASSERT_EQ(handout({"| C | Am |", "--out", path("p.html")}).status, 0);
  EXPECT_FALSE(has(read(path("p.html")), "<script id=\"hearing\""));
  ASSERT_EQ(handout({"| C | Am |", "--microphone", "--out", path("q.html")}).status, 0);
  EXPECT_TRUE(has(read(path("q.html")), "<script id=\"hearing\""));
}

/// No user's text becomes markup: student's name, greeting, day, song title or section.
TEST_F(HandoutTest, MarkupInTextsIsEscaped) {
  if (no_page()) GTEST_SKIP() << "no compiler for the page";
  const std::string markup = "</title></script><script>alert(1)</script><img src=x onerror=alert(1)> & \"Co\" 'x'";
  const std::string song = write("song.txt", "title: " + markup + "\n\n[" + markup + "]\n| C | G |\n");
  ASSERT_EQ(handout({song, "--student", markup, "--greeting", markup, "--day", markup, "--out", path("p.html")}).status,
            0);
  const std::string html = read(path("p.html"));
  EXPECT_FALSE(has(html, "<script>alert"));
  EXPECT_FALSE(has(html, "<img"));
  std::size_t scripts = 0;
  for (std::size_t at = html.find("</script"); at != std::string::npos; at = html.find("</script", at + 1)) ++scripts;
  EXPECT_EQ(scripts, 7U) << "data, worker, two modules, style, script, and what unpacks them";
}

TEST_F(HandoutTest, TheLessonPageHasTheLessonTools) {
  if (no_page()) GTEST_SKIP() << "no compiler for the page";
  ASSERT_EQ(handout({"--lesson", "--out", path("l.html")}).status, 0);
  const std::string html = read(path("l.html"));
  EXPECT_LT(html.size(), 1'000'000U);
  EXPECT_TRUE(has(html, "id=\"lesson\""));
}

TEST_F(HandoutTest, TheAcceptedExerciseGoesIntoThePacket) {
  if (no_page()) GTEST_SKIP() << "no compiler for the page";
  ASSERT_EQ(student({"add", "Mira", "--level", "3", "--keys", "G"}).status, 0);
  ASSERT_EQ(student({"note", "Mira", "left hand was good"}).status, 0);
  EXPECT_EQ(handout({"--student", "Mira", "--out", path("p.html")}).status, 2) << "nothing is chosen yet";
  ASSERT_EQ(student({"next", "Mira", "--accept", "B"}).status, 0);
  const Outcome made = handout({"--student", "Mira", "--missed", "--pdf", path("p.pdf"), "--out", path("p.html")});
  ASSERT_EQ(made.status, 0) << made.err;
  const std::string html = read(path("p.html"));
  EXPECT_TRUE(has(html, "While you were away"));
  EXPECT_TRUE(has(html, "Last time: left hand was good."));
  EXPECT_TRUE(has(html, "Planned: "));
  EXPECT_TRUE(read(path("p.pdf")).starts_with("%PDF"));
}

TEST_F(HandoutTest, PaperAndSoundWithoutAPage) {
  const Outcome made = handout({"I vi IV V", "--key", "Eb", "--pdf", path("p.pdf"), "--audio", path("sound")});
  ASSERT_EQ(made.status, 0) << made.err;
  EXPECT_TRUE(read(path("sound/loop.flac")).starts_with("fLaC"));
  EXPECT_FALSE(has(made.out, ".html")) << made.out;
}

TEST_F(HandoutTest, ARosterMakesAllPacketsAndContinuesAfterAStop) {
  if (no_page()) GTEST_SKIP() << "no compiler for the page";
  const std::string roster =
      write("r.csv", "student,song,key,level\nMira,I vi IV V,Eb,3\n\"Jon, B.\",doo-wop,G,2\nMira,C Am F G,,1\n");
  const Outcome made = handout({"--roster", roster, "--out", path("all"), "--jobs", "2"});
  ASSERT_EQ(made.status, 0) << made.err;
  EXPECT_TRUE(has(made.out, "3 packets made"));
  for (const char* name : {"Mira.html", "Jon-B.html", "Mira-2.html"}) EXPECT_TRUE(fs::exists(folder / "all" / name));
  const std::string before = read(path("all/Mira.html"));
  fs::remove(folder / "all" / "Mira.html");
  EXPECT_TRUE(has(handout({"--roster", roster, "--out", path("all")}).out, "1 packet made, 2 were there already"));
  EXPECT_EQ(read(path("all/Mira.html")), before);
  // All shards together make all packets.
  ASSERT_EQ(handout({"--roster", roster, "--out", path("parts"), "--shard", "1/2"}).status, 0);
  ASSERT_EQ(handout({"--roster", roster, "--out", path("parts"), "--shard", "2/2"}).status, 0);
  EXPECT_EQ(read(path("parts/Mira-2.html")), read(path("all/Mira-2.html")));
}

TEST(Roster, EachLineHasItsOwnFile) {
  const auto lines = value_or_throw(read_roster_text("student\nA\nA\nA 2\nA-2\n...\n", "r.csv"));
  std::vector<std::string> files;
  for (const RosterLine& line : lines) files.push_back(line.file);
  EXPECT_EQ(files, (std::vector<std::string>{"A", "A-2", "A-2-2", "A-2-3", "student"}));
}

TEST(NameForFile, IsCutBetweenCharacters) {
  EXPECT_EQ(name_for_file("  Lantern Walk (slow)!"), "Lantern-Walk-slow");
  EXPECT_EQ(name_for_file("../.."), "");
  std::string song = "a";
  for (int i = 0; i < 60; ++i) song += "Ж";
  EXPECT_EQ(name_for_file(song).size(), 99U) << "one letter of one byte and 49 of two";
  EXPECT_EQ(name_for_file(std::string(120, '\x8C')), "") << "not UTF-8; found by the fuzzer";
}

TEST_F(HandoutTest, OneWrongLineDoesNotStopTheOthers) {
  if (no_page()) GTEST_SKIP() << "no compiler for the page";
  const std::string roster = write("r.csv", "student,song\nMira,C Jm7\nJon,C G\n");
  const Outcome made = handout({"--roster", roster, "--out", path("all"), "--jobs", "2"});
  EXPECT_EQ(made.status, 2);
  EXPECT_TRUE(has(made.out, "1 packet made"));
  EXPECT_TRUE(has(made.err, "r.csv:2: unknown chord \"Jm7\"")) << made.err;
  EXPECT_TRUE(fs::exists(folder / "all" / "Jon.html"));
}

TEST_F(HandoutTest, AFaultyRosterIsReportedWithItsPlace) {
  for (const auto& [text, message] : std::vector<std::pair<std::string, std::string>>{
           {"", ":1: the roster is empty"},
           {"name,song\nMira,C\n", "unknown column \"name\""},
           {"song\nC\n", "there is no column student"},
           {"student,level\nMira,three\n", ":2: level: \"three\" is not a number"},
           {"student,level\nMira,0\n", ":2: level: 0 is out of range"},
           {"student,tempo\nMira,0\n", ":2: tempo: 0 is out of range"},
           {"student,song\nMira,C,G\n", ":2: there are more fields than columns"},
           {"student\n\"Mira\n", "a quote is opened and never closed"},
           {"student,song\n,C\n", ":2: the student has no name"}}) {
    const auto read = read_roster(write("r.csv", text));
    ASSERT_FALSE(read) << text;
    const TextError& error = read.error().error();
    EXPECT_TRUE(has(error.message, message)) << error.message;
    EXPECT_FALSE(error.hint.empty());
  }
  const auto lines = value_or_throw(
      read_roster(write("r.csv", "\xEF\xBB\xBFStudent,greeting\r\nMira,\"Two\nlines, \"\"quoted\"\"\"\r\n")));
  ASSERT_EQ(lines.size(), 1U);
  EXPECT_EQ(lines[0].request.greeting, "Two\nlines, \"quoted\"");
  for (const char* text : {"student;song;tempo\nMira;\"C;F\";90\n", "student\tsong\ttempo\nMira\tC;F\t90\n"}) {
    const auto split = value_or_throw(read_roster(write("r.csv", text)));
    ASSERT_EQ(split.size(), 1U);
    EXPECT_EQ(split[0].request.progression, "C;F");
    EXPECT_EQ(split[0].request.tempo_bpm, 90);
  }
}

TEST_F(HandoutTest, EmptyFieldsAreTakenFromTheCommandLine) {
  if (no_page()) GTEST_SKIP() << "no compiler for the page";
  const std::string roster = write("r.csv", "student,key,tempo,seed\nMira,,,\nJon,G,80,1\n");
  const Outcome made = handout({"--roster", roster, "I vi IV V", "--exercise", "few-notes", "--seed", "7", "--key",
                                "Eb", "--tempo", "66", "--out", path("all")});
  ASSERT_EQ(made.status, 0) << made.err;
  EXPECT_EQ(made.out, "2 packets made, in " + path("all") + "\n");
  const auto same = [&](const char* name, const std::vector<std::string>& more) {
    std::vector<std::string> arguments{"I vi IV V", "--exercise", "few-notes",     "--student",
                                       name,        "--out",      path("one.html")};
    arguments.insert(arguments.end(), more.begin(), more.end());
    ASSERT_EQ(handout(arguments).status, 0);
    EXPECT_TRUE(read(path("one.html")) == read(path("all/" + std::string(name) + ".html"))) << name;
  };
  same("Mira", {"--key", "Eb", "--tempo", "66", "--seed", "7"});
  same("Jon", {"--key", "G", "--tempo", "80", "--seed", "1"});
}

TEST_F(HandoutTest, AFolderThatCannotBeCreatedIsReported) {
  const std::string file = write("file", "");
  for (const auto& arguments : std::vector<std::vector<std::string>>{
           {"C G", "--audio", file + "/sound"}, {"--roster", write("r.csv", "student\nA\n"), "--out", file + "/all"}}) {
    const Outcome outcome = handout(arguments);
    EXPECT_EQ(outcome.status, 3);
    EXPECT_TRUE(has(outcome.err, "cannot make the folder " + file)) << outcome.err;
  }
}

TEST_F(HandoutTest, ConflictingOptionsAreReported) {
  for (const auto& [arguments, message] : std::vector<std::pair<std::vector<std::string>, std::string>>{
           {{}, "handout needs chords or an exercise"},
           {{"C G", "--jobs", "2"}, "are for a roster"},
           {{"--roster", "r.csv"}, "name a folder for them with --out"},
           {{"--roster", "r.csv", "--out", "all", "--student", "Mira"}, "the students are those of the roster"},
           {{"--lesson", "--student", "Mira"}, "--lesson goes with chords"},
           {{"C G", "--missed"}, "it has no such student"},
           {{"C G", "--tempo", "5"}, "choose 20 to 400"},
           {{"--exercise", "few-note"}, "few-note"},
           {{"C G", "--style", "walz"}, "did you mean waltz?"},
           {{"C G", "--style", "waltz"}, "the style waltz is in 3/4, the song in 4/4"},
           {{"C G", "--level", "9"}, "levels are 1 to 8"},
           {{"C G", "--out", "x.pdf"}, "end the name in .html"}}) {
    const Outcome outcome = handout(arguments);
    EXPECT_EQ(outcome.status, 2) << message;
    EXPECT_TRUE(has(outcome.err, message)) << outcome.err;
  }
}

TEST(ProcessPool, EveryItemIsDoneOnce) {
  for (const int jobs : {1, 2, 5}) {
    std::vector<int> times(100);
    const auto whole = run_in_processes(
        times.size(), jobs,
        [](std::size_t i) {
          return ItemReport{i, static_cast<int>(i % 7), std::string(i * 100, 'x')};
        },
        [&](const ItemReport& report) {
          ++times[report.item];
          EXPECT_EQ(report.outcome, static_cast<int>(report.item % 7));
          EXPECT_EQ(report.text, std::string(report.item * 100, 'x'));
        });
    EXPECT_TRUE(whole && *whole);
    EXPECT_EQ(times, std::vector<int>(100, 1)) << jobs;
  }
}

TEST(ProcessPool, AWorkerThatDiesIsReported) {
  const auto whole = run_in_processes(
      8, 2,
      [](std::size_t i) {
        if (i == 3) _exit(7);
        return ItemReport{i, 0, "done"};
      },
      [](const ItemReport&) {});
  EXPECT_TRUE(whole && !*whole);
}

TEST(PlanBytes, RoundTrip) {
  SoundPlan plan;
  plan.performance.parts = {{"", InstrumentId::pad, -3.5f, true}, {"", InstrumentId::drum_kit, 0, false}};
  plan.performance.tempo = TempoMap(97.5);
  plan.performance.tempo.change(Beats(4), 60);
  plan.performance.length = Beats(8);
  plan.performance.events = {{Beats(1, 3), Beats(1, 960), 127, 1, 1}, {Beats(7), Beats(1), 0, 127, 0}};
  plan.from = Beats(7, 2);
  plan.keys = {KeySet().set(0).set(127), KeySet().set(36)};
  const auto bytes = plan_bytes(plan);
  const auto back = read_plan(bytes);
  ASSERT_TRUE(back);
  EXPECT_EQ(back->from, plan.from);
  EXPECT_EQ(back->keys, plan.keys);
  EXPECT_EQ(back->performance.events, plan.performance.events);
  EXPECT_EQ(back->performance.length, plan.performance.length);
  EXPECT_EQ(back->performance.parts[0].instrument, InstrumentId::pad);
  EXPECT_TRUE(back->performance.parts[0].muted);
  EXPECT_EQ(back->performance.tempo.tempos().size(), 2U);
  for (std::size_t cut = 0; cut < bytes.size(); ++cut) EXPECT_FALSE(read_plan({bytes.data(), cut})) << cut;
}

TEST(PlanBytes, InvalidPlansAreRejected) {
  SoundPlan plan;
  plan.performance.parts = {{"", InstrumentId::pad, -3.5f, true}};
  plan.performance.length = Beats(8);
  plan.performance.events = {{Beats(0), Beats(1), 60, 80, 0}};
  ASSERT_TRUE(read_plan(plan_bytes(plan)));
  for (const float loudness : {3e27f, -7.0f, -41.0f, std::nanf("")}) {
    SoundPlan wrong = plan;
    wrong.loudness_lufs = loudness;
    EXPECT_FALSE(read_plan(plan_bytes(wrong))) << loudness;
  }
  for (const float gain : {13.0f, -61.0f, std::nanf("")}) {
    SoundPlan wrong = plan;
    wrong.performance.parts[0].gain_db = gain;
    EXPECT_FALSE(read_plan(plan_bytes(wrong))) << gain;
  }
  plan.performance.events[0].part = 1;
  EXPECT_FALSE(read_plan(plan_bytes(plan)));
}

/// Bars, one after another, hold all that the band plays and no more: each note in its bar, drums told of beforehand.
TEST(PageEngine, TheBarsOfASongAreAllOfItsNotes) {
  PageEngine engine;
  const std::string request = R"("text":"[A]\n| C | Am F |\n[B]\n| G7 |","key":"D","seed":3)";
  const auto form = nlohmann::json::parse(engine.answer(R"({"do":"form",)" + request + "}"));
  ASSERT_EQ(form["bars"].size(), 3U);
  EXPECT_EQ(form["pulses"], 4);
  EXPECT_EQ(form["key"], "D major");
  std::size_t notes = 0;
  for (int bar = 0; bar < 3; ++bar) {
    const auto answer = engine.answer(fmt::format(R"({{"do":"bar",{},"bar":{},"tempo":120}})", request, bar));
    EXPECT_EQ(nlohmann::json::parse(answer)["pulses"], 4);
    const auto plan = read_plan(engine.plan());
    ASSERT_TRUE(plan);
    EXPECT_EQ(plan->from, Beats(4 * bar));
    EXPECT_EQ(plan->performance.length, Beats(4));
    ASSERT_EQ(plan->keys.size(), plan->performance.parts.size());
    notes += plan->performance.events.size();
    for (const NoteEvent& event : plan->performance.events) {
      EXPECT_GE(event.start, plan->from);
      EXPECT_LT(event.start, plan->from + Beats(4));
      EXPECT_TRUE(plan->keys[event.part].test(event.midi));
    }
    BarStream stream(48000);
    EXPECT_EQ(page_bar(stream, engine.plan(), 0).left.size(), 2U * 48000U);
  }
  (void)engine.answer(R"({"do":"level",)" + request + "}");
  const auto whole = read_plan(engine.plan());
  ASSERT_TRUE(whole);
  EXPECT_EQ(notes, whole->performance.events.size());
  EXPECT_GT(notes, 50U);
}

/// A bar is the same whatever was asked before it: a change that was taken back leaves no trace.
TEST(PageEngine, ABarDoesNotDependOnEarlierRequests) {
  const std::string song = R"("text":"| Eb | Cm7 | Ab | Bb7 |","key":"E","style":"brush-ballad")";
  const auto bar_after = [&](int earlier_bpm) {
    PageEngine engine;
    if (earlier_bpm > 0) (void)engine.answer(fmt::format(R"({{"do":"form",{},"tempo":{}}})", song, earlier_bpm));
    (void)engine.answer(fmt::format(R"({{"do":"bar",{},"bar":2,"tempo":192}})", song));
    return std::vector<std::uint8_t>(engine.plan().begin(), engine.plan().end());
  };
  const auto alone = bar_after(0);
  EXPECT_FALSE(alone.empty());
  EXPECT_EQ(alone, bar_after(60));
  EXPECT_EQ(alone, bar_after(200));
}

TEST(PageEngine, PartsRestAndRisePerBar) {
  PageEngine engine;
  (void)engine.answer(
      R"({"do":"bar","text":"| C |","bar":0,"parts":{"drums":{"out":true},"bass":{"gain":-6.5},"right hand":{"out":false}}})");
  const auto plan = read_plan(engine.plan());
  ASSERT_TRUE(plan);
  const auto form = nlohmann::json::parse(engine.answer(R"({"do":"form","text":"| C |"})"));
  for (std::size_t i = 0; i < form["parts"].size(); ++i) {
    const std::string name = form["parts"][i]["name"];
    const Part& part = plan->performance.parts[i];
    const bool rests = name == "drums" || name == "left hand" || name == "keys";
    EXPECT_EQ(part.muted, rests) << name;
  }
  (void)engine.answer(R"({"do":"bar","text":"| C |","bar":0,"rest":true})");
  EXPECT_TRUE(read_plan(engine.plan())->performance.events.empty());
}

/// The page shows what was decided about a text and what was left out of it, and where each chord stands.
TEST(PageEngine, ASongTellsHowItWasRead) {
  PageEngine engine;
  const nlohmann::json request{{"do", "song"}, {"text", "[Verse]\n| C | Am |\n[Chorus]\n| F G | % |\n"}};
  const auto song = nlohmann::json::parse(engine.answer(request.dump()));
  EXPECT_EQ(song["bars"], 4);
  ASSERT_EQ(song["sections"].size(), 2U);
  EXPECT_EQ(song["sections"][1], (nlohmann::json{{"name", "Chorus"}, {"bar", 3}, {"bars", 2}}));
  EXPECT_EQ(song["chords"][1]["line"], 2);
  EXPECT_EQ(song["chords"][1]["column"], 7);
  EXPECT_EQ(song["chords"][1]["width"], 2);
  const nlohmann::json typed{{"do", "song"}, {"text", "c am f g\n"}};
  const auto told = nlohmann::json::parse(engine.answer(typed.dump()))["decisions"];
  EXPECT_FALSE(told.empty());
  const nlohmann::json twice{{"do", "song"}, {"text", "Verse:\nC     F\nRain, rain\nx2\n"}};
  const auto sung = nlohmann::json::parse(engine.answer(twice.dump()));
  EXPECT_EQ(sung["decisions"][0]["otherwise"], "Verse:\nC     F\nRain, rain\n");
  EXPECT_EQ(sung["chords"][0]["words"], "Rain, ");
  EXPECT_EQ(sung["chords"][1]["words"], "rain");
  const nlohmann::json german{{"do", "song"}, {"text", "H E7\nB A\n"}};
  const auto read = nlohmann::json::parse(engine.answer(german.dump()))["decisions"][0];
  EXPECT_TRUE(read["doubtful"]);
  EXPECT_FALSE(read.contains("otherwise")) << "H has no English name, so no other text can be read";
}

TEST(PageEngine, KeysAndNotesAreSpelledByConvention) {
  PageEngine engine;
  const auto major = nlohmann::json::parse(engine.answer(R"({"do":"song","text":"| C | G |"})"));
  const auto minor = nlohmann::json::parse(engine.answer(R"({"do":"song","text":"| C#m | G#m | A | G#7 |"})"));
  EXPECT_EQ(major["keys"][3], "Eb major");
  EXPECT_EQ(minor["keys"][1], "C# minor");
  EXPECT_EQ(minor["names"][3], "D#");
  EXPECT_EQ(major["names"][3], "Eb");
}

/// A beginner looks for B on the keyboard and not for C flat, in every key.
TEST(PageEngine, WhiteKeysAreNamedByTheirLetters) {
  PageEngine engine;
  const std::vector<std::string> flats{"C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"};
  const std::vector<std::string> sharps{"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"};
  for (const char* key : {"Eb", "Gb", "Bb"}) {
    const nlohmann::json request{{"do", "song"}, {"text", "I V"}, {"key", key}};
    EXPECT_EQ(nlohmann::json::parse(engine.answer(request.dump()))["names"], flats) << key;
  }
  for (const char* key : {"E minor", "F# minor", "G# minor"}) {
    const nlohmann::json request{{"do", "song"}, {"text", "i VII"}, {"key", key}};
    EXPECT_EQ(nlohmann::json::parse(engine.answer(request.dump()))["names"], sharps) << key;
  }
}

TEST(PageEngine, InvalidRequestsGetAnAnswer) {
  PageEngine engine;
  for (const char* text :
       {"", "{", "[]", "{\"do\":7}", "{\"do\":\"form\",\"text\":5,\"tempo\":\"x\"}",
        "{\"do\":\"bar\",\"text\":\"C\",\"bar\":1e99,\"tempo\":-1e99,\"parts\":{\"bass\":{\"gain\":1e300}}}",
        "{\"do\":\"name\",\"midi\":[999,-1,\"x\"]}", "{\"do\":\"notes\"}", "{\"do\":\"heard\"}",
        "{\"do\":\"heard\",\"length\":960,\"notes\":[[0,1,2]]}",
        "{\"do\":\"heard\",\"length\":1e99,\"tempo\":-3,\"notes\":[[-1,1e30,999,-5]]}"}) {
    EXPECT_TRUE(nlohmann::json::parse(engine.answer(text)).is_object()) << text;
  }
}

TEST(HtmlText, EscapesMarkup) {
  EXPECT_EQ(html_text("<b a='1' c=\"2\">&"), "&lt;b a=&#39;1&#39; c=&quot;2&quot;&gt;&amp;");
  EXPECT_EQ(json_in_html(R"({"a":"</script>"})"), R"({"a":"\u003c/script>"})");
}

}  // namespace
}  // namespace romanesca
