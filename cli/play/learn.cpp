#include "cli/play/learn.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <charconv>
#include <ostream>
#include <sstream>
#include <vector>

#include "cli/play/controllers.h"
#include "theory/text/errors.h"
#include "theory/text/nearest_word.h"

namespace romanesca {
namespace {

/// What is to be learned. Throws Failure.
LearnedControl wanted_control(const std::string& text) {
  std::istringstream words(text);
  std::string word, number, rest;
  words >> word >> number >> rest;
  const auto action = play_action_named(word);
  if (!action) {
    std::vector<std::string> all;
    for (const PlayActionRow& row : play_actions()) all.emplace_back(row.word);
    const auto near = nearest_word(word, all);
    throw Failure(ExitStatus::wrong_input, fmt::format("--learn: there is nothing called \"{}\" to do", word),
                  near ? fmt::format("did you mean {}?", *near) : fmt::format("it is one of {}", fmt::join(all, ", ")));
  }
  const bool of_part = *action == PlayAction::mute || *action == PlayAction::solo;
  int part = 0;
  const auto read = std::from_chars(number.data(), number.data() + number.size(), part);
  const bool is_part = read.ec == std::errc() && read.ptr == number.data() + number.size() && part >= 1 && part <= 16;
  if (!rest.empty() || (!of_part && !number.empty())) {
    throw Failure(ExitStatus::wrong_input, fmt::format("--learn: \"{}\" says too much", text),
                  fmt::format("it is {} alone", of_part ? word + " and a part's number" : word));
  }
  if (of_part && !is_part) {
    throw Failure(ExitStatus::wrong_input, fmt::format("--learn: {} of which part?", word),
                  fmt::format("write its number too, like \"{} 2\"", word));
  }
  LearnedControl control;
  control.action = *action;
  control.part = part;
  return control;
}

}  // namespace

std::filesystem::path controls_file(const Console& console) {
  return console.configuration.empty() ? std::filesystem::path() : console.configuration / "controls.txt";
}

void learn_control(const std::string& action, const std::string& port, const std::string& system,
                   LiveEnvironment& environment, Console& console) {
  LearnedControl wanted = wanted_control(action);
  if (port.empty()) {
    throw Failure(ExitStatus::wrong_input, "--learn needs the port of the foot switch or pads",
                  "name it with --controls; romanesca ports shows what is there");
  }
  if (console.configuration.empty()) {
    throw Failure(ExitStatus::file_refused, "there is no home folder to keep it in", "set HOME or XDG_CONFIG_HOME");
  }
  Controllers controllers(controls_file(console));
  const auto input = environment.open_input({port, system, false});
  console.out << fmt::format("Press the foot switch, pad or key that shall do this: {}. q leaves.\n",
                             row_of(wanted.action).description)
              << std::flush;
  while (!environment.asked_to_end()) {
    if (const auto key = environment.next_key(20); key == 'q' || key == key_closed) return;
    for (MidiHeard heard; input->take(heard);) {
      const auto control = Controllers::control_of(heard);
      if (!control) continue;
      wanted.kind = control->kind;
      wanted.channel = control->channel;
      wanted.number = control->number;
      controllers.learn(wanted);
      controllers.save();
      console.out << fmt::format("Learned: {} does it now, with --controls \"{}\".\n", description(wanted), port)
                  << std::flush;
      return;
    }
  }
  throw Failure(ExitStatus::interrupted, "stopped; nothing was learned");
}

}  // namespace romanesca
