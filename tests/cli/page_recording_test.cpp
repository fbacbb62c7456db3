// A recording in the lesson page: the page's own engine, natively, against what a piano's recording is heard as without
// the networks for a band, which the page has no room for.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <limits>
#include <nlohmann/json.hpp>

#include "cli/studio/recording.h"
#include "cli/studio/recording_chart.h"
#include "cli/web/page_engine.h"
#include "tests/cli/in_process.h"
#include "theory/songs/progression_writer.h"

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

TEST(PageRecording, IsHeardByTemplates) {
  const auto sound = read_recording(page_take());
  ASSERT_TRUE(sound);
  PageEngine engine;
  give(engine, *sound);
  const auto page = [&](PageJson request) {
    request["do"] = "recording";
    request["title"] = "Take";
    return PageJson::parse(engine.answer(request.dump()));
  };
  const SoundFeatures features = features_of_sound(*sound);
  const auto chart = [&](ChartRequest request) {
    request.title = "Take";
    return chart_of_transcription(hear_recording(features, request), request);
  };
  const auto text = [&](const ChartRequest& request) { return write_progression(chart(request).song); };
  const PageJson first = page(PageJson::object());
  const RecordingChart own = chart({});
  EXPECT_EQ(first["text"], write_progression(own.song));
  EXPECT_EQ(first["meter"], to_string(own.song.meter()));
  EXPECT_EQ(first["bars"], own.heard.bars.size());
  EXPECT_EQ(first["tempo"], std::round(own.heard.tempo_bpm));
  EXPECT_EQ(first["key"], "F major");
  PageJson doubtful = PageJson::array();
  for (std::size_t i = 0; i < own.doubtful.size(); ++i) {
    if (own.doubtful[i]) doubtful.push_back(i + 1);
  }
  EXPECT_EQ(first["doubtful"], doubtful);
  ChartRequest half, twice, shifted, in_three, tapped;
  half.tempo_factor = 0.5;
  twice.tempo_factor = 2;
  shifted.shift = -1;
  in_three.meter = Meter{3, 4};
  tapped.tempo_bpm = 100;
  EXPECT_EQ(page({{"factor", 0.5}})["text"], text(half));
  EXPECT_EQ(page({{"factor", 2}})["text"], text(twice));
  EXPECT_EQ(page({{"shift", -1}})["text"], text(shifted));
  EXPECT_EQ(page({{"meter", "3/4"}})["text"], text(in_three));
  EXPECT_EQ(page({{"tempo", 100}})["text"], text(tapped));
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
