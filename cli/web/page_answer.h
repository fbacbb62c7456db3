#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "cli/web/page_request.h"
#include "synth/sound/performance.h"
#include "theory/text_error.h"

namespace romanesca {

/// What a page gets for an answer: JSON, and for what sounds the performances to render.
struct PageAnswer {
  OrderedJson json;
  std::vector<Performance> performances;
};

/// Answers what the script of a page asks: a JSON object whose member "ask" names one of song, library, styles,
/// exercises, check, backing, notes, heard, packet. Throws nothing and opens nothing.
/// @return the answer; where the user's text is wrong {"error":{"message","hint","line","column","width"}}
[[nodiscard]] PageAnswer page_answer(std::string_view request);

// One file each; song_answer.cpp holds the first three, exercise_answer.cpp the next two.

/// A progression as it is typed, or the name of one of the library: its chart with hands, as JSON and as HTML; its
/// written text; styles and keys to choose from; with "analyse" what analyse tells.
[[nodiscard]] Parsed<PageAnswer> song_answer(const PageRequest& request);
[[nodiscard]] Parsed<PageAnswer> library_answer(const PageRequest& request);
[[nodiscard]] Parsed<PageAnswer> styles_answer(const PageRequest& request);
[[nodiscard]] Parsed<PageAnswer> exercises_answer(const PageRequest& request);
[[nodiscard]] Parsed<PageAnswer> check_answer_of_page(const PageRequest& request);
/// The band for a song: its performance and that of the count-in, with the times of bars and chords in seconds.
[[nodiscard]] Parsed<PageAnswer> backing_answer(const PageRequest& request);
/// A note or a chord to hear.
[[nodiscard]] Parsed<PageAnswer> notes_answer(const PageRequest& request);
/// Names for what is played.
[[nodiscard]] Parsed<PageAnswer> heard_answer(const PageRequest& request);
/// A packet made by the lesson page: its HTML and what its script needs.
[[nodiscard]] Parsed<PageAnswer> packet_answer(const PageRequest& request);

}  // namespace romanesca
