#pragma once

namespace romanesca {

/// Looks for this computer's fonts, once. What their library says to standard error meanwhile, of its settings and of
/// what it cannot note, is left out: the page is drawn all the same. Throws Failure (file_refused) if there is no font.
void load_fonts();

}  // namespace romanesca
