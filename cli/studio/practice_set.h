#pragma once

#include <span>
#include <string>
#include <vector>

#include "cli/studio/backing_track.h"

namespace romanesca {

/// A practice set: the same piece at several tempos, in twelve keys, or both.
struct PracticeSet {
  std::vector<double> tempos;  ///< pulses a minute; empty for the one of the request
  bool all_keys = false;       ///< round the circle of fifths from the piece's own key
  [[nodiscard]] bool is_one() const { return tempos.size() <= 1 && !all_keys; }

  /// The part of the file name that differs within the set, like "Eb-60"; empty for a single track.
  [[nodiscard]] std::string suffix_of(const BackingTrack& track) const;
};

/// The tracks of a set, keys first, then tempos. Errors as place() and arrange_backing().
[[nodiscard]] Result<std::vector<BackingTrack>> arrange_set(const NamedProgression& source,
                                                            const std::optional<KeyText>& key,
                                                            const BandRequest& request, const PracticeSet& set,
                                                            std::span<const Style> among);

}  // namespace romanesca
