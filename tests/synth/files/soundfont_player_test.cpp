#include "synth/files/soundfont_player.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <cmath>
#include <filesystem>
#include <fstream>

#include "synth/files/file_error.h"
#include "tests/measure/sound_meter.h"

namespace romanesca {
namespace {

using Bytes = std::string;

Bytes number(std::uint64_t value, int count) {
  Bytes bytes;
  for (int i = 0; i < count; ++i) bytes += i < 8 ? static_cast<char>(value >> (8 * i) & 0xFFU) : '\0';
  return bytes;
}

Bytes name(const std::string& text) { return text + Bytes(20 - text.size(), '\0'); }

Bytes chunk(const char* id, const Bytes& data) {
  return id + number(static_cast<std::uint32_t>(data.size()), 4) + data + Bytes(data.size() % 2, '\0');
}

Bytes generator(std::uint32_t which, std::uint32_t amount) { return number(which, 2) + number(amount, 2); }

/// The smallest SoundFont (SoundFont Technical Specification 2.01): one preset, a sine of 440 Hz that loops, on key 69.
Bytes sine_font() {
  constexpr int cycles = 22;
  constexpr int length = 2205;  // 22 cycles of 440 Hz at 44,100 Hz
  Bytes samples;
  for (int i = 0; i < length + 46; ++i) {
    const double value = i < length ? 12000 * std::sin(2 * M_PI * cycles * i / length) : 0;
    samples += number(static_cast<std::uint64_t>(std::lround(value)), 2);
  }
  const Bytes info = chunk("ifil", number(2, 2) + number(1, 2)) + chunk("isng", Bytes("EMU8000\0", 8)) +
                     chunk("INAM", Bytes("Sine\0\0", 6));
  const auto preset = [](const char* text, int bag) {
    return name(text) + number(0, 2) + number(0, 2) + number(static_cast<std::uint32_t>(bag), 2) + number(0, 12);
  };
  const Bytes header = name("sine") + number(0, 4) + number(length, 4) + number(0, 4) + number(length, 4) +
                       number(44100, 4) + number(69, 1) + number(0, 1) + number(0, 2) + number(1, 2);
  const Bytes articulation = chunk("phdr", preset("Sine", 0) + preset("EOP", 1)) +
                             chunk("pbag", number(0, 4) + number(1, 4)) + chunk("pmod", Bytes(10, '\0')) +
                             chunk("pgen", generator(41, 0) + generator(0, 0)) +
                             chunk("inst", name("Sine") + number(0, 2) + name("EOI") + number(1, 2)) +
                             chunk("ibag", number(0, 4) + number(2, 4)) + chunk("imod", Bytes(10, '\0')) +
                             chunk("igen", generator(54, 1) + generator(53, 0) + generator(0, 0)) +
                             chunk("shdr", header + name("EOS") + Bytes(26, '\0'));
  return chunk("RIFF", "sfbk" + chunk("LIST", "INFO" + info) + chunk("LIST", "sdta" + chunk("smpl", samples)) +
                           chunk("LIST", "pdta" + articulation));
}

class FontFile {
 public:
  explicit FontFile(const Bytes& bytes) { std::ofstream(path, std::ios::binary) << bytes; }
  ~FontFile() { std::filesystem::remove(path); }
  FontFile(const FontFile&) = delete;
  FontFile& operator=(const FontFile&) = delete;
  const std::string path =
      (std::filesystem::temp_directory_path() / ("romanesca-" + std::to_string(getpid()) + ".sf2")).string();
};

Performance one_note() {
  Performance piece;
  piece.tempo = TempoMap(60);
  piece.length = Beats(2);
  piece.parts = {{"keys", InstrumentId::piano, 0, false}, {"more", InstrumentId::organ, 0, false}};
  piece.events = {{Beats(1), Beats(1), 69, 100, 0}};
  return piece;
}

std::vector<float> render(SoundSource& source, std::size_t frames) {
  std::vector<float> left(frames), right(frames);
  for (std::size_t at = 0; at < frames; at += 1000) source.render({left.data() + at, right.data() + at, 1000});
  return left;
}

TEST(SoundFontPlayer, PlaysTheNoteInTuneAndOnTime) {
  const FontFile font(sine_font());
  SoundFontPlayer player(one_note(), font.path, {});
  EXPECT_EQ(player.length_frames(), 96000);
  EXPECT_EQ(player.lead_in_frames(), 0);
  const auto sound = render(player, 96000);
  EXPECT_NEAR(static_cast<double>(test::onset(sound)), 48000, 96);
  EXPECT_NEAR(test::cents_off(std::span<const float>(sound).subspan(60000, 30000), 440, 48000), 0, 1);
  EXPECT_FALSE(player.finished());
  render(player, 48000 * 6);
  EXPECT_TRUE(player.finished());
}

TEST(SoundFontPlayer, GainsAndMutes) {
  const FontFile font(sine_font());
  const auto level = [&](float gain_db, bool muted) {
    Performance piece = one_note();
    piece.parts[0].gain_db = gain_db;
    piece.parts[0].muted = muted;
    SoundFontPlayer player(piece, font.path, {});
    return test::level_db(std::span<const float>(render(player, 96000)).subspan(60000, 30000));
  };
  EXPECT_NEAR(level(-6, false), level(0, false) - 6, 0.3);
  EXPECT_LT(level(0, true), -90);
}

TEST(SoundFontPlayer, ALoopHasALeadIn) {
  const FontFile font(sine_font());
  SoundFontPlayer player(one_note(), font.path, {48000, true});
  EXPECT_GE(player.lead_in_frames(), 48000 * 9);
  render(player, static_cast<std::size_t>(player.lead_in_frames()));
  // The note of the round before still rings in the room when the first frame comes.
  EXPECT_GT(test::level_db(render(player, 4000)), -80);
}

TEST(SoundFontPlayer, SaysWhatIsMissing) {
  EXPECT_THROW(SoundFontPlayer(one_note(), "/no/such/font.sf2", {}), FileError);
  const FontFile broken("RIFF of another kind");
  try {
    const SoundFontPlayer player(one_note(), broken.path, {});
    FAIL();
  } catch (const FileError& error) {
    EXPECT_EQ(std::string(error.what()), broken.path + " is no SoundFont");
  }
}

}  // namespace
}  // namespace romanesca
