#pragma once

#include <vector>

#include "theory/analysis/remarks.h"

namespace romanesca {

/// What to say about the keys: a second reading where it is nearly as likely or the relative key, with a reason that
/// holds for these chords; and each change of key with how the music gets there.
[[nodiscard]] std::vector<Remark> remarks_on_keys(const Analysis& analysis);

}  // namespace romanesca
