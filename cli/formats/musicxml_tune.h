#pragma once

#include <cstdint>
#include <pugixml.hpp>
#include <vector>

#include "cli/formats/musicxml_note.h"
#include "cli/formats/written_tune.h"
#include "theory/songs/progression.h"

namespace romanesca {

/// Adds the notes of a tune's bar to a measure as staff 1: notes, rests, ties, tuplets, words by syllable with hyphens
/// and extension lines, and the chord symbols where they begin.
/// @param notes of the bar @param chords that begin in it, in order @param bar_start quarter notes from bar 1
/// @param divisions of a quarter note, of which all lengths and places are whole numbers
void add_tune_notes(pugi::xml_node measure, const Tune& tune, const std::vector<WrittenTuneNote>& notes,
                    const std::vector<TimedChord>& chords, Beats bar_start, std::int64_t divisions,
                    Accidentals& accidentals);

/// The smallest number of divisions of a quarter for which the lengths of these notes are whole.
[[nodiscard]] std::int64_t divisions_for(const std::vector<WrittenTuneNote>& notes);

}  // namespace romanesca
