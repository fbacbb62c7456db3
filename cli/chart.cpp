#include <memory>

#include "cli/answer.h"
#include "cli/chart_json.h"
#include "cli/chart_musicxml.h"
#include "cli/chart_text.h"
#include "cli/command_table.h"
#include "cli/hand_options.h"
#include "cli/options.h"
#include "cli/output_file.h"

namespace romanesca {

std::function<void()> set_up_chart(CLI::App& app, Console& console) {
  auto options = std::make_shared<CommonOptions>();
  options->add_progression(app);
  options->add_key(app);
  options->add_out(app, ".txt, .json or .musicxml");
  options->add_json(app);
  auto hand_options = std::make_shared<HandOptions>();
  hand_options->add(app);
  return [options, hand_options, &console] {
    const auto file = options->out_given({"txt", "json", "musicxml", "xml"});
    const HandSettings settings = hand_options->settings();
    PlacedProgression placed = place(read_progression(options->progression, console), options->key_given());
    hand_options->lead_bass(placed);
    const Hands hands = hands_for(placed.analysis.timeline, settings, placed.analysis.keys.by_bar);
    const bool json_file = file && ending_of(*file) == "json";
    const bool score_file = file && (ending_of(*file) == "musicxml" || ending_of(*file) == "xml");
    if (options->json) give_answer(chart_json(placed, hands), std::nullopt, console);
    if (json_file) give_answer(chart_json(placed, hands), file, console);
    if (score_file) give_answer(chart_musicxml(placed, hands), file, console);
    if (!json_file && !score_file && (file || !options->json)) {
      give_answer(chart_text(placed, hands, file ? 80 : console.width), file, console);
    }
  };
}

}  // namespace romanesca
