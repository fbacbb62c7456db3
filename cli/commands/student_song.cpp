#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "cli/commands/student_action.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/formats/record_export.h"
#include "cli/formats/student_text.h"
#include "cli/options.h"
#include "cli/studio/record/plain_text.h"
#include "theory/songs/progression_writer.h"
#include "theory/text/nearest_word.h"

namespace romanesca {
namespace {

struct SongOptions {
  std::string name, title, date;
  CommonOptions common;
  std::optional<int> version;
};

std::string songs_json(const Student& student, const std::vector<SongVersion>& songs) {
  nlohmann::ordered_json list = nlohmann::ordered_json::array();
  for (const SongVersion& song : songs) list.push_back(song_version_json(song));
  return nlohmann::ordered_json{{"schema", 1}, {"student", student.id}, {"songs", std::move(list)}}.dump() + "\n";
}

/// Keeps the song as it was understood, in the program's own form.
void keep_song(const SongOptions& options, Store& store, const Student& student, Console& console) {
  if (options.version || !options.common.out.empty()) {
    throw Failure(ExitStatus::wrong_input, "a song is kept or given back, not both",
                  "leave the file out, or --version and --out");
  }
  NamedProgression read = options.common.source(console);
  if (!options.title.empty()) read.progression.title = options.title;
  SongVersion song{read.progression.title, 0, date_or_today(options.date, console),
                   write_progression(read.progression)};
  if (song.title.empty()) {
    throw Failure(ExitStatus::wrong_input, "the song has no title",
                  "give it one with --title, or begin its text with a line title:");
  }
  if (const auto fault = text_fault(song.title, longest_title)) {
    throw Failure(ExitStatus::wrong_input, "the title " + *fault, "give a shorter one with --title");
  }
  if (song.text.size() > longest_song_kept) {
    throw Failure(
        ExitStatus::wrong_input,
        fmt::format("the song is {} bytes long; the record keeps up to {}", song.text.size(), longest_song_kept),
        "cut it into parts");
  }
  const std::string title = song.title;
  const auto kept = value_or_throw(store.keep_song(student.id, std::move(song)));
  if (options.common.json) {
    return write_output(songs_json(student, kept ? std::vector{*kept} : std::vector<SongVersion>()), std::nullopt,
                        console);
  }
  const std::string what =
      kept ? fmt::format("{}: {}, version {}, is kept.\n", student.profile.name, kept->title, kept->version)
           : fmt::format("{}: {} is as it was; nothing new to keep.\n", student.profile.name, title);
  write_output(what, std::nullopt, console);
}

/// The versions of the song that is meant: by its title or a part of it, without regard to case.
std::vector<SongVersion> versions_of(const std::vector<SongVersion>& songs, const std::string& title) {
  const std::string wanted = plain_name(title);
  std::vector<std::string> titles, begun;
  for (const SongVersion& song : songs) {
    if (!titles.empty() && titles.back() == song.title) continue;
    titles.push_back(song.title);
    if (plain_name(song.title) == wanted) begun.insert(begun.begin(), song.title);
    if (plain_name(song.title).find(wanted) != std::string::npos) begun.push_back(song.title);
  }
  if (begun.empty()) {
    const auto near = nearest_word(title, titles);
    throw Failure(ExitStatus::wrong_input, fmt::format("there is no song \"{}\"", title),
                  near ? fmt::format("did you mean {}?", *near) : "without --title, the songs are listed");
  }
  const bool exact = plain_name(begun.front()) == wanted;
  if (!exact && begun.size() > 1) {
    throw Failure(ExitStatus::wrong_input, fmt::format("{} songs have \"{}\" in their titles", begun.size(), title),
                  fmt::format("write more of it: {} or {}", begun[0], begun[1]));
  }
  std::vector<SongVersion> versions;
  std::copy_if(songs.begin(), songs.end(), std::back_inserter(versions),
               [&](const SongVersion& song) { return song.title == begun.front(); });
  return versions;
}

void show_song(const SongOptions& options, Store& store, const Student& student, Console& console) {
  const auto file = options.common.out_given({"txt"});
  const std::vector<SongVersion> songs = value_or_throw(store.songs(student.id));
  if (songs.empty()) {
    throw Failure(ExitStatus::wrong_input, fmt::format("no song of {} is kept yet", student.profile.name),
                  fmt::format("keep one: romanesca student song {} song.txt", student.profile.name));
  }
  if (options.title.empty()) {
    if (file || options.version) {
      throw Failure(ExitStatus::wrong_input, "which song?", "name it with --title");
    }
    return write_output(options.common.json ? songs_json(student, songs)
                                            : student.profile.name + "\n" + songs_text(songs, console.width),
                        std::nullopt, console);
  }
  const std::vector<SongVersion> versions = versions_of(songs, options.title);
  const int wanted = options.version.value_or(versions.back().version);
  const auto found =
      std::find_if(versions.begin(), versions.end(), [&](const SongVersion& song) { return song.version == wanted; });
  if (found == versions.end()) {
    throw Failure(ExitStatus::wrong_input,
                  fmt::format("--version: {} has no version {}", versions.front().title, wanted),
                  fmt::format("choose 1 to {}", versions.back().version));
  }
  if (options.common.json) return write_output(songs_json(student, {*found}), std::nullopt, console);
  write_output(found->text, file, console);
}

}  // namespace

std::function<void()> set_up_student_song(OptionParser& parser, Console& console) {
  auto options = std::make_shared<SongOptions>();
  add_student_name(parser, options->name);
  parser.add_option("song", options->common.progression, "the song's file, or - for standard input, to keep it")
      .value_name("FILE");
  parser.add_option("--title", options->title, "which song, or what it is called").value_name("TITLE");
  parser.add_option("--version", options->version, "an earlier version; the newest if left out").value_name("N");
  add_date(parser, options->date);
  options->common.add_out(parser, ".txt");
  options->common.add_json(parser);
  return [options, &console] {
    Store store = value_or_throw(Store::open(console.data));
    const Student student = value_or_throw(student_named(store, options->name));
    if (options->common.progression.empty()) {
      show_song(*options, store, student, console);
    } else {
      keep_song(*options, store, student, console);
    }
  };
}

}  // namespace romanesca
