#pragma once

#include <nlohmann/json.hpp>

#include "theory/songs/printed_form.h"

namespace romanesca {

/// The form of a song as a packet holds it, beside the bars as played: for each section its name, its place, what it is
/// like, whether it has words of its own, is moved, how often it is played, the jump after it, and its bars as numbers
/// in the order of PrintedBar: [["Verse",0,"",0,0,1,0,[[1,1,1,0,0,0,0,0,0,0,0]]]].
[[nodiscard]] nlohmann::ordered_json form_json(const PrintedForm& form);
/// Reads the same. A form without sections for what is no such form, or does not fit.
/// @param json any value @param bars that are played @param sections that the song has
[[nodiscard]] PrintedForm read_form_json(const nlohmann::ordered_json& json, int bars, std::size_t sections);

/// The answer to "paper" (text, key, mode, hands, title, student, sung, form, hidden, below, language, letter): the
/// chart as the program prints it, and after it the lead sheet of a song with a tune: {"pages":["<svg ...>"]}.
///
/// "title", "sung", what is sung from each chord on, and "form" stand in for what a packet's text lacks. Chords whose
/// numbers in "hidden" count from 0 are lines to write on. "below" points stay free under the chart, so that what
/// follows has room on its sheet. "language" is "en" or "de"; "letter" asks for paper of 216 by 279 mm instead of A4. A
/// page that stands alone ends with its ink.
[[nodiscard]] nlohmann::ordered_json paper_answer(const nlohmann::ordered_json& request);

}  // namespace romanesca
