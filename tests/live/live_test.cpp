// The whole program at a terminal, with a JACK server (dummy driver) and an instrument that records.
#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <csignal>
#include <random>
#include <thread>

#include "synth/live/clock_thread.h"
#include "tests/live/instrument.h"
#include "tests/live/jack_server.h"
#include "tests/live/program.h"

namespace romanesca::test {
namespace {

constexpr int patience_ms = 20'000;

void wait_ms(int ms) { std::this_thread::sleep_for(std::chrono::milliseconds(ms)); }

std::vector<std::string> lesson(const std::vector<std::string>& more = {}) {
  std::vector<std::string> arguments{"play",   "| C | Am | F | G |", "--tempo", "160", "--count-in", "0",
                                     "--port", "piano-rig",          "--human", "0",   "--plain"};
  arguments.insert(arguments.end(), more.begin(), more.end());
  return arguments;
}

class Live : public testing::Test {
 protected:
  static void SetUpTestSuite() { server_ = new JackServer("romanesca" + std::to_string(getpid())); }
  static void TearDownTestSuite() {
    delete server_;
    server_ = nullptr;
  }
  static JackServer* server_;
};
JackServer* Live::server_ = nullptr;

/// Each way to end playing leaves no note behind.
TEST_F(Live, EveryWayToStopEndsEveryNote) {
  struct Way {
    const char* name;
    void (*stop)(Program&);
    int status;
  };
  for (const Way& way :
       {Way{"q", [](Program& p) { p.press("q"); }, 0}, Way{"Ctrl-C", [](Program& p) { p.press("\x03"); }, 130},
        Way{"SIGINT", [](Program& p) { p.signal(SIGINT); }, 130},
        Way{"SIGTERM", [](Program& p) { p.signal(SIGTERM); }, 130},
        Way{"SIGHUP", [](Program& p) { p.signal(SIGHUP); }, 130}}) {
    Instrument piano("piano-rig");
    Program program(lesson());
    ASSERT_TRUE(program.shows("bar 3 of 4", patience_ms)) << way.name << program.shown();
    way.stop(program);
    EXPECT_EQ(program.status(patience_ms), way.status) << way.name << program.shown();
    wait_ms(50);
    EXPECT_GT(piano.notes(), 30U) << way.name;
    EXPECT_TRUE(piano.unbalanced().empty()) << way.name;
  }
}

TEST_F(Live, AClosedTerminalEndsEveryNote) {
  Instrument piano("piano-rig");
  Program program(lesson());
  ASSERT_TRUE(program.shows("bar 3 of 4", patience_ms)) << program.shown();
  program.close_terminal();
  EXPECT_NE(program.status(patience_ms), -1);
  wait_ms(50);
  EXPECT_TRUE(piano.unbalanced().empty());
}

TEST_F(Live, StopAndStartWhilePlaying) {
  Instrument piano("piano-rig");
  Program program(lesson());
  ASSERT_TRUE(program.shows("bar 2 of 4", patience_ms)) << program.shown();
  program.press(" ");
  program.run(400);
  EXPECT_TRUE(piano.unbalanced().empty());
  const std::size_t notes = piano.notes();
  program.run(400);
  EXPECT_EQ(piano.notes(), notes);
  program.press(" ");
  program.run(1500);
  EXPECT_GT(piano.notes(), notes);
  program.press("q");
  EXPECT_EQ(program.status(patience_ms), 0);
}

/// What was sent arrives whole, in order, and near its time: the hats of every eighth are 187.5 ms apart. JACK moves
/// messages to its periods of 2.7 ms. A busy machine may delay some; most must be right.
TEST_F(Live, NotesArriveInOrderAndOnTime) {
  Instrument piano("piano-rig");
  Program program(lesson({"--rounds", "4"}));
  EXPECT_EQ(program.status(60'000), 0) << program.shown();
  wait_ms(50);
  EXPECT_TRUE(piano.unbalanced().empty());
  std::vector<double> hats;
  for (const Instrument::Got& got : piano.got()) {
    if (got.bytes.size() == 3 && got.bytes[0] == 0x99 && got.bytes[1] == 42) {
      hats.push_back(static_cast<double>(got.at_ns) * 1e-6);
    }
  }
  ASSERT_GT(hats.size(), 60U);
  std::vector<double> off;
  for (const double hat : hats) {
    const double eighths = (hat - hats.front()) / 187.5;
    off.push_back(std::abs(eighths - std::round(eighths)) * 187.5);
  }
  std::sort(off.begin(), off.end());
  EXPECT_LT(off[off.size() * 8 / 10], 12.0);
}

TEST_F(Live, AKilledServerIsWaitedForAndThePositionIsKept) {
  for (const int signal : {SIGKILL, SIGTERM}) {
    auto piano = std::make_unique<Instrument>("piano-rig");
    Program program(lesson());
    ASSERT_TRUE(program.shows("bar 2 of 4", patience_ms)) << program.shown();
    server_->stop(signal);
    EXPECT_TRUE(program.shows("has gone; waiting for it", patience_ms)) << program.shown();
    piano.reset();
    server_->start();
    piano = std::make_unique<Instrument>("piano-rig");
    EXPECT_TRUE(program.shows("is back", patience_ms)) << program.shown();
    program.run(2000);
    EXPECT_GT(piano->notes(), 5U);
    program.press("q");
    EXPECT_EQ(program.status(patience_ms), 0) << program.shown();
    wait_ms(50);
    EXPECT_TRUE(piano->unbalanced().empty());
  }
}

TEST_F(Live, ItEndsWithoutItsServer) {
  auto piano = std::make_unique<Instrument>("piano-rig");
  Program program(lesson());
  ASSERT_TRUE(program.shows("bar 2 of 4", patience_ms)) << program.shown();
  server_->stop(SIGKILL);
  program.run(500);
  program.signal(SIGINT);
  EXPECT_EQ(program.status(patience_ms), 130) << program.shown();
  piano.reset();
  server_->start();
}

TEST_F(Live, AnInstrumentThatVanishesIsWaitedFor) {
  auto piano = std::make_unique<Instrument>("piano-rig");
  Program program(lesson());
  ASSERT_TRUE(program.shows("bar 2 of 4", patience_ms)) << program.shown();
  piano.reset();
  EXPECT_TRUE(program.shows("has gone; waiting for it", patience_ms)) << program.shown();
  piano = std::make_unique<Instrument>("piano-rig");
  EXPECT_TRUE(program.shows("is back", patience_ms)) << program.shown();
  program.run(1500);
  EXPECT_GT(piano->notes(), 5U);
  program.press("q");
  EXPECT_EQ(program.status(patience_ms), 0);
}

/// A thousand messages a second, many of them nonsense, do not disturb the band.
TEST_F(Live, AFloodOnTheKeyboardIsHarmless) {
  Instrument piano("piano-rig");
  Keyboard keyboard("student-rig");
  Program program(lesson({"--listen", "student-rig", "--rounds", "3"}));
  ASSERT_TRUE(program.shows("bar 1 of 4", patience_ms)) << program.shown();
  std::mt19937 random(7);
  const auto start = std::chrono::steady_clock::now();
  for (int i = 0; i < 8000; ++i) {
    std::vector<unsigned char> bytes;
    switch (random() % 4) {
      case 0:
        bytes = {0x90, static_cast<unsigned char>(random() % 128), static_cast<unsigned char>(random() % 128)};
        break;
      case 1:
        bytes = {static_cast<unsigned char>(random() % 128), static_cast<unsigned char>(random() % 128)};  // running
        break;
      case 2:
        bytes = {0x80, static_cast<unsigned char>(random() % 128), 0};
        break;
      default:
        for (unsigned n = random() % 6 + 1; n > 0; --n) bytes.push_back(static_cast<unsigned char>(random() % 256));
    }
    keyboard.send(bytes);
    std::this_thread::sleep_until(start + std::chrono::milliseconds(i + 1));
  }
  EXPECT_EQ(program.status(60'000), 0) << program.shown();
  wait_ms(50);
  EXPECT_TRUE(piano.unbalanced().empty());
  EXPECT_GT(piano.notes(), 200U);
}

TEST_F(Live, TheKeyboardIsHeard) {
  Instrument piano("piano-rig");
  Keyboard keyboard("student-rig");
  Program program(lesson({"--listen", "student-rig", "--rounds", "1"}));
  for (const auto& [bar, chord] : std::vector<std::pair<const char*, std::vector<unsigned char>>>{
           {"bar 1", {60, 64, 67}}, {"bar 2", {57, 60, 64}}, {"bar 3", {53, 57, 60}}, {"bar 4", {55, 59, 62}}}) {
    ASSERT_TRUE(program.shows(bar, patience_ms)) << program.shown();
    for (const unsigned char note : chord) keyboard.send({0x90, note, 80});
    wait_ms(600);
    for (const unsigned char note : chord) keyboard.send({0x80, note, 64});
  }
  EXPECT_EQ(program.status(patience_ms), 0);
  EXPECT_TRUE(program.shows("All 4 chords were right.", 100)) << program.shown();
}

/// Every control, pressed in a lesson on the screen and on the plain lines; run under the thread sanitizer too.
TEST_F(Live, AWholeLessonByItsKeys) {
  for (const bool speakers : {false, true}) {
    Instrument piano("piano-rig");
    std::vector<std::string> arguments{
        "play", "[Verse]\n| C | Am |\n[Chorus]\n| F | G |\n", "--tempo", "200", "--count-in", "1", "--stats"};
    if (!speakers) arguments.insert(arguments.end(), {"--port", "piano-rig", "--clock"});
    Program program(arguments);
    ASSERT_TRUE(program.shows("bar 1 of 4", patience_ms)) << program.shown();
    for (const char* const keys :
         {"\x1b[A", "\x1b[B", "-",  "+", "\x1b[C", "\x1b[D", ">", "<", "a",  ">",  "<", "a", "1",
          "1",      "s2",     "s2", "n", "p",      "l",      "n", "l", "y",  "Y",  "c", "g", "m",
          "g",      "m",      "!",  " ", " ",      "t",      "t", "t", "s1", "s1", "9", "?"}) {
      program.press(keys);
      program.run(120);
    }
    program.run(1500);
    program.press("q");
    EXPECT_EQ(program.status(patience_ms), 0) << program.shown();
    wait_ms(50);
    EXPECT_TRUE(piano.unbalanced().empty());
    if (speakers) continue;
    EXPECT_GT(piano.notes(), 50U);
  }
}

TEST_F(Live, TheSpeakersPlayWithoutRunningOut) {
  Program program({"play", "| C | Am | F | G |", "--rounds", "2", "--tempo", "200", "--plain", "--stats"});
  EXPECT_EQ(program.status(60'000), 0) << program.shown();
  EXPECT_TRUE(program.shows("sound: p50", 100)) << program.shown();
  EXPECT_TRUE(program.shows("bar 4 of 4", 100)) << program.shown();
}

/// The server's dummy driver gives silence: the microphone opens, is read, and nothing is made up.
TEST_F(Live, ASilentMicrophoneIsHeard) {
  Program program({"play", "| C | Am |", "--rounds", "1", "--tempo", "200", "--plain", "--listen", "microphone"});
  EXPECT_EQ(program.status(60'000), 0) << program.shown();
  EXPECT_TRUE(program.shows("Nothing of its sound is kept or sent", 100)) << program.shown();
  EXPECT_TRUE(program.shows("Nothing was heard from the piano.", 100)) << program.shown();
}

TEST_F(Live, PortsAreListed) {
  Instrument piano("piano-rig");
  Program program({"ports"});
  EXPECT_EQ(program.status(patience_ms), 0);
  EXPECT_TRUE(program.shows("piano-rig:in  (jack)", 100)) << program.shown();
  EXPECT_TRUE(program.shows("system  (jack, the usual one)", 100)) << program.shown();
  EXPECT_TRUE(program.shows("Microphones (--listen microphone, --microphone)", 100)) << program.shown();
}

}  // namespace
}  // namespace romanesca::test
