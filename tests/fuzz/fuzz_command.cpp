// Any bytes as what is typed: the first lines are the arguments, what follows an empty line is the standard input. The
// devices of this computer and the slow roads to sound stay out; they have fuzzers of their own.
#include <algorithm>
#include <array>

#include "scratch_run.h"

using namespace romanesca;

namespace {

bool is_safe(const std::vector<std::string>& arguments) {
  if (arguments.empty()) return false;
  static constexpr std::array<std::string_view, 3> not_here{"play", "ports", "handout"};
  const auto is = [&](std::string_view word) { return arguments.front() == word; };
  if (std::any_of(not_here.begin(), not_here.end(), is)) return false;
  for (const std::string& argument : arguments) {
    if (argument.find_first_of("/~$") != std::string::npos || argument.find("..") != std::string::npos) return false;
    for (const std::string_view sound : {".wav", ".flac", ".ogg", ".opus", ".mp3"}) {
      if (argument.ends_with(sound)) return false;
    }
  }
  const bool midi = std::any_of(arguments.begin(), arguments.end(), [](const auto& a) { return a.ends_with(".mid"); });
  return arguments.front() != "render" || midi;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size > 1024) return 0;
  const std::string text(reinterpret_cast<const char*>(data), size);
  if (text.find('\0') != std::string::npos) return 0;  // no shell hands it over
  std::vector<std::string> arguments;
  std::size_t at = 0;
  while (at < text.size() && text[at] != '\n') {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    arguments.push_back(text.substr(at, end - at));
    at = end + 1;
  }
  if (!is_safe(arguments)) return 0;
  const auto& folder = test::empty_scratch();
  const std::string input = at < text.size() ? text.substr(at + 1) : "";
  test::must_be_told_well(test::run_in_process(arguments, input, folder / "settings", folder / "data"), text);
  for (const auto& each : std::filesystem::directory_iterator(folder)) {
    if (each.path().filename().string().starts_with(".")) std::abort();  // half written
  }
  return 0;
}
