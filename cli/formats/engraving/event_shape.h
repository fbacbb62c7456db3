#pragma once

#include <limits>
#include <map>
#include <optional>
#include <vector>

#include "cli/formats/engraving/glyph.h"
#include "cli/formats/engraving/staff_content.h"

namespace romanesca {

/// How an event looks on its staff. Lengths are staff spaces: x from the left edge of its usual heads, y downwards from
/// the middle line.
struct EventShape {
  struct Head {
    double x = 0, y = 0;
    int position = 0;  ///< half spaces above the middle line
  };
  struct Sign {
    Glyph glyph = Glyph::sharp;
    double x = 0, y = 0;
  };
  Glyph glyph = Glyph::black_head;  ///< of the heads, or the rest
  double head_width = 0;
  std::vector<Head> heads;   ///< in the order of the notes; one for a rest
  std::vector<Sign> signs;   ///< accidentals
  std::vector<double> dots;  ///< their y
  double dot_x = 0;
  bool rest = false, up = false, stemmed = false;
  double stem_x = 0, stem_from = 0, stem_tip = 0;  ///< from the head nearest to its end
  std::optional<Glyph> flag;
  double left = 0, right = 0;  ///< how far it reaches to either side, both 0 or more
  double top = 0, bottom = 0;  ///< of its ink

  /// The y of the head farthest from the stem's end, and of the nearest.
  [[nodiscard]] double far_head() const { return up ? heads.front().y : heads.back().y; }
  [[nodiscard]] double near_head() const { return up ? heads.back().y : heads.front().y; }
  /// Sets top and bottom from heads, stem and signs.
  void measure_height();
};

/// Half spaces from the middle line up to a note.
[[nodiscard]] int staff_position(const Pitch& note, Clef clef) noexcept;

/// Which accidentals a staff needs: those of the key hold everywhere, one before a note until the end of its bar.
class AccidentalState {
 public:
  explicit AccidentalState(const Key& key) : signature_(key.signature()) {}
  void start_bar() { written_.clear(); }
  /// The sign before a note, or nothing. @param tied the note goes on from the one before
  std::optional<Glyph> sign_for(const Pitch& note, bool tied);

 private:
  int signature_;
  std::map<int, int> written_;  ///< alteration by staff step
};

/// @param up the stem's direction, or nothing for the usual one: away from the note farthest from the middle line
/// @param signs the accidental of each note, or nothing @param beamed it gets a beam and no flag
[[nodiscard]] EventShape shape_event(const StaffEvent& event, Clef clef, std::optional<bool> up,
                                     const std::vector<std::optional<Glyph>>& signs, bool beamed);

/// The usual direction of a stem, or of a beam, for notes between these positions.
[[nodiscard]] constexpr bool stem_goes_up(int lowest, int highest) noexcept { return -lowest > highest; }

}  // namespace romanesca
