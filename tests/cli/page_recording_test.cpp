// A recording in the lesson page: the page's own engine, natively, against the command transcribe on the same file.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <limits>
#include <nlohmann/json.hpp>

#include "cli/studio/recording.h"
#include "cli/web/page_engine.h"
#include "tests/cli/in_process.h"

namespace romanesca {
namespace {

using PageJson = nlohmann::ordered_json;
namespace fs = std::filesystem;

/// A song of this test on the piano of the band.
std::string page_take() {
  const fs::path path = fs::path(testing::TempDir()) / "romanesca-page-take.wav";
  const auto made = test::run_in_process({"render", "| F | Dm | Bb | C7 | F | Am | Gm | C7 | F | Bb | C | F |", "--key",
                                          "F", "--only", "keys", "--style", "ballad", "--out", path});
  EXPECT_EQ(made.status, 0) << made.err;
  return path;
}

void give(PageEngine& engine, const std::vector<float>& sound) {
  std::copy(sound.begin(), sound.end(), engine.reserve_recording(sound.size()));
}

TEST(PageRecording, SaysWhatTheCommandSays) {
  const std::string file = page_take();
  const auto sound = read_recording(file);
  ASSERT_TRUE(sound);
  PageEngine engine;
  give(engine, *sound);
  const auto page = [&](PageJson request) {
    request["do"] = "recording";
    request["title"] = "Take";
    return PageJson::parse(engine.answer(request.dump()));
  };
  const auto command = [&](std::vector<std::string> more) {
    std::vector<std::string> words{"transcribe", file, "--title", "Take", "--json", "--quiet"};
    words.insert(words.end(), more.begin(), more.end());
    return PageJson::parse(test::run_in_process(words).out);
  };
  const PageJson first = page(PageJson::object());
  const PageJson own = command({});
  EXPECT_EQ(first["text"], own["text"]);
  EXPECT_EQ(first["meter"], own["meter"]);
  EXPECT_EQ(first["bars"], own["bars"].size());
  EXPECT_EQ(first["tempo"], std::round(own["tempo"].get<double>()));
  EXPECT_EQ(first["key"], "F major");
  PageJson doubtful = PageJson::array();
  for (const PageJson& bar : own["bars"]) {
    if (bar["doubtful"]) doubtful.push_back(bar["bar"]);
  }
  EXPECT_EQ(first["doubtful"], doubtful);
  EXPECT_EQ(page({{"factor", 0.5}})["text"], command({"--half"})["text"]);
  EXPECT_EQ(page({{"factor", 2}})["text"], command({"--double"})["text"]);
  EXPECT_EQ(page({{"shift", -1}})["text"], command({"--shift", "-1"})["text"]);
  EXPECT_EQ(page({{"meter", "3/4"}})["text"], command({"--meter", "3/4"})["text"]);
  EXPECT_EQ(page({{"tempo", 100}})["text"], command({"--tempo", "100"})["text"]);
  EXPECT_NE(page({{"shift", -1}})["text"], first["text"]);
  EXPECT_EQ(page(PageJson::object()), first) << "the recording can be asked about again";
}

TEST(PageRecording, SaysWhyNothingIsHeard) {
  PageEngine engine;
  const auto outcome = [&] { return PageJson::parse(engine.answer(R"({"do":"recording"})")).value("outcome", ""); };
  EXPECT_EQ(outcome(), "too_short") << "before any recording";
  give(engine, std::vector<float>(10 * 22050));
  EXPECT_EQ(outcome(), "silent");
  give(engine, std::vector<float>(22050, 0.1f));
  EXPECT_EQ(outcome(), "too_short");
  std::vector<float> hum(10 * 22050);
  for (std::size_t i = 0; i < hum.size(); ++i)
    hum[i] = static_cast<float>(0.3 * std::sin(2 * M_PI * 50 * static_cast<double>(i) / 22050));
  give(engine, hum);
  EXPECT_EQ(outcome(), "steady");
  // What is no number in a file is silence.
  give(engine, std::vector<float>(10 * 22050, std::numeric_limits<float>::quiet_NaN()));
  EXPECT_EQ(outcome(), "silent");
}

TEST(PageRecording, DoubtfulBarsAreToldToTheLessonPage) {
  PageEngine engine;
  const PageJson song = PageJson::parse(
      engine.answer(PageJson{{"do", "song"}, {"text", "| C | F | G | C |  # ? bars 2, 4\n"}, {"key", "C"}}.dump()));
  EXPECT_EQ(song["doubtful"], PageJson::array({2, 4}));
}

}  // namespace
}  // namespace romanesca
