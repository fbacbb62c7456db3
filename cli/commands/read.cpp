#include <fmt/format.h>

#include <memory>

#include "cli/commands/command_table.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/formats/song_reading_text.h"
#include "cli/options.h"
#include "cli/studio/file_io.h"
#include "theory/songs/progression_writer.h"

namespace romanesca {

std::function<void()> set_up_read(OptionParser& parser, Console& console) {
  auto options = std::make_shared<CommonOptions>();
  options->add_progression(parser);
  options->add_out(parser, ".txt or .json");
  options->add_json(parser);
  return [=, &console] {
    const auto file = options->out_given({"txt", "json"});
    options->quiet = true;  // the answer has what would be told
    const NamedProgression song = options->source(console);
    const bool json_file = file && ending_of(*file) == "json";
    const std::string json = options->json || json_file ? song_reading_json(song) : std::string();
    if (options->json) write_output(json, std::nullopt, console);
    if (json_file) return write_output(json, file, console);
    if (file) write_output(write_progression(song.progression), file, console);
    if (options->json) return;
    const std::string text = file ? song_notes_text(song, console.width) : song_reading_text(song, console.width);
    write_output(text, std::nullopt, console);
  };
}

}  // namespace romanesca
