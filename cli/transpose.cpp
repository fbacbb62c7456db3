#include <memory>

#include "cli/analysis_json.h"
#include "cli/answer.h"
#include "cli/command_table.h"
#include "cli/failure.h"
#include "cli/options.h"
#include "cli/output_file.h"
#include "theory/progression_text.h"

namespace romanesca {

std::function<void()> set_up_transpose(CLI::App& app, Console& console) {
  auto options = std::make_shared<CommonOptions>();
  options->add_progression(app);
  options->add_key(app);
  options->add_out(app, ".txt or .json");
  options->add_json(app);
  return [options, &console] {
    const auto file = options->out_given({"txt", "json"});
    const auto key = options->key_given();
    if (!key) throw Failure(ExitStatus::wrong_input, "transpose needs a key to go to", "add --key, like --key Eb");
    const PlacedProgression placed = place(read_progression(options->progression, console), key);
    const std::string text = write_progression(placed.progression);
    const auto json = [&] {
      const OrderedJson answer{
          {"schema", 1}, {"key", key_json(placed.analysis.keys.main)}, {"chords", nullptr}, {"text", text}};
      return json_text(answer, placed.analysis.chords.size(),
                       [&](std::size_t i) { return chord_json(placed.progression, placed.analysis, i); });
    };
    const bool json_file = file && ending_of(*file) == "json";
    if (options->json) give_answer(json(), std::nullopt, console);
    if (json_file) give_answer(json(), file, console);
    if (!json_file && (file || !options->json)) give_answer(text, file, console);
  };
}

}  // namespace romanesca
