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

void ignore_error(RtMidiError::Type /*type*/, const std::string& /*text*/, void* /*data*/) {}

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

/// Silences std::cerr in its scope: RtMidi writes there before its error callback can be set.
class ScopedCerrSilence {
 public:
  ScopedCerrSilence() : before_(std::cerr.rdbuf(nullptr)) {}
  ~ScopedCerrSilence() {
    std::cerr.rdbuf(before_);
    std::cerr.clear();
  }
  ScopedCerrSilence(const ScopedCerrSilence&) = delete;
  ScopedCerrSilence& operator=(const ScopedCerrSilence&) = delete;

 private:
  std::streambuf* before_;
};

/// A client of one MIDI system; null if it does not run. RtMidi's JACK throws only when a port is opened, so the server
/// is checked first.
template <typename Midi>
std::unique_ptr<Midi> connection(RtMidi::Api api) {
  if (api == RtMidi::UNIX_JACK && JackWatch::of_running_server() == nullptr) return nullptr;
  silence_backend_logs();
  const ScopedCerrSilence silence;
  try {
    auto midi = connect<Midi>(api);
    midi->setErrorCallback(&ignore_error);
    return midi;
  } catch (const RtMidiError&) {
    return nullptr;
  }
}

std::vector<RtMidi::Api> midi_systems(const std::string& requested) {
  std::vector<RtMidi::Api> all;
  RtMidi::getCompiledApi(all);
  std::erase(all, RtMidi::RTMIDI_DUMMY);
  if (requested.empty()) return all;
  const RtMidi::Api one = RtMidi::getCompiledApiByName(requested);
  if (std::find(all.begin(), all.end(), one) == all.end()) {
    std::vector<std::string> names;
    for (const RtMidi::Api api : all) names.push_back(RtMidi::getApiName(api));
    throw SystemError(fmt::format("--api: unknown MIDI system \"{}\"", requested),
                      fmt::format("choose {}", fmt::join(names, " or ")));
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
      names.emplace_back();  // our own port; the numbers must stay
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

[[noreturn]] void throw_missing(const PortSelector& selector, const std::vector<std::string>& all, bool any_system) {
  if (!any_system) {
    throw SystemError("no MIDI system is running",
                      "use --speakers, or start JACK; romanesca ports lists what is there");
  }
  if (all.empty()) {
    throw SystemError(
        "there is no MIDI port",
        "switch the instrument on and connect it, or use --speakers; romanesca ports lists what is there");
  }
  throw SystemError(fmt::format("no MIDI port matches \"{}\"", selector.name),
                    fmt::format("there is {}", fmt::join(all, "; ")));
}

template <typename Midi>
OpenPort<Midi> open_own(const PortSelector& selector) {
  for (const RtMidi::Api api : midi_systems(selector.system)) {
    auto midi = connection<Midi>(api);
    if (midi == nullptr) continue;
    try {
      midi->openVirtualPort(selector.name);
      return {std::move(midi), RtMidi::getApiName(api), selector.name};
    } catch (const RtMidiError&) {
      continue;  // the next system may have one
    }
  }
  throw_missing(selector, {}, false);
}

/// The port of exactly that name, else the only one whose name contains it.
template <typename Midi>
OpenPort<Midi> open_port(const PortSelector& selector) {
  if (selector.own) return open_own<Midi>(selector);
  std::vector<Candidate<Midi>> exact, partly;
  std::vector<std::string> all;
  bool any_system = false;
  for (const RtMidi::Api api : midi_systems(selector.system)) {
    const auto midi = connection<Midi>(api);
    if (midi == nullptr) continue;
    any_system = true;
    const std::vector<std::string> names = names_of(*midi);
    for (unsigned i = 0; i < names.size(); ++i) {
      if (names[i].empty()) continue;
      all.push_back(names[i]);
      if (names[i] == selector.name) exact.push_back({api, i, names[i]});
      if (name_contains(names[i], selector.name)) partly.push_back({api, i, names[i]});
    }
  }
  const auto& fitting = exact.empty() ? partly : exact;
  if (fitting.empty()) throw_missing(selector, all, any_system);
  if (fitting.size() > 1 && exact.empty()) {
    std::vector<std::string> names;
    for (const auto& each : fitting) names.push_back(each.name);
    throw SystemError(fmt::format("several MIDI ports match \"{}\"", selector.name),
                      fmt::format("write more of the name: {}", fmt::join(names, "; ")));
  }
  const Candidate<Midi>& chosen = fitting.front();
  auto midi = connection<Midi>(chosen.api);
  try {
    if (midi == nullptr) throw SystemError("the MIDI system has stopped", "try again");
    midi->openPort(chosen.number, "port");
  } catch (const RtMidiError&) {
    throw SystemError(fmt::format("the MIDI port {} cannot be opened", chosen.name), "another program may be using it");
  }
  return {std::move(midi), RtMidi::getApiName(chosen.api), chosen.name};
}

}  // namespace

bool name_contains(const std::string& name, const std::string& part) {
  return small_letters(name).find(small_letters(part)) != std::string::npos;
}

std::vector<PortInfo> midi_outputs() { return ports<RtMidiOut>(); }
std::vector<PortInfo> midi_inputs() { return ports<RtMidiIn>(); }
OpenPort<RtMidiOut> open_midi_output(const PortSelector& selector) { return open_port<RtMidiOut>(selector); }
OpenPort<RtMidiIn> open_midi_input(const PortSelector& selector) { return open_port<RtMidiIn>(selector); }

bool port_exists(const std::string& system, const std::string& name, bool output) {
  const auto among = output ? midi_outputs() : midi_inputs();
  return std::any_of(among.begin(), among.end(),
                     [&](const PortInfo& port) { return port.system == system && port.name == name; });
}

}  // namespace romanesca
