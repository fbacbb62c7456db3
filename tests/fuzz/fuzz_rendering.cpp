// Any progression that can be read, all the way to a file. The first byte chooses among the styles that fit, the second
// the kind of file and what is added.
#include <algorithm>

#include "scratch_run.h"
#include "synth/arranging/style.h"
#include "synth/files/audio_file.h"
#include "theory/songs/progression_text.h"

using namespace romanesca;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size < 3 || size > 300) return 0;
  const std::string text(reinterpret_cast<const char*>(data) + 2, size - 2);
  const auto read = parse_progression(text, "fuzz");
  if (!read || timeline(*read, {}).bars > 6) return 0;
  std::vector<const Style*> fitting;
  for (const Style& style : styles()) {
    if (style.meter == read->meter()) fitting.push_back(&style);
  }
  const Style& style = *fitting[data[0] % fitting.size()];
  const bool has_keys = std::any_of(style.parts.begin(), style.parts.end(),
                                    [](const StylePart& part) { return part.name == students_part; });
  const auto endings = audio_endings();
  const std::size_t ending = data[1] % (endings.size() + 1);
  const std::string file = "loop." + (ending < endings.size() ? std::string(endings[ending]) : "mid");
  std::vector<std::string> arguments{"render", "-", "--out", file, "--tempo", "400", "--style", style.id};
  if ((data[1] & 0x10U) != 0) arguments.insert(arguments.end(), {"--intro", "1", "--ending", "slow"});
  if ((data[1] & 0x20U) != 0) arguments.insert(arguments.end(), {"--guide", "melody"});
  if ((data[1] & 0x20U) != 0 && has_keys) arguments.insert(arguments.end(), {"--with", "keys"});
  if ((data[1] & 0x40U) != 0 && !file.ends_with(".opus")) arguments.insert(arguments.end(), {"--rate", "44100"});
  if ((data[1] & 0x80U) != 0) arguments.insert(arguments.end(), {"--count-in", "1", "--trade", "1"});
  const auto& folder = test::empty_scratch();
  const test::Outcome outcome = test::run_in_process(arguments, text);
  test::must_be_told_well(outcome, text);
  std::error_code none;
  const bool written = std::filesystem::file_size(folder / file, none) > 40 && !none;
  // What can be refused in a text that is chords alone are its limits, which six bars do not reach.
  if (written != (outcome.status == 0) || (!written && text.find(':') == std::string::npos)) {
    std::fprintf(stderr, "status %d\n%s\n", outcome.status, outcome.err.c_str());
    std::abort();
  }
  return 0;
}
