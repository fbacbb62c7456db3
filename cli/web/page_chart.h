#pragma once

#include "cli/web/page_song.h"

namespace romanesca {

/// The answer to "song" (text, key, mode, hands, level): what chart --json has, each chord with its place in the text
/// ("line", "column", "width"; line 0 where it has none) and the "words" sung from it on; "sections"
/// ({"name","bar","bars"}, as played), "decisions" and "left_out" as read --json has them, doubtful decisions with
/// "doubtful" and, where there is one that can be read, "otherwise": the text that is read the other way; "placed_key",
/// "meter", "pulses", "keys" to choose from, "names" of the twelve piano keys from C up, "styles" that fit, the usual
/// "style" and "tempo". In the lesson page also "analysis": see page_lesson.h.
[[nodiscard]] OrderedJson song_answer(const OrderedJson& request);

}  // namespace romanesca
