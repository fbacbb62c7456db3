#include "synth/files/wav_loop.h"

#include <array>
#include <fstream>
#include <vector>

#include "theory/text/errors.h"

namespace romanesca {
namespace {

constexpr std::uint32_t middle_c = 60;

void append(std::vector<char>& bytes, std::uint32_t value) {
  for (unsigned shift = 0; shift < 32; shift += 8) bytes.push_back(static_cast<char>(value >> shift & 0xFFU));
}

}  // namespace

void mark_wav_loop(const std::string& path, std::int64_t sample_rate_hz, std::int64_t frames) {
  const auto last_frame = static_cast<std::uint32_t>(frames - 1);  // it is played, too
  const std::array<std::uint32_t, 9> head{
      0, 0, static_cast<std::uint32_t>(1'000'000'000 / sample_rate_hz), middle_c, 0, 0, 0, 1, 0};
  const std::array<std::uint32_t, 6> loop{0, 0, 0, last_frame, 0, 0};  // forward, without end
  std::vector<char> chunk{'s', 'm', 'p', 'l'};
  append(chunk, 4 * static_cast<std::uint32_t>(head.size() + loop.size()));
  for (const std::uint32_t value : head) append(chunk, value);
  for (const std::uint32_t value : loop) append(chunk, value);

  std::fstream file(path, std::ios::binary | std::ios::in | std::ios::out);
  file.seekp(0, std::ios::end);
  file.write(chunk.data(), static_cast<std::streamsize>(chunk.size()));
  std::vector<char> riff_size;
  append(riff_size, static_cast<std::uint32_t>(static_cast<std::int64_t>(file.tellp()) - 8));
  file.seekp(4);
  file.write(riff_size.data(), 4);
  file.close();
  if (file.fail()) throw SystemError("the disk is full or refuses to take more");
}

}  // namespace romanesca
