#pragma once

#include <vector>

#include "theory/analysis/analysis.h"

namespace romanesca {

/// A second reading of the key is told from this confidence on.
inline constexpr double worth_telling = 0.15;

/// What to say about the keys: a second reading where it is nearly as likely, with what speaks for it; changes of key;
/// and the chords that are at home on both sides of one.
[[nodiscard]] std::vector<Remark> remarks_on_keys(const Analysis& analysis);

}  // namespace romanesca
