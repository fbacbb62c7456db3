#include "synth/files/audio_file.h"

#include <gtest/gtest.h>
#include <sndfile.h>
#include <taglib/flacfile.h>
#include <taglib/mpegfile.h>
#include <taglib/opusfile.h>
#include <taglib/tpropertymap.h>
#include <taglib/vorbisfile.h>
#include <taglib/wavfile.h>
#include <unistd.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>

#include "theory/text/errors.h"

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
    const auto read = write_and_read({44100, 24, ending, false, {}}, samples, subtype);
    EXPECT_EQ(subtype, SF_FORMAT_PCM_24);
    ASSERT_EQ(read.size(), samples.size() * 2);
    for (std::size_t i = 0; i < samples.size(); ++i) EXPECT_NEAR(read[2 * i], samples[i], 1.0 / 8388608);
  }
}

// Dither: a constant between two steps keeps its mean, and is spread over neighbouring steps.
TEST(AudioFile, SixteenBitsAreDithered) {
  const std::vector<float> samples(20000, 0.3f / 32768);
  int subtype = 0;
  const auto read = write_and_read({48000, 16, "wav", false, {}}, samples, subtype);
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

std::string bytes_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

void write_tone(const std::string& path, const AudioFormat& format) {
  AudioFile file(path, format);
  std::vector<float> tone(48000);
  for (std::size_t i = 0; i < tone.size(); ++i) tone[i] = 0.3f * std::sin(0.0576f * static_cast<float>(i));
  for (std::size_t at = 0; at < tone.size(); at += 4800) file.write({tone.data() + at, tone.data() + at, 4800});
  file.close();
}

template <typename File>
TagLib::PropertyMap properties_of(const std::string& path) {
  const File file(path.c_str(), false);
  return file.properties();
}

TagLib::PropertyMap properties_of(const std::string& path, const std::string& ending) {
  if (ending == "wav") return properties_of<TagLib::RIFF::WAV::File>(path);
  if (ending == "flac") return properties_of<TagLib::FLAC::File>(path);
  if (ending == "ogg") return properties_of<TagLib::Ogg::Vorbis::File>(path);
  if (ending == "opus") return properties_of<TagLib::Ogg::Opus::File>(path);
  return properties_of<TagLib::MPEG::File>(path);
}

// Every kind of file: the tone comes back, the tags too, and two runs give the same bytes.
TEST(AudioFile, EveryEndingHasSoundTagsAndTheSameBytes) {
  const AudioTags tags{"Kite über dem See", "Lena", "made for a lesson", 91.6, "Eb"};
  for (const std::string_view ending : audio_endings()) {
    const std::string path = temporary(("tagged.part-" + std::string(ending)).c_str());
    const AudioFormat format{48000, 24, std::string(ending), false, tags};
    write_tone(path, format);
    const std::string once = bytes_of(path);
    write_tone(path, format);
    EXPECT_TRUE(once == bytes_of(path)) << ending;
    const TagLib::PropertyMap found = properties_of(path, std::string(ending));
    const auto text = [&](const char* name) { return found[name].toString().to8Bit(true); };
    EXPECT_EQ(text("TITLE"), tags.title) << ending;
    EXPECT_EQ(text("ARTIST"), "Lena") << ending;
    EXPECT_EQ(text("COMMENT"), "made for a lesson") << ending;
    EXPECT_EQ(text("BPM"), "92") << ending;
    EXPECT_EQ(text("INITIALKEY"), "Eb") << ending;
    SF_INFO info{};
    SNDFILE* read = sf_open(path.c_str(), SFM_READ, &info);
    ASSERT_NE(read, nullptr) << ending << " " << sf_strerror(nullptr);
    std::vector<float> samples(2 * 40000);
    EXPECT_EQ(sf_readf_float(read, samples.data(), 40000), 40000) << ending;
    sf_close(read);
    double squares = 0;
    for (std::size_t i = 20000; i < samples.size(); ++i) squares += static_cast<double>(samples[i] * samples[i]);
    EXPECT_NEAR(std::sqrt(squares / 60000), 0.3 / std::sqrt(2), 0.005) << ending;
    std::filesystem::remove(path);
  }
}

// Read back by libsndfile, which counts the end as one past the last frame.
TEST(AudioFile, ALoopIsMarked) {
  const std::string path = temporary("loop.wav");
  write_tone(path, {48000, 24, "wav", true, {}});
  SF_INFO info{};
  SNDFILE* read = sf_open(path.c_str(), SFM_READ, &info);
  SF_INSTRUMENT loop{};
  ASSERT_EQ(sf_command(read, SFC_GET_INSTRUMENT, &loop, sizeof loop), SF_TRUE);
  sf_close(read);
  std::filesystem::remove(path);
  EXPECT_EQ(loop.loop_count, 1);
  EXPECT_EQ(loop.loops[0].mode, SF_LOOP_FORWARD);
  EXPECT_EQ(loop.loops[0].start, 0U);
  EXPECT_EQ(loop.loops[0].end, 48000U);
}

TEST(AudioFile, RejectsUnsupportedFormatsAndRates) {
  const std::string path = temporary("refused");
  EXPECT_THROW(AudioFile(path, {44100, 24, "opus", false, {}}), SystemError);
  EXPECT_THROW(AudioFile(path, {96000, 24, "mp3", false, {}}), SystemError);
  EXPECT_THROW(AudioFile(path, {48000, 24, "mod", false, {}}), SystemError);
  EXPECT_FALSE(std::filesystem::exists(path));
}

TEST(AudioFile, ReportsAFullDisk) {
  EXPECT_THROW(
      {
        AudioFile file("/dev/full", {});
        std::vector<float> noise(100000, 0.5f);
        for (int i = 0; i < 20; ++i) file.write({noise.data(), noise.data(), noise.size()});
        file.close();
      },
      SystemError);
  EXPECT_THROW(AudioFile("/no/such/folder/x.wav", {}), SystemError);
}

}  // namespace
}  // namespace romanesca
