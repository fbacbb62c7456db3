// Input: keys of the terminal, the table of actions, learned foot switches.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <set>

#include "cli/play/controllers.h"
#include "cli/play/system_environment.h"
#include "theory/text/errors.h"

namespace romanesca {
namespace {

namespace fs = std::filesystem;

std::vector<int> decoded(const std::string& bytes) {
  KeyDecoder decoder;
  std::vector<int> keys;
  for (const char byte : bytes) {
    if (const auto key = decoder.feed(byte)) keys.push_back(*key);
  }
  return keys;
}

TEST(KeyDecoder, ReadsLettersAndArrows) {
  EXPECT_EQ(decoded("q \x1b[A\x1b[Bt\x1bOC\x1b[D"),
            (std::vector<int>{'q', ' ', key_arrow_up, key_arrow_down, 't', key_arrow_right, key_arrow_left}));
}

TEST(KeyDecoder, IgnoresOtherKeys) {
  EXPECT_EQ(decoded("\x1b[3~x\x1b[1;5Cy\x1b[15~z"), (std::vector<int>{'x', 'y', 'z'}));
  EXPECT_EQ(decoded("\x1b[" + std::string(100, '1') + "~q").back(), 'q') << "a sequence has a longest length";
}

TEST(PlayActions, NoKeyIsUsedTwice) {
  std::set<int> keys;
  std::set<std::string_view> words;
  for (const PlayActionRow& row : play_actions()) {
    EXPECT_TRUE(words.insert(row.word).second) << row.word;
    EXPECT_FALSE(row.description.empty());
    EXPECT_EQ(play_action_named(row.word), row.action);
    for (const int key : {row.first, row.second}) {
      if (key == 0) continue;
      EXPECT_TRUE(keys.insert(key).second) << row.word;
    }
  }
  EXPECT_FALSE(play_action_named("start"));
}

TEST(PlayActions, ADigitMutesAndAfterSItIsASolo) {
  PlayKeys keys;
  EXPECT_EQ(keys.press('2')->action, PlayAction::mute);
  EXPECT_FALSE(keys.press('s'));
  const auto solo = keys.press('0');
  EXPECT_EQ(solo->action, PlayAction::solo);
  EXPECT_EQ(solo->number, 10);
  EXPECT_EQ(keys.press('0')->action, PlayAction::mute);
  EXPECT_FALSE(keys.press('s'));
  EXPECT_EQ(keys.press('q')->action, PlayAction::leave);
  EXPECT_EQ(keys.press('3')->action, PlayAction::mute) << "another key cancels s";
  EXPECT_FALSE(keys.press('#'));
}

struct ControllersTest : testing::Test {
  fs::path folder = fs::temp_directory_path() / ("romanesca-controls-" + std::to_string(getpid()));
  fs::path file = folder / "controls.txt";
  void SetUp() override { fs::create_directories(folder); }
  void TearDown() override { fs::remove_all(folder); }
  void write(const std::string& text) const { std::ofstream(file) << text; }
};

TEST_F(ControllersTest, LearnedControlsAreSavedAndRead) {
  Controllers first(file);
  first.learn({LearnedControl::Kind::controller, 0, 64, PlayAction::start_stop, 0});
  first.learn({LearnedControl::Kind::note, 9, 36, PlayAction::mute, 2});
  first.save();
  Controllers second(file);
  EXPECT_EQ(second.all().size(), 2U);
  const auto pad = second.asks({0, 0x99, 36, 100});
  ASSERT_TRUE(pad);
  EXPECT_EQ(pad->action, PlayAction::mute);
  EXPECT_EQ(pad->number, 2);
  EXPECT_FALSE(second.asks({0, 0x99, 36, 0})) << "a release requests nothing";
  EXPECT_FALSE(second.asks({0, 0x90, 36, 100})) << "another channel";
}

TEST_F(ControllersTest, APedalMakesOneRequestOnItsWayDown) {
  Controllers controllers(file);
  controllers.learn({LearnedControl::Kind::controller, 0, 64, PlayAction::tap, 0});
  int requests = 0;
  for (const std::uint8_t value : {10, 50, 70, 90, 127, 90, 70, 40, 0, 80, 127}) {
    requests += controllers.asks({0, 0xB0, 64, value}).has_value() ? 1 : 0;
  }
  EXPECT_EQ(requests, 2);
}

TEST_F(ControllersTest, AnActionHasOneControlAndAControlOneAction) {
  Controllers controllers(file);
  controllers.learn({LearnedControl::Kind::controller, 0, 64, PlayAction::tap, 0});
  controllers.learn({LearnedControl::Kind::controller, 0, 65, PlayAction::tap, 0});
  controllers.learn({LearnedControl::Kind::controller, 0, 65, PlayAction::guide, 0});
  ASSERT_EQ(controllers.all().size(), 1U);
  EXPECT_EQ(controllers.all()[0].action, PlayAction::guide);
}

TEST_F(ControllersTest, AWrongLineIsReportedWithItsPlace) {
  for (const auto& [line, message] : std::vector<std::pair<std::string, std::string>>{
           {"controller 64 start-stop", "this is not a learned control"},
           {"controller 128 channel 1 tap", "this is not a learned control"},
           {"controller 64 channel 0 tap", "this is not a learned control"},
           {"controller 64 channel 1 tpa", "unknown action \"tpa\""},
           {"note 36 channel 10 mute", "mute needs a part number"},
           {"note 36 channel 10 tap 3", "tap takes no part number"}}) {
    write("# learned\n\n" + line + "\n");
    try {
      Controllers controllers(file);
      FAIL() << line;
    } catch (const Failure& failure) {
      EXPECT_EQ(failure.error().message, file.string() + ":3: " + message);
      EXPECT_FALSE(failure.error().hint.empty());
    }
  }
}

}  // namespace
}  // namespace romanesca
