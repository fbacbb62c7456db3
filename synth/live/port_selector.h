#pragma once

#include <string>

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

}  // namespace romanesca
