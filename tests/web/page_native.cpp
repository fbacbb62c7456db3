// The page's engine as native code. Reads one request per line; prints the answer, then the size of the plan, the
// number of frames and a hash of the samples. A request with "begin" (frames per second) starts a stream, whose bars
// have "gain" (dB); one with "recording_file" gives the engine the samples of that file first. With a file as argument
// the samples of bars are added to it, left and right in turn, as 32-bit floats.
#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
#include <cstring>
#include <fstream>
#include <iostream>
#include <memory>
#include <string>

#include "cli/studio/recording.h"
#include "cli/web/page_engine.h"
#include "cli/web/page_sound.h"

namespace {

/// FNV-1a, 64 bits (Fowler, Noll and Vo; draft-eastlake-fnv).
std::uint64_t hash(const void* bytes, std::size_t count, std::uint64_t value = 0xcbf29ce484222325ULL) {
  const auto* const each = static_cast<const unsigned char*>(bytes);
  for (std::size_t i = 0; i < count; ++i) value = (value ^ each[i]) * 0x100000001b3ULL;
  return value;
}

}  // namespace

int main(int count, char** arguments) {
  romanesca::PageEngine engine;
  std::unique_ptr<romanesca::BarStream> stream;
  std::ofstream file;
  if (count > 1) file.open(arguments[1], std::ios::binary);
  for (std::string line; std::getline(std::cin, line);) {
    const auto request = nlohmann::ordered_json::parse(line, nullptr, false);
    if (request.is_object() && request.contains("begin")) {
      stream = std::make_unique<romanesca::BarStream>(request["begin"].get<double>());
    }
    if (request.is_object() && request.contains("recording_file")) {
      const auto sound = romanesca::read_recording(request["recording_file"].get<std::string>());
      if (!sound) return 1;
      std::copy(sound->begin(), sound->end(), engine.reserve_recording(sound->size()));
    }
    const std::string answer = engine.answer(line);
    const bool bar = stream && request.is_object() && request.contains("gain");
    const romanesca::PageSound sound = bar ? romanesca::page_bar(*stream, engine.plan(), request["gain"].get<double>())
                                           : romanesca::page_sound(engine.plan(), 44100);
    for (std::size_t i = 0; bar && file.is_open() && i < sound.left.size(); ++i) {
      file.write(reinterpret_cast<const char*>(&sound.left[i]), sizeof(float));
      file.write(reinterpret_cast<const char*>(&sound.right[i]), sizeof(float));
    }
    const std::uint64_t left = hash(sound.left.data(), sound.left.size() * sizeof(float));
    const std::uint64_t both = hash(sound.right.data(), sound.right.size() * sizeof(float), left);
    std::cout << answer << '\n' << fmt::format("{} {} {:016x}\n", engine.plan().size(), sound.left.size(), both);
  }
  return 0;
}
