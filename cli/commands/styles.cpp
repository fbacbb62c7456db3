#include <fmt/format.h>

#include <memory>

#include "cli/commands/command_table.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/formats/chords_json.h"
#include "cli/studio/own_settings.h"

namespace romanesca {
namespace {

struct StylesOptions {
  std::string meter;
  bool json = false;
};

std::string part_names(const Style& style) {
  std::string names;
  for (const StylePart& part : style.parts) names += (names.empty() ? "" : ", ") + part.name;
  return names;
}

std::string style_text(const Style& style) {
  return fmt::format("{:<18} {:>4}  {:>3.0f} to {:>3.0f}  {:<32} {}\n", style.id, to_string(style.meter),
                     style.slowest_bpm, style.fastest_bpm, style.feel, part_names(style));
}

OrderedJson style_json(const Style& style) {
  OrderedJson parts = OrderedJson::array();
  for (const StylePart& part : style.parts)
    parts.push_back({{"part", part.name}, {"instrument", instrument(part.instrument).name}});
  return {{"id", style.id},
          {"meter", to_string(style.meter)},
          {"feel", style.feel},
          {"tempo", {{"slowest", style.slowest_bpm}, {"usual", style.usual_bpm}, {"fastest", style.fastest_bpm}}},
          {"swing", style.swing_percent},
          {"parts", std::move(parts)}};
}

}  // namespace

std::function<void()> set_up_styles(OptionParser& parser, Console& console) {
  auto options = std::make_shared<StylesOptions>();
  parser.add_option("--meter", options->meter, "only this meter, like 3/4").value_name("METER");
  parser.add_flag("--json", options->json, "answer as one JSON object");
  return [options, &console] {
    std::optional<Meter> meter;
    if (!options->meter.empty()) {
      meter = parse_meter(options->meter);
      if (!meter) {
        throw Failure(ExitStatus::wrong_input, fmt::format("--meter: unknown meter \"{}\"", options->meter),
                      "choose 2/4, 3/4, 4/4, 5/4, 6/8, 9/8 or 12/8");
      }
    }
    OrderedJson answer{{"schema", 1}, {"styles", OrderedJson::array()}};
    std::string text = fmt::format("{:<18} {:>4}  {:<10}  {:<32} {}\n", "style", "in", "tempo", "feel", "parts");
    for (const Style& style : value_or_throw(own_styles(console.configuration))) {
      if (meter && style.meter != *meter) continue;
      answer["styles"].push_back(style_json(style));
      text += style_text(style);
    }
    text +=
        "\nThe tempo counts beats; in 6/8, 9/8 and 12/8 a beat is a dotted quarter. The keys are the student's part:\n"
        "render leaves them out unless it is told --with keys.\n";
    write_output(options->json ? answer.dump() + "\n" : text, std::nullopt, console);
  };
}

}  // namespace romanesca
