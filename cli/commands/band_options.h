#pragma once

#include <string>

#include "cli/option_parser.h"
#include "cli/studio/backing_track.h"

namespace romanesca {

/// Options of commands that let the band play.
struct BandOptions {
  BandRequest request;
  std::string ending = "none", intensity, guide;

  void add(OptionParser& parser);
  /// Throws Failure for a number out of range or an unknown word.
  [[nodiscard]] BandRequest checked() const;
  /// Nothing is asked for but which parts play.
  [[nodiscard]] bool only_chooses_parts() const;
};

}  // namespace romanesca
