#include "cli/studio/progression_source.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "cli/studio/external_decoder.h"
#include "cli/studio/file_io.h"
#include "cli/studio/tune_file.h"
#include "progressions/library.h"
#include "synth/files/midi_reader.h"
#include "theory/songs/chord_names.h"
#include "theory/songs/header_text.h"
#include "theory/songs/song_reading.h"
#include "theory/text/characters.h"
#include "theory/text/decoding.h"
#include "theory/text/nearest_word.h"

namespace romanesca {
namespace {

/// A file that a teacher may have meant, also one that holds no chords.
bool looks_like_path(const std::string& argument) {
  constexpr std::array<std::string_view, 17> endings{".txt", ".text", ".mid", ".midi", ".musicxml", ".mxl",
                                                     ".abc", ".xml",  ".pdf", ".doc",  ".docx",     ".odt",
                                                     ".rtf", ".wav",  ".mp3", ".png",  ".jpg"};
  const std::string ending = std::filesystem::path(argument).extension().string();
  if (std::find(endings.begin(), endings.end(), ending) != endings.end()) return true;
  if (argument.find_first_of(" |\n") != std::string::npos) return false;
  return argument.starts_with("./") || argument.starts_with("../") ||
         (argument.starts_with('/') && argument.size() > 1);
}

/// A recording, by its ending.
bool is_recording(const std::filesystem::path& path) {
  constexpr std::array<std::string_view, 8> endings{"wav", "flac", "ogg", "opus", "mp3", "aif", "aiff", "oga"};
  const std::string ending = ending_of(path);
  return std::find(endings.begin(), endings.end(), ending) != endings.end() || external_format(ending).has_value();
}

bool looks_like_id(const std::string& argument) {
  return argument.size() > 3 &&
         std::all_of(argument.begin(), argument.end(), [](char c) { return is_small_letter(c) || c == '-'; });
}

NamedProgression named(SongReading reading, const std::string& otherwise) {
  const std::string& title = reading.progression.title;
  NamedProgression song{{}, title.empty() ? otherwise : title, {}};
  song.progression = std::move(reading.progression);
  song.sections = std::move(reading.sections);
  song.decisions = std::move(reading.decisions);
  song.key_found = reading.key_found;
  song.bars_before = reading.bars_before;
  song.left_out = std::move(reading.left_out);
  return song;
}

/// @param source what errors call the text @param otherwise its name if it has no title
Result<NamedProgression> read_bytes(std::string bytes, const std::string& source, const std::string& otherwise,
                                    const SongReadingSettings& settings) {
  if (is_tune_file(bytes)) {
    auto tune = read_tune_file(bytes, source);
    if (!tune) return tune.error();
    return named(std::move(*tune), otherwise);
  }
  const DecodedText decoded = decode_text(std::move(bytes));
  auto reading = read_song(decoded.text, source, settings);
  if (!reading) return reading.error();
  if (!decoded.from.empty()) {
    reading->decisions.insert(reading->decisions.begin(), {0, "the file was read as " + decoded.from, false});
  }
  return named(std::move(*reading), otherwise);
}

Result<NamedProgression> read_typed(const std::string& argument, const SongReadingSettings& settings) {
  if (looks_like_path(argument)) {
    return Failure(ExitStatus::file_refused, fmt::format("there is no file {}", argument),
                   "check its name and folder, or give the chords in quotes");
  }
  auto parsed = read_song(argument, "progression", settings);
  if (!parsed && looks_like_id(argument)) {
    std::vector<std::string> ids;
    for (const Pattern& pattern : library()) ids.push_back(pattern.id);
    const auto near = nearest_word(argument, ids);
    return Failure(ExitStatus::wrong_input,
                   fmt::format("\"{}\" is not a chord, a file or a pattern of the library", argument),
                   near ? fmt::format("did you mean {}?", *near) : "romanesca progressions lists the patterns");
  }
  if (!parsed) return parsed.error();
  return named(std::move(*parsed), "progression");
}

}  // namespace

Result<NamedProgression> read_progression(const std::string& argument, std::istream& standard_input,
                                          const SongReadingSettings& settings) {
  if (argument == "-") return read_bytes(read_text(standard_input), "standard input", "progression", settings);
  std::error_code error;
  const bool there = !argument.empty() && argument.size() < 4096 && std::filesystem::exists(argument, error);
  if (there && is_recording(argument)) {
    return Failure(ExitStatus::wrong_input, fmt::format("{} is a recording, and a song is wanted here", argument),
                   fmt::format("make one of it: romanesca transcribe {} --out song.txt, with --tune for a single voice",
                               argument));
  }
  if (there || error == std::errc::permission_denied) {
    const auto text = read_text_file(argument);
    if (!text) return text.error();
    return read_bytes(*text, argument, std::filesystem::path(argument).stem().string(), settings);
  }
  if (const Pattern* pattern = pattern_named(argument)) {
    NamedProgression song{pattern->progression, pattern->id, pattern->mode};
    song.progression.names = settings.names.value_or(settings.usual_names);
    return song;
  }
  return read_typed(argument, settings);
}

Result<Placement> place(NamedProgression source, const std::optional<KeyText>& key, MinorDegrees style) {
  Parsed<Placement> placed = place_in_key(std::move(source), key, style);
  if (placed) return std::move(*placed);
  const std::string& hint = placed.error().hint;  // "write "A major" to move them as they are"
  return Failure(ExitStatus::wrong_input, "--key: " + placed.error().message,
                 "write --key" + hint.substr(hint.find(' ')));
}

std::string note_of_move(const NamedProgression& source, const KeyText& goal) {
  constexpr double sure = 0.8;
  const Progression& song = source.progression;
  if (song.notation != Notation::absolute || song.key) return {};
  const auto placed = place_in_key(source, goal);
  const auto own = place_in_key(source, std::nullopt);
  if (!placed || !own) return {};
  const KeyGuess& guess = own->analysis.keys.main;
  const bool mode_chosen = is_minorish(guess.key.mode) != is_minorish(placed->key.mode);
  if (guess.confidence >= sure && !mode_chosen) return {};
  Key from = guess.key;
  for (const KeyGuess& other : own->analysis.keys.alternatives) {
    if (mode_chosen && is_minorish(other.key.mode) == is_minorish(placed->key.mode) &&
        other.key.signature() == guess.key.signature()) {
      from = other.key;
      break;
    }
  }
  const int up = ((placed->key.tonic.semitone() - from.tonic.semitone()) % 12 + 12) % 12;
  const std::string doubt = fmt::format(
      "the chords alone do not say for sure that it is in {}. If it is not, add --from and "
      "its key",
      to_string(from));
  if (up == 0) return fmt::format("taken as a song in {}; {}", to_string(from), doubt);
  const int semitones = up <= 6 ? up : 12 - up;
  return fmt::format("moved from {} to {}, {} semitone{} {}; {}", to_string(from), to_string(placed->key), semitones,
                     semitones == 1 ? "" : "s", up <= 6 ? "up" : "down", doubt);
}

Result<std::optional<KeyText>> key_given(const std::string& text, const std::string& option, NoteNames names) {
  if (text.empty()) return std::optional<KeyText>();
  const auto read = names == NoteNames::english ? parse_written_key(text) : read_typed_key(text, names);
  if (read) return read;
  const TextError error = key_error(text);
  return Failure(ExitStatus::wrong_input, option + ": " + error.message, error.hint);
}

Result<std::optional<MidiSong>> read_midi_argument(const std::string& argument) {
  std::error_code error;
  if (argument.size() > 4096 || !std::filesystem::is_regular_file(argument, error)) return std::optional<MidiSong>();
  std::ifstream file(argument, std::ios::binary);
  std::string bytes(4, '\0');
  file.read(bytes.data(), 4);
  if (bytes != "MThd") return std::optional<MidiSong>();
  if (std::filesystem::file_size(argument, error) > longest_midi_file) {
    return Failure(ExitStatus::wrong_input,
                   fmt::format("{} is longer than {} bytes, the limit for a MIDI file", argument, longest_midi_file),
                   "cut it into shorter pieces in the program that made it");
  }
  bytes.append(std::istreambuf_iterator<char>(file), {});
  auto read = read_midi({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
  if (read) return std::optional(std::move(*read));
  return Failure(ExitStatus::wrong_input, fmt::format("{}: {}", argument, read.error().message), read.error().hint);
}

}  // namespace romanesca
