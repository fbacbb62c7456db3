#pragma once

#include <memory>
#include <string>
#include <vector>

class RtMidiIn;
class RtMidiOut;

namespace romanesca {

/// Which MIDI port is meant.
struct PortSelector {
  std::string name;    ///< a part of its name, in upper or lower case; the name of the new port for own
  std::string system;  ///< "alsa", "jack" and so on; empty for any
  bool own = false;    ///< a port of our own that other programs connect to
};

/// Which speakers, and how.
struct AudioDeviceSettings {
  std::string name;       ///< a part of the device's name; empty for the usual one
  std::string system;     ///< empty for any
  double buffer_ms = 10;  ///< 1 to 200; the system may choose another
};

/// A port or device that is there.
struct PortInfo {
  std::string system;  ///< "alsa", "jack" and so on, as --api takes it
  std::string name;
  bool usual = false;  ///< the one that is taken when none is named; for devices
};

[[nodiscard]] std::vector<PortInfo> midi_outputs();
[[nodiscard]] std::vector<PortInfo> midi_inputs();

/// Whether a name has the words in it, in upper or lower case (ASCII); every name has none.
[[nodiscard]] bool name_has(const std::string& name, const std::string& words);

/// An open port of RtMidi, and where it leads.
template <typename Midi>
struct OpenPort {
  std::unique_ptr<Midi> midi;
  std::string system, name;
};

/// Finds the port in the systems that answer and opens it. Throws SystemError where it is not there, where several
/// could be meant, or where there is no MIDI system at all.
[[nodiscard]] OpenPort<RtMidiOut> open_midi_output(const PortSelector& wish);
[[nodiscard]] OpenPort<RtMidiIn> open_midi_input(const PortSelector& wish);

/// Whether a port that was open is still there, asked on a connection of its own.
[[nodiscard]] bool is_there(const std::string& system, const std::string& name, bool output);

}  // namespace romanesca
