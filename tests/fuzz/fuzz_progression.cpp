// Any bytes as a progression: whatever can be read is analysed, spoken about, simplified, moved and written back, and
// what was written reads as the same text and the same chords again.
#include <cstdlib>

#include "progressions/continuation.h"
#include "progressions/ideas.h"
#include "progressions/pattern_match.h"
#include "progressions/simplification.h"
#include "theory/analysis/remarks.h"
#include "theory/songs/progression.h"
#include "theory/songs/progression_text.h"
#include "theory/songs/progression_writer.h"
#include "theory/voicing/hands.h"

using namespace romanesca;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size > 4096) return 0;
  const auto read = parse_progression({reinterpret_cast<const char*>(data), size}, "fuzz");
  if (!read) return 0;
  const std::string written = write_progression(*read);
  const auto again = parse_progression(written, "again");
  if (!again || write_progression(*again) != written) std::abort();
  const Key key = key_of_numerals(*read, std::nullopt);
  const Progression chords = read->notation == Notation::absolute ? *read : realised(*read, key);
  if (read->notation != Notation::absolute) {  // what was written has to sound the same, not only look it
    if (write_progression(realised(*again, key)) != write_progression(chords)) std::abort();
  }
  const Analysis analysis = analyse(chords);
  if (analysis.chords.size() != analysis.timeline.chords.size()) std::abort();
  (void)remarks_on(analysis);
  (void)match_patterns(analysis);
  (void)continuations(analysis);
  (void)ideas_for(analysis, level(3));
  (void)simplified(chords, analysis, level(1));
  (void)hands_for(analysis.timeline);
  (void)write_progression(transposed(chords, Interval::simple(5)));
  return 0;
}
