// Any bytes as a data file that a musician edits: styles, levels, library.
#include <cstdint>

#include "progressions/exercises/material.h"
#include "progressions/level.h"
#include "progressions/library.h"
#include "synth/arranging/style.h"

using namespace romanesca;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size > 4096) return 0;
  const EmbeddedText file{"major", {reinterpret_cast<const char*>(data), size}};
  (void)read_style(file);
  (void)read_levels(file);
  (void)read_patterns(file);
  (void)read_exercise_kinds({"ear", file.text});
  (void)read_exercise_rhythms(file);
  (void)read_exercise_backings(file);
  (void)read_explained_words(file);
  return 0;
}
