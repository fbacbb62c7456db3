#include "synth/files/ogg_serial.h"

#include <array>
#include <cstdint>
#include <fstream>
#include <vector>

#include "theory/text/errors.h"

namespace romanesca {
namespace {

constexpr std::uint32_t serial = 1;
// RFC 3533: offsets in the head of a page.
constexpr std::size_t head_bytes = 27, serial_at = 14, checksum_at = 22, segments_at = 26;

std::array<std::uint32_t, 256> checksum_table() {
  std::array<std::uint32_t, 256> table{};
  for (std::uint32_t byte = 0; byte < 256; ++byte) {
    std::uint32_t rest = byte << 24U;
    for (int bit = 0; bit < 8; ++bit) rest = (rest << 1U) ^ ((rest & 0x80000000U) != 0 ? 0x04C11DB7U : 0U);
    table[byte] = rest;
  }
  return table;
}

std::uint32_t checksum(const std::vector<char>& page) {
  static const std::array<std::uint32_t, 256> table = checksum_table();
  std::uint32_t sum = 0;
  for (const char byte : page) sum = (sum << 8U) ^ table[(sum >> 24U) ^ static_cast<std::uint8_t>(byte)];
  return sum;
}

void put(std::vector<char>& page, std::size_t at, std::uint32_t value) {
  for (std::size_t i = 0; i < 4; ++i) page[at + i] = static_cast<char>(value >> (8 * i) & 0xFFU);
}

}  // namespace

void fix_ogg_serial(const std::string& path) {
  std::fstream file(path, std::ios::binary | std::ios::in | std::ios::out);
  std::vector<char> page;
  std::streamoff place = 0;
  for (;; place += static_cast<std::streamoff>(page.size())) {
    page.resize(head_bytes);
    file.seekg(place);
    if (!file.read(page.data(), static_cast<std::streamsize>(head_bytes))) break;
    if (std::string(page.data(), 4) != "OggS") throw SystemError("the Ogg file is damaged");
    const auto segments = static_cast<std::size_t>(static_cast<std::uint8_t>(page[segments_at]));
    page.resize(head_bytes + segments);
    file.read(page.data() + head_bytes, static_cast<std::streamsize>(segments));
    std::size_t body = 0;
    for (std::size_t i = 0; i < segments; ++i) body += static_cast<std::uint8_t>(page[head_bytes + i]);
    page.resize(head_bytes + segments + body);
    if (!file.read(page.data() + head_bytes + segments, static_cast<std::streamsize>(body)))
      throw SystemError("the Ogg file is truncated");
    put(page, serial_at, serial);
    put(page, checksum_at, 0);
    put(page, checksum_at, checksum(page));
    file.seekp(place);
    if (!file.write(page.data(), static_cast<std::streamsize>(page.size())))
      throw SystemError("the disk is full or cannot be written");
  }
  if (place == 0) throw SystemError("the Ogg file is empty");
  file.clear();
  file.close();
  if (file.fail()) throw SystemError("the disk is full or cannot be written");
}

}  // namespace romanesca
