#include "cli/commands/band_options.h"

#include <fmt/format.h>

#include "theory/text/errors.h"

namespace romanesca {
namespace {

void check_range(const char* option, double value, double lowest, double highest) {
  if (value >= lowest && value <= highest) return;
  throw Failure(ExitStatus::wrong_input, fmt::format("{}: {} is out of range", option, value),
                fmt::format("choose {} to {}", lowest, highest));
}

[[noreturn]] void unknown(const char* option, const std::string& word, const char* choices) {
  throw Failure(ExitStatus::wrong_input, fmt::format("{}: \"{}\" is none that I know", option, word),
                fmt::format("it is {}", choices));
}

}  // namespace

void BandOptions::add(OptionParser& parser) {
  parser.add_option("--style", request.style, "accompaniment style (romanesca styles)").value_name("STYLE");
  parser.add_option("--repeat", request.times, "how often through, 1 to 200").value_name("N");
  parser.add_option("--times", request.times).hidden();  // its older name
  parser.add_flag("--step-up", request.step_up, "with --repeat: each time in the next key of the circle of fifths");
  parser.add_option("--count-in", request.count_in_bars, "bars of clicks first, 0 to 8; then the end rings out")
      .value_name("BARS");
  parser.add_option("--intro", request.intro_bars, "bars of intro, 0 to 8: the first section's last bars, softly")
      .value_name("BARS");
  parser.add_option("--ending", ending, "none, hold (a last chord) or slow (a ritardando to it)").value_name("HOW");
  parser.add_option("--intensity", intensity, "soft, medium or full throughout; else as the sections' names ask")
      .value_name("HOW");
  parser.add_option("--trade", request.trade_bars, "so many bars of band, so many of drums alone, in turn")
      .value_name("BARS");
  parser.add_option("--guide", guide, "a soft guide part: chords or melody").value_name("KIND");
  parser.add_flag("--click", request.click, "a metronome throughout");
  parser.add_option("--mute", request.mute, "leave this part out, like drums, bass or pad").value_name("PART");
  parser.add_option("--only", request.only, "play this part alone").value_name("PART");
  parser.add_option("--with", request.with, "put this part in: keys, which are left to the student otherwise")
      .value_name("PART");
  parser.add_option("--swing", request.swing_percent, "where the second of two notes falls, 50 (even) to 75")
      .value_name("PERCENT");
  parser.add_option("--human", request.human_percent, "small unevenness in time and force, 0 (exact) to 100")
      .value_name("PERCENT");
  parser.add_option("--seed", request.seed, "another number gives another performance").value_name("N");
}

BandRequest BandOptions::checked() const {
  check_range("--repeat", request.times, 1, 200);
  check_range("--count-in", request.count_in_bars, 0, 8);
  check_range("--intro", request.intro_bars, 0, 8);
  check_range("--trade", request.trade_bars, 0, 32);
  if (request.swing_percent != 0) check_range("--swing", request.swing_percent, 50, 75);
  check_range("--human", request.human_percent, 0, 100);
  if (request.step_up && request.times == 1) {
    throw Failure(ExitStatus::wrong_input, "--step-up changes the key each time round, and it goes round once",
                  "add --repeat 12 for all keys");
  }
  BandRequest checked = request;
  if (ending != "none" && ending != "hold" && ending != "slow") unknown("--ending", ending, "none, hold or slow");
  checked.ending = ending == "hold" ? Ending::hold : ending == "slow" ? Ending::slow : Ending::none;
  checked.intensity = parse_intensity(intensity);
  if (!intensity.empty() && !checked.intensity) unknown("--intensity", intensity, "soft, medium or full");
  checked.guide = parse_guide(guide);
  if (!guide.empty() && !checked.guide) unknown("--guide", guide, "chords or melody");
  return checked;
}

bool BandOptions::only_chooses_parts() const {
  return request.style.empty() && request.tempo_bpm == 0 && request.times == 1 && !request.step_up &&
         request.count_in_bars == 0 && request.intro_bars == 0 && request.trade_bars == 0 &&
         request.swing_percent == 0 && !request.click && ending == "none" && intensity.empty() && guide.empty();
}

}  // namespace romanesca
