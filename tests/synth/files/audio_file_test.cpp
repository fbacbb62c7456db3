#include "synth/files/audio_file.h"

#include <gtest/gtest.h>
#include <sndfile.h>
#include <unistd.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <set>

#include "synth/files/file_error.h"

namespace romanesca {
namespace {

std::string temporary(const char* name) {
  return (std::filesystem::temp_directory_path() / (std::to_string(getpid()) + name)).string();
}

std::vector<float> write_and_read(const AudioFormat& format, const std::vector<float>& samples, int& subtype) {
  const std::string path = temporary(("romanesca." + format.ending).c_str());
  AudioFile file(path, format);
  std::vector<float> left = samples, right = samples;
  file.write({left.data(), right.data(), left.size() / 2});
  file.write({left.data() + left.size() / 2, right.data() + left.size() / 2, left.size() - left.size() / 2});
  file.close();
  SF_INFO info{};
  SNDFILE* read = sf_open(path.c_str(), SFM_READ, &info);
  EXPECT_NE(read, nullptr);
  std::vector<float> interleaved(static_cast<std::size_t>(info.frames) * 2);
  sf_readf_float(read, interleaved.data(), info.frames);
  sf_close(read);
  std::filesystem::remove(path);
  subtype = info.format & SF_FORMAT_SUBMASK;
  EXPECT_EQ(info.channels, 2);
  EXPECT_EQ(info.samplerate, static_cast<int>(format.sample_rate_hz));
  return interleaved;
}

TEST(AudioFile, TwentyFourBitsComeBackExactly) {
  std::vector<float> samples;
  for (int i = -1000; i <= 1000; ++i) samples.push_back(static_cast<float>(i) / 1001);
  for (const char* ending : {"wav", "flac"}) {
    int subtype = 0;
    const auto read = write_and_read({44100, 24, ending}, samples, subtype);
    EXPECT_EQ(subtype, SF_FORMAT_PCM_24);
    ASSERT_EQ(read.size(), samples.size() * 2);
    for (std::size_t i = 0; i < samples.size(); ++i) EXPECT_NEAR(read[2 * i], samples[i], 1.0 / 8388608);
  }
}

// Dither: a constant between two steps keeps its mean, and is spread over neighbouring steps.
TEST(AudioFile, SixteenBitsAreDithered) {
  const std::vector<float> samples(20000, 0.3f / 32768);
  int subtype = 0;
  const auto read = write_and_read({48000, 16, "wav"}, samples, subtype);
  EXPECT_EQ(subtype, SF_FORMAT_PCM_16);
  double mean = 0;
  std::set<float> steps;
  for (std::size_t i = 0; i < samples.size(); ++i) {
    mean += static_cast<double>(read[2 * i]) / static_cast<double>(samples.size());
    steps.insert(read[2 * i]);
  }
  EXPECT_NEAR(mean * 32768, 0.3, 0.03);
  EXPECT_GE(steps.size(), 3U);
}

TEST(AudioFile, SaysWhenTheDiskIsFull) {
  EXPECT_THROW(
      {
        AudioFile file("/dev/full", {});
        std::vector<float> noise(100000, 0.5f);
        for (int i = 0; i < 20; ++i) file.write({noise.data(), noise.data(), noise.size()});
        file.close();
      },
      FileError);
  EXPECT_THROW(AudioFile("/no/such/folder/x.wav", {}), FileError);
}

}  // namespace
}  // namespace romanesca
