#include "cli/band_options.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>

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

void BandRequest::add(CLI::App& app) {
  app.add_option("--style", style, "accompaniment style (romanesca styles)")->type_name("STYLE");
  app.add_option("--repeat", times, "how often through, 1 to 200")->type_name("N");
  app.add_option("--times", times)->group("");  // its older name
  app.add_flag("--step-up", step_up, "with --repeat: each time in the next key of the circle of fifths");
  app.add_option("--count-in", count_in_bars, "bars of clicks first, 0 to 8; then the end rings out")
      ->type_name("BARS");
  app.add_option("--intro", intro_bars, "bars of intro, 0 to 8: the first section's last bars, softly")
      ->type_name("BARS");
  app.add_option("--ending", ending, "none, hold (a last chord) or slow (a ritardando to it)")->type_name("HOW");
  app.add_option("--intensity", intensity, "soft, medium or full throughout; else as the sections' names ask")
      ->type_name("HOW");
  app.add_option("--trade", trade_bars, "so many bars of band, so many of drums alone, in turn")->type_name("BARS");
  app.add_option("--guide", guide, "a soft guide part: chords or melody")->type_name("KIND");
  app.add_flag("--click", click, "a metronome throughout");
  app.add_option("--mute", mute, "leave this part out, like drums, bass or pad")->type_name("PART");
  app.add_option("--only", only, "play this part alone")->type_name("PART");
  app.add_option("--with", with, "put this part in: keys, which are left to the student otherwise")->type_name("PART");
  app.add_option("--swing", swing_percent, "where the second of two notes falls, 50 (even) to 75")
      ->type_name("PERCENT");
  app.add_option("--human", human_percent, "small unevenness in time and force, 0 (exact) to 100")
      ->type_name("PERCENT");
  app.add_option("--seed", seed, "another number gives another performance")->type_name("N");
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
