#include "cli/play/controllers.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <ostream>
#include <sstream>
#include <utility>
#include <vector>

#include "cli/errors.h"
#include "cli/studio/file_io.h"
#include "theory/text/errors.h"
#include "theory/text/nearest_word.h"

namespace romanesca {
namespace {

using Kind = LearnedControl::Kind;
constexpr std::array<std::pair<std::string_view, Kind>, 3> kinds{
    {{"controller", Kind::controller}, {"note", Kind::note}, {"program", Kind::program}}};

std::string_view word_of(Kind kind) {
  return std::find_if(kinds.begin(), kinds.end(), [&](const auto& each) { return each.second == kind; })->first;
}

std::optional<int> parse_number(std::string_view text, int lowest, int highest) {
  int value = 0;
  const auto read = std::from_chars(text.data(), text.data() + text.size(), value);
  if (read.ec != std::errc() || read.ptr != text.data() + text.size() || value < lowest || value > highest) return {};
  return value;
}

[[noreturn]] void throw_wrong_line(const std::string& source, int line, const std::string& why,
                                   const std::string& hint) {
  throw Failure(ExitStatus::wrong_input, fmt::format("{}:{}: {}", source, line, why), hint);
}

/// "controller 64 channel 1 start-stop", or "note 36 channel 10 mute 2".
LearnedControl read_line(const std::string& text, const std::string& source, int line) {
  std::istringstream words(text);
  std::string kind, number, channel_word, channel, action, part;
  words >> kind >> number >> channel_word >> channel >> action >> part;
  const auto* const known =
      std::find_if(kinds.begin(), kinds.end(), [&](const auto& each) { return each.first == kind; });
  const auto read_number = parse_number(number, 0, 127);
  const auto read_channel = parse_number(channel, 1, 16);
  if (known == kinds.end() || !read_number || channel_word != "channel" || !read_channel) {
    throw_wrong_line(source, line, "this is not a learned control",
                     "write it like \"controller 64 channel 1 start-stop\", or delete it");
  }
  const auto read_action = play_action_named(action);
  if (!read_action) {
    std::vector<std::string> all;
    for (const PlayActionRow& row : play_actions()) all.emplace_back(row.word);
    const auto near = nearest_word(action, all);
    throw_wrong_line(
        source, line, fmt::format("unknown action \"{}\"", action),
        near ? fmt::format("did you mean {}?", *near) : fmt::format("choose one of {}", fmt::join(all, ", ")));
  }
  const bool needs_part = *read_action == PlayAction::mute || *read_action == PlayAction::solo;
  const auto read_part = parse_number(part, 1, 16);
  if (needs_part != read_part.has_value()) {
    throw_wrong_line(source, line, fmt::format("{} {} part number", action, needs_part ? "needs a" : "takes no"),
                     needs_part ? "write it like \"note 36 channel 10 mute 2\"" : "delete the number");
  }
  return {known->second, *read_channel - 1, *read_number, *read_action, read_part.value_or(0)};
}

bool same_control(const LearnedControl& a, const LearnedControl& b) {
  return a.kind == b.kind && a.channel == b.channel && a.number == b.number;
}

/// The action and part of --learn. Throws Failure.
LearnedControl parse_learn_option(const std::string& text) {
  std::istringstream words(text);
  std::string word, number, rest;
  words >> word >> number >> rest;
  const auto action = play_action_named(word);
  if (!action) {
    std::vector<std::string> all;
    for (const PlayActionRow& row : play_actions()) all.emplace_back(row.word);
    const auto near = nearest_word(word, all);
    throw Failure(
        ExitStatus::wrong_input, fmt::format("--learn: unknown action \"{}\"", word),
        near ? fmt::format("did you mean {}?", *near) : fmt::format("choose one of {}", fmt::join(all, ", ")));
  }
  const bool needs_part = *action == PlayAction::mute || *action == PlayAction::solo;
  int part = 0;
  const auto read = std::from_chars(number.data(), number.data() + number.size(), part);
  const bool is_part = read.ec == std::errc() && read.ptr == number.data() + number.size() && part >= 1 && part <= 16;
  if (!rest.empty() || (!needs_part && !number.empty())) {
    throw Failure(ExitStatus::wrong_input, fmt::format("--learn: too many words in \"{}\"", text),
                  fmt::format("write {}", needs_part ? word + " and a part number" : word + " alone"));
  }
  if (needs_part && !is_part) {
    throw Failure(ExitStatus::wrong_input, fmt::format("--learn: {} needs a part number", word),
                  fmt::format("write a number from 1 to 16 after it, like \"{} 2\"", word));
  }
  LearnedControl control;
  control.action = *action;
  control.part = part;
  return control;
}

}  // namespace

std::vector<LearnedControl> read_controls(const std::string& text, const std::string& source) {
  std::vector<LearnedControl> controls;
  std::istringstream lines(text);
  int number = 0;
  for (std::string line; std::getline(lines, line);) {
    ++number;
    if (!line.empty() && line.back() == '\r') line.pop_back();
    if (line.find_first_not_of(" \t") == std::string::npos || line.front() == '#') continue;
    controls.push_back(read_line(line, source, number));
  }
  return controls;
}

Controllers::Controllers(std::filesystem::path file) : file_(std::move(file)) {
  std::error_code ignored;
  if (file_.empty() || !std::filesystem::exists(file_, ignored)) return;
  all_ = read_controls(value_or_throw(read_text_file(file_.string())), file_.string());
}

std::optional<LearnedControl> Controllers::control_of(const MidiHeard& message) {
  const int channel = message.status & 0x0F;
  switch (message.status & 0xF0) {
    case 0xB0:
      if (message.second >= 64) return LearnedControl{Kind::controller, channel, message.first};
      break;
    case 0x90:
      if (message.second > 0) return LearnedControl{Kind::note, channel, message.first};
      break;
    case 0xC0:
      return LearnedControl{Kind::program, channel, message.first};
    default:
      break;
  }
  return std::nullopt;
}

std::optional<PlayRequest> Controllers::asks(const MidiHeard& message) {
  const bool is_release = (message.status & 0xF0) == 0xB0 && message.second < 64;
  for (const LearnedControl& control : all_) {
    const auto down = std::find(pressed_.begin(), pressed_.end(), &control);
    const bool is_controller = control.kind == Kind::controller;
    if (is_controller && is_release && control.channel == (message.status & 0x0F) && control.number == message.first) {
      if (down != pressed_.end()) pressed_.erase(down);
      return std::nullopt;
    }
    const auto from = control_of(message);
    if (!from || !same_control(*from, control)) continue;
    if (is_controller) {
      if (down != pressed_.end()) return std::nullopt;  // a pedal that is still going down
      pressed_.push_back(&control);
    }
    return PlayRequest{control.action, control.part};
  }
  return std::nullopt;
}

void Controllers::learn(const LearnedControl& control) {
  pressed_.clear();
  std::erase_if(all_, [&](const LearnedControl& each) {
    return same_control(each, control) || (each.action == control.action && each.part == control.part);
  });
  all_.push_back(control);
}

void Controllers::save() const {
  std::string text = "# What foot switches and pads do in romanesca play; written by --learn.\n";
  for (const LearnedControl& control : all_) {
    text += fmt::format("{} {} channel {} {}{}\n", word_of(control.kind), control.number, control.channel + 1,
                        row_of(control.action).word, control.part > 0 ? fmt::format(" {}", control.part) : "");
  }
  std::error_code failed;
  std::filesystem::create_directories(file_.parent_path(), failed);
  or_throw(write_file(file_, text));
}

std::string description(const LearnedControl& control) {
  return fmt::format("{} {} on channel {}", word_of(control.kind), control.number, control.channel + 1);
}

std::filesystem::path controls_file(const Console& console) {
  return console.configuration.empty() ? std::filesystem::path() : console.configuration / "controls.txt";
}

void learn_control(const std::string& action, const std::string& port, const std::string& system,
                   LiveEnvironment& environment, Console& console) {
  LearnedControl learned = parse_learn_option(action);
  if (port.empty()) {
    throw Failure(ExitStatus::wrong_input, "--learn needs the port of the foot switch or pads",
                  "name it with --controls; romanesca ports lists the ports");
  }
  if (console.configuration.empty()) {
    throw Failure(ExitStatus::file_refused, "there is no folder to keep learned controls in",
                  "set HOME or XDG_CONFIG_HOME");
  }
  Controllers controllers(controls_file(console));
  const auto input = environment.open_input({port, system, false});
  console.out << fmt::format("Press the foot switch, pad or key for \"{}\". q quits.\n",
                             row_of(learned.action).description)
              << std::flush;
  while (!environment.asked_to_end()) {
    if (const auto key = environment.next_key(20); key == 'q' || key == key_closed) return;
    for (MidiHeard message; input->take(message);) {
      const auto control = Controllers::control_of(message);
      if (!control) continue;
      learned.kind = control->kind;
      learned.channel = control->channel;
      learned.number = control->number;
      controllers.learn(learned);
      controllers.save();
      console.out << fmt::format("Learned: {} for \"{}\"; use it with --controls \"{}\".\n", description(learned),
                                 row_of(learned.action).description, port)
                  << std::flush;
      return;
    }
  }
  throw Failure(ExitStatus::interrupted, "stopped; nothing was learned");
}

}  // namespace romanesca
