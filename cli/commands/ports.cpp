#include <fmt/format.h>

#include <memory>
#include <vector>

#include "cli/commands/command_table.h"
#include "cli/commands/write_output.h"
#include "cli/formats/chords_json.h"
#include "synth/live/microphone.h"
#include "synth/live/port_list.h"
#include "synth/live/speakers.h"

namespace romanesca {
namespace {

std::string list(const std::string& heading, const std::vector<PortInfo>& ports, const std::string& none) {
  std::string text = heading + "\n";
  for (const PortInfo& port : ports) {
    text += fmt::format("  {}  ({}{})\n", port.name, port.system, port.usual ? ", the usual one" : "");
  }
  return ports.empty() ? text + "  " + none + "\n" : text;
}

OrderedJson rows(const std::vector<PortInfo>& ports) {
  OrderedJson list = OrderedJson::array();
  for (const PortInfo& port : ports) {
    list.push_back({{"name", port.name}, {"system", port.system}, {"usual", port.usual}});
  }
  return list;
}

}  // namespace

std::function<void()> set_up_ports(OptionParser& parser, Console& console) {
  auto json = std::make_shared<bool>(false);
  parser.add_flag("--json", *json, "answer as one JSON object");
  return [json, &console] {
    const std::vector<PortInfo> out = midi_outputs(), in = midi_inputs(), speakers = audio_outputs(),
                                microphones = audio_inputs();
    if (*json) {
      const OrderedJson ports{{"midi_out", rows(out)},
                              {"midi_in", rows(in)},
                              {"speakers", rows(speakers)},
                              {"microphones", rows(microphones)}};
      write_output(OrderedJson{{"schema", 1}, {"ports", ports}}.dump() + "\n", std::nullopt, console);
      return;
    }
    std::string text;
    text += list("To play on: MIDI instruments (--port)", out,
                 "none; connect a digital piano or keyboard by its USB cable and switch it on");
    text += list("To listen to: MIDI keyboards and switches (--listen, --controls)", in, "none; the same cable serves");
    text += list("Speakers and headphones (--speakers, --device)", speakers,
                 "none; connect them and look into the system's sound settings");
    text += list("Microphones (--listen microphone, --microphone)", microphones,
                 "none; connect one, or look into the system's sound settings");
    if (out.empty() && speakers.empty()) {
      text += "\nNothing to play on just now: romanesca render makes a file for any other player.\n";
    }
    write_output(text, std::nullopt, console);
  };
}

}  // namespace romanesca
