#pragma once

#include <memory>
#include <string>
#include <vector>

class RtMidiIn;
class RtMidiOut;

namespace romanesca {

/// Selects a MIDI port.
struct PortSelector {
  std::string name;    ///< a part of its name, in upper or lower case; the name of the new port for own
  std::string system;  ///< "alsa", "jack" and so on; empty for any
  bool own = false;    ///< open a virtual port that other programs connect to
};

/// Selects an audio device and its buffer.
struct AudioDeviceSettings {
  std::string name;       ///< a part of the device's name; empty for the default one
  std::string system;     ///< empty for any
  double buffer_ms = 10;  ///< 1 to 200; the system may choose another
};

/// An existing port or device.
struct PortInfo {
  std::string system;  ///< "alsa", "jack" and so on, as --api takes it
  std::string name;
  bool usual = false;  ///< the default device
};

[[nodiscard]] std::vector<PortInfo> midi_outputs();
[[nodiscard]] std::vector<PortInfo> midi_inputs();

/// Whether a name contains a text, ignoring case (ASCII); true for an empty one.
[[nodiscard]] bool name_contains(const std::string& name, const std::string& part);

/// An open RtMidi port, its MIDI system and its name.
template <typename Midi>
struct OpenPort {
  std::unique_ptr<Midi> midi;
  std::string system, name;
};

/// Finds the port in the running MIDI systems and opens it. Throws SystemError if there is none, if several match, or
/// if no MIDI system runs.
[[nodiscard]] OpenPort<RtMidiOut> open_midi_output(const PortSelector& selector);
[[nodiscard]] OpenPort<RtMidiIn> open_midi_input(const PortSelector& selector);

/// Whether a port exists, checked by a client of its own.
[[nodiscard]] bool port_exists(const std::string& system, const std::string& name, bool output);

}  // namespace romanesca
