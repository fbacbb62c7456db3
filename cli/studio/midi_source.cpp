#include "cli/studio/midi_source.h"

#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <iterator>

#include "synth/files/midi_reader.h"

namespace romanesca {

Result<std::optional<MidiSong>> read_midi_argument(const std::string& argument) {
  std::error_code error;
  if (argument.size() > 4096 || !std::filesystem::is_regular_file(argument, error)) return std::optional<MidiSong>();
  std::ifstream file(argument, std::ios::binary);
  std::string bytes(4, '\0');
  file.read(bytes.data(), 4);
  if (bytes != "MThd") return std::optional<MidiSong>();
  if (std::filesystem::file_size(argument, error) > longest_midi_file) {
    return Failure(
        ExitStatus::wrong_input,
        fmt::format("{} is longer than the {} bytes that I read of a MIDI file", argument, longest_midi_file),
        "cut it into shorter pieces in the program that made it");
  }
  bytes.append(std::istreambuf_iterator<char>(file), {});
  auto read = read_midi({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
  if (read) return std::optional(std::move(*read));
  return Failure(ExitStatus::wrong_input, fmt::format("{}: {}", argument, read.error().message), read.error().hint);
}

}  // namespace romanesca
