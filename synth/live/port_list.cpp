#include "synth/live/port_list.h"

#include <RtMidi.h>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <iostream>

#include "synth/live/jack_watch.h"
#include "theory/text/characters.h"
#include "theory/text/errors.h"

namespace romanesca {
namespace {

constexpr const char* client_name = "romanesca";

void say_nothing(RtMidiError::Type /*type*/, const std::string& /*text*/, void* /*data*/) {}

template <typename Midi>
std::unique_ptr<Midi> connect(RtMidi::Api api);

template <>
std::unique_ptr<RtMidiOut> connect(RtMidi::Api api) {
  return std::make_unique<RtMidiOut>(api, client_name);
}

template <>
std::unique_ptr<RtMidiIn> connect(RtMidi::Api api) {
  return std::make_unique<RtMidiIn>(api, client_name, 1024);
}

/// While one lives, std::cerr is silent: RtMidi writes there before it can be told not to.
class HushedErrors {
 public:
  HushedErrors() : before_(std::cerr.rdbuf(nullptr)) {}
  ~HushedErrors() {
    std::cerr.rdbuf(before_);
    std::cerr.clear();
  }
  HushedErrors(const HushedErrors&) = delete;
  HushedErrors& operator=(const HushedErrors&) = delete;

 private:
  std::streambuf* before_;
};

/// A connection to one system; nothing where it does not answer. RtMidi's JACK throws only when a port is opened, so
/// the server is asked first.
template <typename Midi>
std::unique_ptr<Midi> connection(RtMidi::Api api) {
  if (api == RtMidi::UNIX_JACK && JackWatch::of_running_server() == nullptr) return nullptr;
  hush_sound_systems();
  const HushedErrors hushed;
  try {
    auto midi = connect<Midi>(api);
    midi->setErrorCallback(&say_nothing);
    return midi;
  } catch (const RtMidiError&) {
    return nullptr;
  }
}

std::vector<RtMidi::Api> midi_systems(const std::string& wished) {
  std::vector<RtMidi::Api> all;
  RtMidi::getCompiledApi(all);
  std::erase(all, RtMidi::RTMIDI_DUMMY);
  if (wished.empty()) return all;
  const RtMidi::Api one = RtMidi::getCompiledApiByName(wished);
  if (std::find(all.begin(), all.end(), one) == all.end()) {
    std::vector<std::string> names;
    for (const RtMidi::Api api : all) names.push_back(RtMidi::getApiName(api));
    throw SystemError(fmt::format("--api: there is no MIDI system {}", wished),
                      fmt::format("it is {}", fmt::join(names, " or ")));
  }
  return {one};
}

template <typename Midi>
std::vector<std::string> names_of(Midi& midi) {
  std::vector<std::string> names;
  for (unsigned i = 0; i < midi.getPortCount(); ++i) {
    std::string name = midi.getPortName(i);
    if (name.find(client_name) == std::string::npos)
      names.push_back(std::move(name));
    else
      names.emplace_back();  // our own; the numbers must stay
  }
  return names;
}

template <typename Midi>
std::vector<PortInfo> ports() {
  std::vector<PortInfo> found;
  for (const RtMidi::Api api : midi_systems("")) {
    const auto midi = connection<Midi>(api);
    if (midi == nullptr) continue;
    for (const std::string& name : names_of(*midi)) {
      if (!name.empty()) found.push_back({RtMidi::getApiName(api), name, false});
    }
  }
  return found;
}

template <typename Midi>
struct Candidate {
  RtMidi::Api api;
  unsigned number;
  std::string name;
};

[[noreturn]] void refuse_missing(const PortSelector& wish, const std::vector<std::string>& all, bool any_system) {
  if (!any_system) {
    throw SystemError("this computer has no MIDI system that answers",
                      "play through the speakers with --speakers, or start JACK; romanesca ports shows what is there");
  }
  if (all.empty()) {
    throw SystemError(
        "no MIDI port is there",
        "switch the instrument on and connect it, or use --speakers; romanesca ports shows what is there");
  }
  throw SystemError(fmt::format("no MIDI port has \"{}\" in its name", wish.name),
                    fmt::format("there is {}", fmt::join(all, "; ")));
}

template <typename Midi>
OpenPort<Midi> open_own(const PortSelector& wish) {
  for (const RtMidi::Api api : midi_systems(wish.system)) {
    auto midi = connection<Midi>(api);
    if (midi == nullptr) continue;
    try {
      midi->openVirtualPort(wish.name);
      return {std::move(midi), RtMidi::getApiName(api), wish.name};
    } catch (const RtMidiError&) {
      continue;  // the next system may have one
    }
  }
  refuse_missing(wish, {}, false);
}

/// An exact name, else the only one that has the wish in it.
template <typename Midi>
OpenPort<Midi> open_port(const PortSelector& wish) {
  if (wish.own) return open_own<Midi>(wish);
  std::vector<Candidate<Midi>> exact, partly;
  std::vector<std::string> all;
  bool any_system = false;
  for (const RtMidi::Api api : midi_systems(wish.system)) {
    const auto midi = connection<Midi>(api);
    if (midi == nullptr) continue;
    any_system = true;
    const std::vector<std::string> names = names_of(*midi);
    for (unsigned i = 0; i < names.size(); ++i) {
      if (names[i].empty()) continue;
      all.push_back(names[i]);
      if (names[i] == wish.name) exact.push_back({api, i, names[i]});
      if (name_has(names[i], wish.name)) partly.push_back({api, i, names[i]});
    }
  }
  const auto& fitting = exact.empty() ? partly : exact;
  if (fitting.empty()) refuse_missing(wish, all, any_system);
  if (fitting.size() > 1 && exact.empty()) {
    std::vector<std::string> names;
    for (const auto& each : fitting) names.push_back(each.name);
    throw SystemError(fmt::format("\"{}\" could be several ports", wish.name),
                      fmt::format("write more of the name: {}", fmt::join(names, "; ")));
  }
  const Candidate<Midi>& chosen = fitting.front();
  auto midi = connection<Midi>(chosen.api);
  try {
    if (midi == nullptr) throw SystemError("the MIDI system has gone", "try again");
    midi->openPort(chosen.number, "port");
  } catch (const RtMidiError&) {
    throw SystemError(fmt::format("the port {} does not open", chosen.name), "is another program using it?");
  }
  return {std::move(midi), RtMidi::getApiName(chosen.api), chosen.name};
}

}  // namespace

bool name_has(const std::string& name, const std::string& words) {
  return small_letters(name).find(small_letters(words)) != std::string::npos;
}

std::vector<PortInfo> midi_outputs() { return ports<RtMidiOut>(); }
std::vector<PortInfo> midi_inputs() { return ports<RtMidiIn>(); }
OpenPort<RtMidiOut> open_midi_output(const PortSelector& wish) { return open_port<RtMidiOut>(wish); }
OpenPort<RtMidiIn> open_midi_input(const PortSelector& wish) { return open_port<RtMidiIn>(wish); }

bool is_there(const std::string& system, const std::string& name, bool output) {
  const auto among = output ? midi_outputs() : midi_inputs();
  return std::any_of(among.begin(), among.end(),
                     [&](const PortInfo& port) { return port.system == system && port.name == name; });
}

}  // namespace romanesca
