// The page's engine as native code. Reads one request per line; prints the answer, then the size of the plan, the
// number of frames and a hash of the samples.
#include <fmt/format.h>

#include <cstdint>
#include <cstring>
#include <iostream>
#include <string>

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

int main() {
  romanesca::PageEngine engine;
  for (std::string line; std::getline(std::cin, line);) {
    const std::string answer = engine.answer(line);
    const romanesca::PageSound sound = romanesca::page_sound(engine.plan(), 44100);
    const std::uint64_t left = hash(sound.left.data(), sound.left.size() * sizeof(float));
    const std::uint64_t both = hash(sound.right.data(), sound.right.size() * sizeof(float), left);
    std::cout << answer << '\n' << fmt::format("{} {} {:016x}\n", engine.plan().size(), sound.left.size(), both);
  }
  return 0;
}
