#pragma once

#include <vector>

#include "cli/formats/paper/marks.h"
#include "theory/chords/key.h"
#include "theory/voicing/hands.h"

namespace romanesca {

/// A chord at its place on the staves.
struct StaffChord {
  double x = 0;
  const HandsChord* hands = nullptr;
};

/// Height of a grand staff with room for ledger lines above and below, in points. @param space between two lines
[[nodiscard]] double grand_staff_height(double space);
/// From the top of that room down to the lowest line.
[[nodiscard]] double grand_staff_depth(double space);
/// Width that the clefs and the key signature take.
[[nodiscard]] double grand_staff_head(double space, const Key& key);

/// Adds two staves with clefs and key signature, and the chords as open notes without stems: the rhythm is shown in the
/// bars above. Signs where a note differs from the key signature.
void add_grand_staff(std::vector<Mark>& marks, const Box& area, double space, const Key& key,
                     const std::vector<StaffChord>& chords);

}  // namespace romanesca
