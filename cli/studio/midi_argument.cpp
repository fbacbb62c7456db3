#include "cli/studio/midi_argument.h"

#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <iterator>

#include "cli/failure.h"
#include "synth/files/midi_reader.h"

namespace romanesca {

std::optional<MidiSong> read_midi_argument(const std::string& argument) {
  std::error_code error;
  if (argument.size() > 4096 || !std::filesystem::is_regular_file(argument, error)) return std::nullopt;
  std::ifstream file(argument, std::ios::binary);
  std::string bytes(4, '\0');
  file.read(bytes.data(), 4);
  if (bytes != "MThd") return std::nullopt;
  if (std::filesystem::file_size(argument, error) > longest_midi_file) {
    throw Failure(ExitStatus::wrong_input,
                  fmt::format("{} is longer than the {} bytes that I read of a MIDI file", argument, longest_midi_file),
                  "cut it into shorter pieces in the program that made it");
  }
  bytes.append(std::istreambuf_iterator<char>(file), {});
  auto read = read_midi({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
  if (const MidiFault* fault = std::get_if<MidiFault>(&read)) {
    throw Failure(ExitStatus::wrong_input, fmt::format("{}: byte {}: {}", argument, fault->byte, fault->message),
                  "save it again from the program that made it");
  }
  return std::get<MidiSong>(std::move(read));
}

}  // namespace romanesca
