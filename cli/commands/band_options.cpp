#include "cli/commands/band_options.h"

#include <fmt/format.h>

#include "cli/failure.h"

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

void BandRequest::add(OptionParser& parser) {
  parser.add_option("--style", style, "accompaniment style (romanesca styles)").value_name("STYLE");
  parser.add_option("--repeat", times, "how often through, 1 to 200").value_name("N");
  parser.add_option("--times", times).hidden();  // its older name
  parser.add_flag("--step-up", step_up, "with --repeat: each time in the next key of the circle of fifths");
  parser.add_option("--count-in", count_in_bars, "bars of clicks first, 0 to 8; then the end rings out")
      .value_name("BARS");
  parser.add_option("--intro", intro_bars, "bars of intro, 0 to 8: the first section's last bars, softly")
      .value_name("BARS");
  parser.add_option("--ending", ending, "none, hold (a last chord) or slow (a ritardando to it)").value_name("HOW");
  parser.add_option("--intensity", intensity, "soft, medium or full throughout; else as the sections' names ask")
      .value_name("HOW");
  parser.add_option("--trade", trade_bars, "so many bars of band, so many of drums alone, in turn").value_name("BARS");
  parser.add_option("--guide", guide, "a soft guide part: chords or melody").value_name("KIND");
  parser.add_flag("--click", click, "a metronome throughout");
  parser.add_option("--mute", mute, "leave this part out, like drums, bass or pad").value_name("PART");
  parser.add_option("--only", only, "play this part alone").value_name("PART");
  parser.add_option("--with", with, "put this part in: keys, which are left to the student otherwise")
      .value_name("PART");
  parser.add_option("--swing", swing_percent, "where the second of two notes falls, 50 (even) to 75")
      .value_name("PERCENT");
  parser.add_option("--human", human_percent, "small unevenness in time and force, 0 (exact) to 100")
      .value_name("PERCENT");
  parser.add_option("--seed", seed, "another number gives another performance").value_name("N");
}

void BandRequest::check() const {
  check_range("--repeat", times, 1, 200);
  check_range("--count-in", count_in_bars, 0, 8);
  check_range("--intro", intro_bars, 0, 8);
  check_range("--trade", trade_bars, 0, 32);
  if (swing_percent != 0) check_range("--swing", swing_percent, 50, 75);
  check_range("--human", human_percent, 0, 100);
  if (step_up && times == 1) {
    throw Failure(ExitStatus::wrong_input, "--step-up changes the key each time round, and it goes round once",
                  "add --repeat 12 for all keys");
  }
  if (ending != "none" && ending != "hold" && ending != "slow") unknown("--ending", ending, "none, hold or slow");
  if (!intensity.empty() && !intensity_wanted()) unknown("--intensity", intensity, "soft, medium or full");
  if (!guide.empty() && !guide_wanted()) unknown("--guide", guide, "chords or melody");
}

Ending BandRequest::ending_wanted() const {
  return ending == "hold" ? Ending::hold : ending == "slow" ? Ending::slow : Ending::none;
}

std::optional<Intensity> BandRequest::intensity_wanted() const { return parse_intensity(intensity); }

std::optional<Guide> BandRequest::guide_wanted() const { return parse_guide(guide); }

bool BandRequest::only_chooses_parts() const {
  return style.empty() && tempo_bpm == 0 && times == 1 && !step_up && count_in_bars == 0 && intro_bars == 0 &&
         trade_bars == 0 && swing_percent == 0 && !click && ending == "none" && intensity.empty() && guide.empty();
}

}  // namespace romanesca
