#pragma once

#include <deque>
#include <string>

#include "cli/studio/backing_track.h"
#include "cli/web/page_song.h"

namespace romanesca {

/// The bars of a song as the band plays them, for a page that asks for one bar after another. A request names the song
/// and how it is played ("text", "key", "mode", "style", "click", "trade", "seed", "hands"); each of them is arranged
/// once, and the last few arrangements are kept.
class PageBars {
 public:
  /// The answer to "form": style, the song's own tempo, meter, "pulses" of a bar, the names of the parts with whether
  /// they rest at first, and for each bar whether the player answers alone and its tempo as a factor of the song's.
  [[nodiscard]] OrderedJson form(const OrderedJson& request);
  /// The answer to "bar": its number of pulses. Further members: "bar" (from 0), "tempo" (pulses a minute), "parts"
  /// ({"drums":{"out":true,"gain":-6}}), "rest" for a bar in which what sounds rings out. @param plan set to the bytes
  /// of its sound plan
  [[nodiscard]] OrderedJson bar(const OrderedJson& request, std::vector<std::uint8_t>& plan);
  /// The answer to "level": an empty object. @param plan set to that of the beginning, to measure its loudness on
  [[nodiscard]] OrderedJson level(const OrderedJson& request, std::vector<std::uint8_t>& plan);

 private:
  struct Arranged {
    std::string request;
    BackingTrack track;
    std::vector<KeySet> keys;  ///< of each part: all notes of drums in the piece; the others may play any
  };
  /// Refers to a member, until the next call.
  [[nodiscard]] Parsed<const Arranged*> arranged(const OrderedJson& request);

  std::deque<Arranged> arranged_;  ///< the newest first
};

}  // namespace romanesca
