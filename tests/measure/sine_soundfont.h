#pragma once

// A SoundFont made on the spot, so that tests need none from elsewhere.

#include <unistd.h>

#include <cmath>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <string>

namespace romanesca::test {

using Bytes = std::string;

inline Bytes number(std::uint64_t value, int count) {
  Bytes bytes;
  for (int i = 0; i < count; ++i) bytes += i < 8 ? static_cast<char>(value >> (8 * i) & 0xFFU) : '\0';
  return bytes;
}

inline Bytes name(const std::string& text) { return text + Bytes(20 - text.size(), '\0'); }

inline Bytes chunk(const char* id, const Bytes& data) {
  return id + number(static_cast<std::uint32_t>(data.size()), 4) + data + Bytes(data.size() % 2, '\0');
}

inline Bytes generator(std::uint32_t which, std::uint32_t amount) { return number(which, 2) + number(amount, 2); }

/// The smallest SoundFont (SoundFont Technical Specification 2.01): one preset, a sine of 440 Hz that loops, on key 69,
/// which every part plays, whatever its program. @param offset added to each sample: 0 to 20000 of 32767
inline Bytes sine_font(int offset = 0) {
  constexpr int cycles = 22;
  constexpr int length = 2205;  // 22 cycles of 440 Hz at 44,100 Hz
  Bytes samples;
  for (int i = 0; i < length + 46; ++i) {
    const double value = i < length ? offset + 12000 * std::sin(2 * M_PI * cycles * i / length) : 0;
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

}  // namespace romanesca::test
