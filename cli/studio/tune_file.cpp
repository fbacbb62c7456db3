#include "cli/studio/tune_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "cli/studio/compressed_musicxml.h"
#include "cli/studio/musicxml_reader.h"
#include "synth/files/midi_reader.h"
#include "theory/harmony/take_to_song.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

bool is_midi(std::string_view bytes) { return bytes.starts_with("MThd"); }
bool is_xml(std::string_view bytes) {
  if (bytes.starts_with("\xEF\xBB\xBF")) bytes.remove_prefix(3);
  bytes = trimmed(bytes.substr(0, 64));
  return bytes.starts_with("<?xml") || bytes.starts_with("<score-") || bytes.starts_with("<!DOCTYPE score");
}

/// What is known of a part's notes.
struct PartFacts {
  std::size_t notes = 0;
  double pitches = 0;
};

/// The part that has the tune; nothing where none has notes.
std::optional<std::size_t> tune_part(const Performance& performance) {
  constexpr std::array<std::string_view, 8> names{"melody", "tune",    "voice",  "vocal",
                                                  "lead",   "melodie", "stimme", "gesang"};
  std::vector<PartFacts> parts(performance.parts.size());
  for (const NoteEvent& event : performance.events) {
    ++parts[event.part].notes;
    parts[event.part].pitches += event.midi;
  }
  std::optional<std::size_t> best;
  double highest = -1;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (parts[i].notes == 0 || instrument(performance.parts[i].instrument).drums) continue;
    const std::string name = small_letters(performance.parts[i].name);
    const bool named = std::any_of(names.begin(), names.end(),
                                   [&](std::string_view each) { return name.find(each) != std::string_view::npos; });
    const double height = parts[i].pitches / static_cast<double>(parts[i].notes) + (named ? 1000 : 0);
    if (height <= highest) continue;
    highest = height;
    best = i;
  }
  return best;
}

}  // namespace

bool is_tune_file(std::string_view bytes) { return is_midi(bytes) || is_zip(bytes) || is_xml(bytes); }

Result<SongReading> read_tune_file(std::string_view bytes, const std::string& source) {
  if (is_zip(bytes)) {
    const auto score = unpack_musicxml(bytes, source);
    if (!score) return score.error();
    if (!is_xml(*score)) {
      return Failure(ExitStatus::wrong_input, fmt::format("{} is an archive without a MusicXML score", source),
                     "export it as MusicXML from the notation program");
    }
    return read_tune_file(*score, source);
  }
  if (is_midi(bytes)) {
    const auto midi = read_midi({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
    if (!midi)
      return Failure(ExitStatus::wrong_input, fmt::format("{}: {}", source, midi.error().message), midi.error().hint);
    auto song = song_of_midi(*midi);
    if (song) return std::move(*song);
    return Failure(ExitStatus::wrong_input, fmt::format("{}: {}", source, song.error().message), song.error().hint);
  }
  auto song = read_musicxml(bytes, source);
  if (song) return std::move(*song);
  return song.error();
}

Parsed<SongReading> song_of_midi(const MidiSong& midi) {
  const auto part = tune_part(midi.performance);
  if (!part) return TextError{"the file has no notes of a tune", "drums alone make none"};
  TakeFacts facts;
  facts.title = midi.title;
  const std::string written = fmt::format("{}/{}", midi.meter_upper, midi.meter_lower);
  const auto meter = parse_any_meter(written);
  if (!meter) {
    return TextError{fmt::format("a song here cannot be in the meter {}", written),
                     "meters are 2/4, 3/4, 4/4, 5/4, 6/8, 9/8 and 12/8"};
  }
  facts.meter = meter->meter;
  // A file without a key signature says C major too: then the notes decide.
  const Mode mode = midi.key_minor ? Mode::minor : Mode::major;
  if (midi.key_sharps != 0 || midi.key_minor) {
    facts.key = Key{PitchClass(midi.key_sharps + (midi.key_minor ? 3 : 0)), mode};
  }
  facts.quarters_per_minute = std::clamp(midi.performance.tempo.tempos().front().quarters_per_minute, 10.0, 1000.0);
  for (const Marker& marker : midi.markers) facts.chords.push_back({marker.at, marker.text});
  std::vector<TakeNote> notes;
  for (const NoteEvent& event : midi.performance.events) {
    if (event.part != *part) continue;
    notes.push_back({event.start.quarters(), (event.start + event.length).quarters(), event.midi});
  }
  if (notes.size() > 20'000)
    return TextError{"the file has more than 20,000 notes in its tune", "cut it into shorter pieces"};
  auto song = song_of_take(std::move(notes), facts);
  std::size_t others = 0;
  for (std::size_t i = 0; i < midi.performance.parts.size(); ++i) {
    others += i != *part && std::any_of(midi.performance.events.begin(), midi.performance.events.end(),
                                        [&](const NoteEvent& event) { return event.part == i; });
  }
  if (song && others > 0) {
    const std::string& name = midi.performance.parts[*part].name;
    song->decisions.push_back({0, fmt::format("the tune taken from the part \"{}\"", name), true});
    song->left_out.push_back({0, fmt::format("{} other part{} of the file", others, others == 1 ? "" : "s"), false});
  }
  return song;
}

}  // namespace romanesca
