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
/// @param settings for text that is read
[[nodiscard]] Result<NamedProgression> read_progression(const std::string& argument, std::istream& standard_input,
                                                        const SongReadingSettings& settings = {});

/// place_in_key, with errors in the words of the option --key.
[[nodiscard]] Result<Placement> place(NamedProgression source, const std::optional<KeyText>& key,
                                      MinorDegrees style = MinorDegrees::from_major);

/// What to tell when a song is moved to a key and the key that it is in was not sure: from where, by how much, and what
/// to write otherwise. Empty where nothing is moved, or the key was stated or sure.
[[nodiscard]] std::string note_of_move(const NamedProgression& source, const KeyText& goal);

/// The key as typed for an option; nothing for an empty text. @param option its name, for the message
/// @param names in which it may be written beside English
[[nodiscard]] Result<std::optional<KeyText>> key_given(const std::string& text, const std::string& option = "--key",
                                                       NoteNames names = NoteNames::english);

/// The Standard MIDI File that the argument names, or nothing if it is no such file (then it is a progression).
/// An error for one that begins like a MIDI file and is damaged.
[[nodiscard]] Result<std::optional<MidiSong>> read_midi_argument(const std::string& argument);

}  // namespace romanesca
