#pragma once

#include <string>
#include <string_view>

#include "synth/files/midi_file.h"
#include "theory/songs/song_reading.h"
#include "theory/text/errors.h"

namespace romanesca {

/// Bytes of a file that holds a tune in another form than text: a Standard MIDI File or MusicXML, compressed or not.
[[nodiscard]] bool is_tune_file(std::string_view bytes);

/// Reads such a file as a song with a tune. @param source what errors call it: its name
/// Refuses damaged files, files without notes and meters that a song cannot have.
[[nodiscard]] Result<SongReading> read_tune_file(std::string_view bytes, const std::string& source);

/// The tune of a MIDI file: what its part of that name plays ("melody", "tune", "voice", "lead"), or else the highest
/// of its parts, as song_of_take reads it. Chord names among its markers become chords.
[[nodiscard]] Parsed<SongReading> song_of_midi(const MidiSong& midi);

}  // namespace romanesca
