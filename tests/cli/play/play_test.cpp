// Whole sessions of live playing, with a simulated clock.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "synth/files/midi_reader.h"
#include "tests/cli/in_process.h"
#include "tests/cli/play/fake_environment.h"
#include "tests/measure/note_bank.h"

namespace romanesca {
namespace {

namespace fs = std::filesystem;
using test::FakeEnvironment;

struct Played {
  int status = 0;
  std::string out, err;
};

struct PlayTest : testing::Test {
  FakeEnvironment world;
  fs::path folder = fs::temp_directory_path() / ("romanesca-play-" + std::to_string(getpid()));

  void SetUp() override { fs::create_directories(folder); }
  void TearDown() override { fs::remove_all(folder); }

  /// 120 beats a minute and one bar of count-in: the bars begin at 2, 4, 6 ... seconds.
  Played play(std::vector<std::string> arguments, bool screen = false) {
    arguments.insert(arguments.begin(), "play");
    if (!screen) arguments.emplace_back("--plain");
    return command(arguments, screen);
  }
  Played command(const std::vector<std::string>& arguments, bool screen = false) {
    std::istringstream in;
    std::ostringstream out, err;
    Console console{in,
                    out,
                    err,
                    screen,
                    false,
                    false,
                    80,
                    folder / "config",
                    folder / "data",
                    Date{std::chrono::year(2026), std::chrono::month(11), std::chrono::day(20)}};
    console.live_environment = &world;
    const ExitStatus status = run_program(arguments, console);
    return {static_cast<int>(status), out.str(), err.str()};
  }
  static bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }
};

const std::vector<std::string> four{"| C | Am | F | G |", "--port", "piano", "--tempo", "120"};

std::vector<std::string> with(std::vector<std::string> arguments, const std::vector<std::string>& more) {
  arguments.insert(arguments.end(), more.begin(), more.end());
  return arguments;
}

TEST_F(PlayTest, ALoopRepeatsAndEndsInSilence) {
  const Played played = play(with(four, {"--rounds", "2"}));
  EXPECT_EQ(played.status, 0) << played.err;
  EXPECT_TRUE(has(played.out, "bar 1 of 4: C\nbar 2 of 4: Am\nbar 3 of 4: F\nbar 4 of 4: G\nbar 1 of 4: C\n"))
      << played.out;
  EXPECT_TRUE(world.sounding().empty());
  EXPECT_EQ(world.opened, std::vector<std::string>{"piano"});
  const auto bass = world.struck(2);
  ASSERT_FALSE(bass.empty());
  EXPECT_NEAR(bass.front().first, 2000, 13) << "after a bar of count-in, with the small unevenness of players";
}

TEST_F(PlayTest, KeysOfTheComputerChangeKeyTempoAndParts) {
  world.keys = {{3000, key_arrow_right}, {5000, 't'}, {5600, 't'}, {6200, 't'}, {7000, '1'}, {20000, 'q'}};
  const Played played = play(four);
  EXPECT_EQ(played.status, 0) << played.err;
  EXPECT_TRUE(has(played.out, "Db major at the next bar\n")) << played.out;
  EXPECT_TRUE(has(played.out, "bar 2 of 4: Bbm\n")) << played.out;
  EXPECT_TRUE(has(played.out, "tempo 100\n")) << played.out;
  EXPECT_TRUE(has(played.out, "drums off\n")) << played.out;
  const auto drums = world.struck(10);
  ASSERT_FALSE(drums.empty());
  EXPECT_LT(drums.back().first, 7100);
  EXPECT_GT(world.struck(2).back().first, 15000);
  EXPECT_TRUE(world.sounding().empty());
}

TEST_F(PlayTest, AChangeAtOnceDoesNotWaitForTheBar) {
  world.keys = {{2500, 'a'}, {3000, '>'}, {6000, 'q'}};
  const Played played = play(four);
  EXPECT_TRUE(has(played.out, "G major\nbar 2 of 4: Em\n")) << played.out;
}

TEST_F(PlayTest, SectionsAreLoopedAndReleased) {
  const std::vector<std::string> song{"[Verse]\n| C | F |\n[Chorus]\n| G | Am |\n", "--port", "piano", "--tempo",
                                      "120"};
  world.keys = {{2500, 'n'}, {4500, 'l'}, {11000, 'l'}, {15000, 'q'}};
  const Played played = play(song);
  EXPECT_TRUE(has(played.out,
                  "bar 1 of 4, Verse: C\nto Chorus\nbar 3 of 4, Chorus: G\nlooping Chorus\n"
                  "bar 4 of 4, Chorus: Am\nbar 3 of 4, Chorus: G\nbar 4 of 4, Chorus: Am\nthe whole song\n"
                  "bar 1 of 4, Verse: C\n"))
      << played.out;
}

TEST_F(PlayTest, BeginsWithTheRequestedSection) {
  const std::vector<std::string> song{"[Verse]\n| C | F |\n[Chorus]\n| G | Am |\n", "--port", "piano", "--rounds", "2"};
  EXPECT_TRUE(
      has(play(with(song, {"--section", "chorus"})).out, "bar 3 of 4, Chorus: G\nbar 4 of 4, Chorus: Am\nbar 3"));
  const Played wrong = play(with(song, {"--section", "Chords"}));
  EXPECT_EQ(wrong.status, 2);
  EXPECT_TRUE(has(wrong.err, "did you mean Chorus?")) << wrong.err;
}

TEST_F(PlayTest, StartAfterStopBeginsAtTheSection) {
  world.keys = {{4500, ' '}, {8000, ' '}, {11000, 'q'}};
  const Played played = play(four);
  EXPECT_TRUE(has(played.out, "bar 1 of 4: C\nbar 2 of 4: Am\nbar 1 of 4: C\n")) << played.out;
  for (const auto& [time, note] : world.struck(2)) EXPECT_TRUE(time < 4510 || time > 9900) << time;
}

TEST_F(PlayTest, WaitsForAPortThatIsDisconnected) {
  world.port_gone_ms = 5000;
  world.port_back_ms = 9000;
  world.keys = {{12000, 'q'}};
  const Played played = play(with(four, {"--listen", "piano"}));
  EXPECT_EQ(played.status, 0) << played.err;
  EXPECT_TRUE(has(played.out,
                  "the test port has gone; waiting for it at bar 2\nthe test port is back\n"
                  "bar 2 of 4: Am\n"))
      << played.out;
  EXPECT_EQ(world.reopened, 1);
}

TEST_F(PlayTest, APortThatStaysAwayIsReportedAtTheEnd) {
  world.port_gone_ms = 5000;
  world.keys = {{12000, 'q'}};
  const Played played = play(four);
  EXPECT_EQ(played.status, 4);
  EXPECT_TRUE(has(played.err, "has gone and did not come back")) << played.err;
}

TEST_F(PlayTest, AnInterruptionEndsInSilence) {
  world.end_ms = 5300;
  EXPECT_EQ(play(four).status, 130);
  EXPECT_TRUE(world.sounding().empty());
}

TEST_F(PlayTest, AClosedTerminalEndsInSilence) {
  world.keys = {{5300, key_closed}};
  EXPECT_EQ(play(four).status, 0);
  EXPECT_TRUE(world.sounding().empty());
}

TEST_F(PlayTest, AMissingPortIsReportedWithAHint) {
  world.ports = false;
  const Played played = play(four);
  EXPECT_EQ(played.status, 4);
  EXPECT_EQ(played.err, "romanesca: there is no MIDI port\n    switch the instrument on and connect it\n");
}

TEST_F(PlayTest, ListensToChordsAndReportsOnThem) {
  world.plays(2030, 1500, {60, 64, 67});
  world.plays(4010, 1500, {57, 60, 64});
  world.plays(6350, 1500, {53, 57, 60});  // late
  world.plays(8000, 1500, {55, 59});      // the fifth is missing
  const Played played = play(with(four, {"--rounds", "1", "--listen", "keyboard"}));
  EXPECT_TRUE(has(played.out, "  heard C, in time\n")) << played.out;
  EXPECT_TRUE(has(played.out, "  heard F, 0.3")) << played.out;
  EXPECT_TRUE(
      has(played.out, "3 of 4 chords were right.\n3 of 4 came in time.\nWork on G in bar 4. D is missing there.\n"))
      << played.out;
}

/// Chords of the project's own piano in a room.
void play_piano(FakeEnvironment& world, const std::vector<std::pair<double, std::vector<int>>>& chords) {
  static const test::NoteBank bank = test::own_piano(80);
  std::vector<test::PlayedNote> notes;
  for (const auto& [at_s, midi] : chords) {
    for (const int note : midi) notes.push_back({at_s, 1.5, note, 0.2});
  }
  world.sound.assign(test::bank_samples(14), 0);
  test::add_notes(world.sound, notes, bank);
}

TEST_F(PlayTest, ListensThroughAMicrophone) {
  play_piano(world, {{2.03, {48, 60, 64, 67}}, {4.01, {45, 60, 64, 69}}, {6.35, {53, 57, 60}}, {8, {55, 58, 62}}});
  const Played played = play(with(four, {"--rounds", "1", "--listen", "microphone"}));
  EXPECT_EQ(played.status, 0) << played.err;
  EXPECT_TRUE(has(played.out,
                  "the test microphone listens to the piano. Nothing of its sound is kept or sent. Only the "
                  "drums play"))
      << played.out;
  EXPECT_TRUE(has(played.out, "  heard C, in time\n")) << played.out;
  EXPECT_TRUE(has(played.out, "  heard F, 0.3")) << played.out;
  EXPECT_TRUE(
      has(played.out, "3 of 4 chords were right.\n3 of 4 came in time.\nWork on G in bar 4. Try B instead of Bb.\n"))
      << played.out;
  EXPECT_FALSE(world.struck(10).empty()) << "drums";
  for (int channel = 1; channel <= 16; ++channel) {
    if (channel == 10) continue;
    EXPECT_TRUE(world.struck(channel).empty()) << channel;
  }
}

TEST_F(PlayTest, TheMicrophoneWaitsForTheRightChord) {
  play_piano(world, {{4, {60, 64, 68}}, {6, {60, 64, 67}}});
  world.end_ms = 9000;
  const Played played = play(with(four, {"--microphone", "desk", "--wait"}));
  EXPECT_TRUE(has(played.out, "bar 1 of 4: C\n  waiting for C\nbar 2 of 4: Am\n  waiting for Am\n")) << played.out;
  const auto drums = world.struck(10);
  const auto first = std::find_if(drums.begin(), drums.end(), [](const auto& stroke) { return stroke.first > 2100; });
  ASSERT_NE(first, drums.end());
  EXPECT_GT(first->first, 6000) << "only the count-in was before";
  EXPECT_LT(first->first, 6500);
}

TEST_F(PlayTest, AMicrophoneThatHasGoneIsToldOnce) {
  world.microphone_gone_ms = 3000;
  const Played played = play(with(four, {"--rounds", "1", "--listen", "microphone"}));
  const std::string words = "the test microphone has gone; connect it and start again\n";
  const std::size_t first = played.out.find(words);
  ASSERT_NE(first, std::string::npos) << played.out;
  EXPECT_EQ(played.out.find(words, first + 1), std::string::npos) << played.out;
}

TEST_F(PlayTest, ASilentRoomIsToldKindly) {
  const Played played = play(with(four, {"--rounds", "1", "--listen", "microphone", "--headphones"}));
  EXPECT_TRUE(has(played.out, "Nothing was heard from the piano. Is it the right microphone, and near enough?"))
      << played.out;
  EXPECT_FALSE(has(played.out, "Only the drums play")) << played.out;
}

TEST_F(PlayTest, WhatAMicrophoneCannotDoIsRefused) {
  for (const auto& [options, words] : std::vector<std::pair<std::vector<std::string>, std::string>>{
           {{"--improvise"}, "--improvise needs a keyboard with a cable"},
           {{"--call", "2"}, "--call needs a keyboard with a cable"},
           {{"--record", "a.mid"}, "--record needs a keyboard with a cable: what the microphone hears is not kept"},
           {{"--guide", "chords"}, "--guide puts chords into the room"},
           {{"--with", "keys"}, "--with puts chords into the room"}}) {
    const Played played = play(with(with(four, {"--listen", "microphone"}), options));
    EXPECT_EQ(played.status, 2) << words;
    EXPECT_TRUE(has(played.err, words)) << played.err;
  }
  EXPECT_EQ(play(with(four, {"--listen", "piano", "--microphone", "desk"})).status, 2);
}

TEST_F(PlayTest, TheMicrophoneIsTriedInANewRoom) {
  play_piano(world, {{5, {48, 60, 64, 67}}, {7, {45, 57, 60, 64}}});
  const Played played = command({"microphone"});
  EXPECT_EQ(played.status, 0) << played.err;
  EXPECT_TRUE(has(played.out, "Please be quiet for three seconds.\n")) << played.out;
  EXPECT_TRUE(has(played.out, "  heard C E G\n  heard C E A\n")) << played.out;
  EXPECT_TRUE(has(played.out, "The level is good.\nThe room is quiet enough.\nThe piano is in tune with 440 Hz"))
      << played.out;
  world.sound.clear();
  EXPECT_TRUE(has(command({"microphone"}).out, "No piano was heard."));
  world.ports = false;
  EXPECT_EQ(command({"microphone"}).status, 4);
}

TEST_F(PlayTest, WaitsForTheRightChord) {
  world.plays(4000, 400, {60, 64, 68});  // a wrong chord
  world.plays(5000, 400, {60, 64, 67});  // C
  world.plays(9000, 400, {57, 60, 64});  // Am
  world.end_ms = 14000;
  const Played played = play(with(four, {"--listen", "keyboard", "--wait"}));
  EXPECT_TRUE(has(played.out, "bar 1 of 4: C\n  waiting for C\nbar 2 of 4: Am\n  waiting for Am\n")) << played.out;
  EXPECT_TRUE(has(played.out, "bar 3 of 4: F\n  waiting for F\n")) << played.out;
  EXPECT_FALSE(has(played.out, "late")) << played.out;
  const auto bass = world.struck(2);
  ASSERT_FALSE(bass.empty());
  EXPECT_GT(bass.front().first, 4999);
}

TEST_F(PlayTest, ImprovisingIsDescribedAndNotScored) {
  world.plays(2000, 400, {64});
  world.plays(3000, 400, {67});
  world.plays(4000, 400, {66});
  const Played played = play(with(four, {"--rounds", "1", "--listen", "keyboard", "--improvise"}));
  EXPECT_TRUE(has(played.out,
                  "You played 3 notes.\nOn strong beats the line landed on the fifth once, the third once.\n"
                  "Outside the key: F# in bar 2 over Am.\n"))
      << played.out;
}

TEST_F(PlayTest, CallsAndRestsForTheAnswer) {
  play(with(four, {"--rounds", "1", "--call", "2"}));
  const auto calls = world.struck(8);
  ASSERT_GE(calls.size(), 8U);
  for (const auto& [time, note] : calls) EXPECT_LT((time - 2000 + 20) % 8000, 4000) << time;
}

TEST_F(PlayTest, RecordsWhatWasPlayedWithTheChordsAsMarkers) {
  world.plays(2500, 500, {60});
  world.plays(4000, 1000, {64, 69});
  const fs::path file = folder / "take.mid";
  const Played played = play(with(four, {"--rounds", "1", "--listen", "keyboard", "--record", file.string()}));
  EXPECT_EQ(played.status, 0) << played.err;
  std::ifstream stream(file, std::ios::binary);
  const std::string bytes((std::istreambuf_iterator<char>(stream)), {});
  const auto read = read_midi({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
  ASSERT_TRUE(read);
  const MidiSong& song = *read;
  ASSERT_EQ(song.performance.events.size(), 3U);
  EXPECT_NEAR(song.performance.events[0].start.quarters(), 1, 0.05);
  EXPECT_NEAR(song.performance.events[0].length.quarters(), 1, 0.05);
  EXPECT_NEAR(song.performance.events[1].start.quarters(), 4, 0.05);
  EXPECT_NE(bytes.find("Am"), std::string::npos);
  EXPECT_NEAR(song.performance.tempo.tempos().front().quarters_per_minute, 120, 0.1);
}

TEST_F(PlayTest, ARecordingThatCannotBeWrittenIsReportedBeforePlaying) {
  const Played played = play(with(four, {"--listen", "keyboard", "--record", (folder / "none" / "take.mid").string()}));
  EXPECT_EQ(played.status, 3);
  EXPECT_TRUE(has(played.err, "there is no folder")) << played.err;
  EXPECT_TRUE(world.sent.empty());
}

TEST_F(PlayTest, AReportIsSavedInTheRecord) {
  ASSERT_EQ(test::run_in_process({"student", "add", "Mira", "--level", "2"}, "", {}, folder / "data").status, 0);
  world.plays(2000, 1500, {60, 64, 67});
  const Played played = play(with(four, {"--rounds", "1", "--listen", "keyboard", "--student", "Mira"}));
  EXPECT_TRUE(has(played.out, "It is in Mira's record.")) << played.out;
  const auto history = test::run_in_process({"student", "history", "Mira"}, "", {}, folder / "data");
  EXPECT_TRUE(has(history.out, "Played along: ")) << history.out;
  EXPECT_EQ(play(with(four, {"--listen", "k", "--student", "Nobody"})).status, 2);
}

// What went well or badly feeds the path of skills: it moves on after a good play-along, comes back after a bad one.
TEST_F(PlayTest, APlayAlongFeedsThePathOfSkills) {
  const auto ask = [&](const std::vector<std::string>& arguments) {
    return test::run_in_process(arguments, "", {}, folder / "data").out;
  };
  const auto play_song = [&](int late_ms) {
    const int begin = static_cast<int>(world.now_ns() / 1'000'000);
    const std::vector<std::vector<int>> chords{{60, 64, 67}, {57, 60, 64}, {53, 57, 60}, {55, 59, 62}};
    for (int bar = 0; bar < 4; ++bar) {
      world.plays(begin + 2000 + 2000 * bar + late_ms, 1500, chords[static_cast<std::size_t>(bar)]);
    }
    return play(with(four, {"--rounds", "1", "--listen", "keyboard", "--student", "Mira"})).out;
  };
  ask({"student", "add", "Mira", "--level", "1"});
  const std::string good = play_song(10);
  EXPECT_TRUE(has(good, "Counted as done on the path of skills: change chords in time, 4 of 4.\n")) << good;
  const std::string then = ask({"student", "progress", "Mira", "--date", "2026-11-20"});
  EXPECT_TRUE(has(then, "change chords in time (1 time with a song, again in 2 days)")) << then;
  EXPECT_TRUE(has(then, "put chords in an order that ends")) << "its ground is laid: " << then;
  const std::string bad = play_song(300);
  EXPECT_TRUE(has(bad, "Comes again soon on the path of skills: change chords in time, 0 of 4.\n")) << bad;
  const std::string after = ask({"student", "progress", "Mira", "--date", "2026-11-20"});
  EXPECT_TRUE(has(after, "change chords in time (2 times with a song, again tomorrow)")) << after;
  const std::string history = ask({"student", "history", "Mira"});
  EXPECT_TRUE(has(history, "play-along-changes in C major, level 1: 4 of 4 right")) << history;
  EXPECT_TRUE(has(history, "missed  play-along-changes")) << history;
}

// A song that is played in a second key trains the next keys; typed chords are no song.
TEST_F(PlayTest, TheSameSongInAnotherKeyFeedsThePathOfSkills) {
  test::run_in_process({"student", "add", "Mira", "--level", "3"}, "", {}, folder / "data");
  std::ofstream(folder / "gate.txt") << "title: Snow on the Gate\n| C | Am | F | G |\n";
  const auto play_in = [&](const std::string& song, const std::string& key, int up) {
    const int begin = static_cast<int>(world.now_ns() / 1'000'000);
    const std::vector<std::vector<int>> chords{{60, 64, 67}, {57, 60, 64}, {53, 57, 60}, {55, 59, 62}};
    for (int bar = 0; bar < 4; ++bar) {
      std::vector<int> notes = chords[static_cast<std::size_t>(bar)];
      for (int& note : notes) note += up;
      world.plays(begin + 2000 + 2000 * bar, 1500, notes);
    }
    return play({song, "--from", "C", "--key", key, "--port", "piano", "--tempo", "120", "--rounds", "1", "--listen",
                 "k", "--student", "Mira"})
        .out;
  };
  const std::string gate = (folder / "gate.txt").string();
  const std::string keys = "path of skills: play the same chords in the next keys, 4 of 4.";
  EXPECT_FALSE(has(play_in("| C | Am | F | G |", "C", 0), keys));
  EXPECT_FALSE(has(play_in(gate, "C", 0), keys));
  EXPECT_FALSE(has(play_in(gate, "C", 0), keys)) << "the same key again";
  const std::string other = play_in(gate, "D", 2);
  EXPECT_TRUE(has(other, keys)) << other;
}

// A microphone that hears nothing has nothing to say about the student.
TEST_F(PlayTest, ASilentRoomFeedsNothing) {
  test::run_in_process({"student", "add", "Mira", "--level", "1"}, "", {}, folder / "data");
  const Played played = play(with(four, {"--rounds", "1", "--listen", "microphone", "--student", "Mira"}));
  EXPECT_FALSE(has(played.out, "path of skills")) << played.out;
  const auto progress = test::run_in_process({"student", "progress", "Mira"}, "", {}, folder / "data");
  EXPECT_FALSE(has(progress.out, "with a song")) << progress.out;
}

TEST_F(PlayTest, AFootSwitchIsLearnedAndUsed) {
  world.student.insert({500, {0, 0xB0, 64, 127}});
  const Played learned = play({"--learn", "start-stop", "--controls", "pedal"});
  EXPECT_EQ(learned.status, 0) << learned.err;
  EXPECT_TRUE(has(learned.out, "Learned: controller 64 on channel 1 for \"start, stop\"")) << learned.out;
  world.student = {{1000, {0, 0xB0, 64, 127}}, {1100, {0, 0xB0, 64, 0}}};
  world.student.insert({5000 - 500, {0, 0xB0, 64, 127}});
  world.keys = {{9000, 'q'}};
  const Played played = play(with(four, {"--controls", "pedal"}));
  EXPECT_TRUE(world.sounding().empty());
  EXPECT_EQ(played.status, 0);
}

TEST_F(PlayTest, TheScreenShowsChordKeyTempoAndKeys) {
  world.keys = {{3000, 'q'}};
  const Played played = play(four, true);
  for (const char* part : {"C major", "tempo 120", "right hand", "fingers", "this bar  | C |    next bar  | Am |",
                           "space: start, stop", "(metronome)", "on the test port"}) {
    EXPECT_TRUE(has(played.out, part)) << part;
  }
  EXPECT_TRUE(has(played.out, "\x1b[?1049l")) << "the normal screen is restored";
}

TEST_F(PlayTest, ConflictingOptionsAreReported) {
  for (const auto& [more, message] : std::vector<std::pair<std::vector<std::string>, std::string>>{
           {{"--wait"}, "--wait needs the student's keyboard"},
           {{"--speakers"}, "three ways to be heard"},
           {{"--tempo", "5"}, "--tempo is given 2 times"},
           {{"--count-in", "9"}, "choose 0 to 8"},
           {{"--call", "9", "--listen", "k"}, "choose 1 to 8"},
           {{"--record", "take.wav", "--listen", "k"}, "end the name in .mid"},
           {{"--learn", "strat-stop"}, "did you mean start-stop?"},
           {{"--learn", "mute", "--controls", "k"}, "mute needs a part number"},
           {{"--learn", "tap"}, "needs the port"}}) {
    const Played played = play(with(four, more));
    EXPECT_EQ(played.status, 2) << message;
    EXPECT_TRUE(has(played.err, message)) << played.err;
  }
  EXPECT_EQ(play({}).status, 2);
}

}  // namespace
}  // namespace romanesca
