#pragma once

#include <istream>
#include <optional>
#include <string>

#include "synth/files/midi_file.h"
#include "theory/analysis/placement.h"
#include "theory/text/errors.h"

namespace romanesca {

/// What the argument means, tried in this order: "-" standard input, an existing file, a library id, else the chords
/// themselves. @return file_refused for a file that cannot be read, wrong_input with the place for wrong text
[[nodiscard]] Result<NamedProgression> read_progression(const std::string& argument, std::istream& standard_input);

/// place_in_key, with errors in the words of the option --key.
[[nodiscard]] Result<Placement> place(NamedProgression source, const std::optional<KeyText>& key,
                                      MinorDegrees style = MinorDegrees::from_major);

/// The key as typed for --key; nothing for an empty text.
[[nodiscard]] Result<std::optional<KeyText>> key_given(const std::string& text);

/// The Standard MIDI File that the argument names, or nothing if it is no such file (then it is a progression).
/// An error for one that begins like a MIDI file and is damaged.
[[nodiscard]] Result<std::optional<MidiSong>> read_midi_argument(const std::string& argument);

}  // namespace romanesca
