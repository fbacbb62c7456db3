#include "cli/commands/hand_options.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <array>

#include "cli/or_throw.h"
#include "cli/studio/own_settings.h"
#include "theory/text/nearest_word.h"
#include "theory/voicing/bass_line.h"

namespace romanesca {
namespace {

/// The value with this name. Throws Failure with the names that there are.
template <typename Value, std::size_t N>
Value named(const std::string& option, const std::string& word, const std::array<Value, N>& values) {
  std::vector<std::string_view> names;
  for (const Value value : values) {
    if (to_string(value) == word) return value;
    names.push_back(to_string(value));
  }
  throw Failure(ExitStatus::wrong_input, fmt::format("{}: \"{}\" is none that I know", option, word),
                // cppcheck-suppress danglingTemporaryLifetime; the names are literals
                fmt::format("it is {}", fmt::join(names, ", ")));
}

}  // namespace

void check_span(const std::string& option, int span) {
  if (span >= narrowest_span && span <= widest_span) return;
  throw Failure(ExitStatus::wrong_input, fmt::format("{}: {} is out of range", option, span),
                fmt::format("a hand stretches {} to {} semitones", narrowest_span, widest_span));
}

void HandOptions::add(OptionParser& parser) {
  parser.add_option("--voicing", voicing, "close (inversions that lie near), root, open, shell, rootless or four-part")
      .value_name("KIND");
  parser.add_option("--left", left, "left hand: root, fifth, octave or broken").value_name("PATTERN");
  parser.add_option("--bass", bass, "stepwise: inversions for a bass that walks by step").value_name("stepwise");
  parser.add_option("--span", span, "widest stretch of a hand in semitones, 5 to 16; an octave is 12")
      .value_name("N")
      .refuse_zero("a hand stretches 5 to 16 semitones");
  parser.add_option("--level", level, "hands of a student of this level, 1 to 8")
      .value_name("N")
      .refuse_zero("levels are 1 to 8");
  parser.add_flag("--loop", loops, "the end leads back to the beginning");
}

HandSettings HandOptions::settings(const Console& console) const {
  HandSettings result;
  if (level != 0) result = level_hands(value_or_throw(own_level("--level", level, console.configuration)));
  if (!voicing.empty()) result.voicing = named("--voicing", voicing, all_voicing_kinds);
  if (!left.empty()) result.left = named("--left", left, all_left_hands);
  if (span != 0) {
    check_span("--span", span);
    result.span = span;
  }
  result.loops = loops;
  return result;
}

std::string HandOptions::advice(const Console& console) const {
  if (level == 0) return {};
  const Level of_student = value_or_throw(own_level("--level", level, console.configuration));
  return fmt::format("Level {}, {}: {}.", level, of_student.name, description(of_student.rhythm));
}

void HandOptions::lead_bass(Placement& placed) const {
  if (bass.empty()) return;
  if (bass != "stepwise") {
    throw Failure(ExitStatus::wrong_input, fmt::format("--bass: \"{}\" is none that I know", bass), "it is stepwise");
  }
  placed.progression = with_stepwise_bass(placed.progression, placed.analysis);
  const double confidence = placed.analysis.keys.main.confidence;
  placed.analysis = analyse(placed.progression, KeyText{placed.key.tonic, placed.key.mode});
  placed.analysis.keys.main.confidence = confidence;
}

}  // namespace romanesca
