#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <ostream>
#include <sstream>

#include "cli/commands/answer.h"
#include "cli/studio/audio_output.h"
#include "cli/studio/backing_track.h"
#include "cli/commands/command_table.h"
#include "cli/studio/exercise_audio.h"
#include "cli/failure.h"
#include "cli/studio/crew.h"
#include "cli/studio/packet_wish.h"
#include "cli/studio/roster.h"
#include "cli/studio/interrupt.h"
#include "cli/studio/output_file.h"
#include "cli/commands/paper_option.h"
#include "cli/studio/user_levels.h"
#include "cli/studio/user_styles.h"
#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

struct HandoutOptions {
  CommonOptions common;
  PacketWish wish;
  std::string pdf, audio, roster, paper = "a4", shard;
  bool lesson = false, again = false;
  int jobs = 1;
};

/// The loop of a packet, or what its ear exercise plays, as a sound file in a folder. @return its path
std::string write_audio(const Packet& packet, const std::string& folder, const std::string& name, Console& console) {
  make_folder(folder);
  std::string path = (std::filesystem::path(folder) / (name + ".flac")).string();
  if (packet.exercise && packet.exercise->family == ExerciseFamily::ear) {
    static_cast<void>(write_exercise_audio(*packet.exercise, path, console));
    return path;
  }
  BandRequest band;
  band.style = packet.style;
  band.tempo_bpm = packet.tempo_bpm;
  const BackingTrack track = arrange_backing(packet.placed, band, user_styles(console));
  AudioFormat format;
  format.ending = "flac";
  TrackSettings settings;
  settings.sample_rate_hz = format.sample_rate_hz;
  static_cast<void>(render_to_file(track.song.performance, {}, settings, format, path, console));
  return path;
}

/// One packet's files, those that are there already left as they are unless asked otherwise.
struct PacketFiles {
  std::string page, pdf, audio_folder, audio_name;
};

std::vector<std::string> write_packet(const PacketWish& wish, const PacketFiles& files, const HandoutOptions& options,
                                      Console& console) {
  const Packet packet = make_packet(wish, console);
  std::vector<std::string> written;
  // The page comes last: where it is there, so is the rest.
  if (!files.pdf.empty()) {
    write_file(files.pdf, packet_pdf(packet, options.paper));
    written.push_back(files.pdf);
  }
  if (!files.audio_folder.empty()) {
    written.push_back(write_audio(packet, files.audio_folder, files.audio_name, console));
  }
  if (!files.page.empty()) {
    write_file(files.page, packet_page(packet));
    written.push_back(files.page);
  }
  return written;
}

/// "2/4": the second of four shares of the roster.
std::pair<std::size_t, std::size_t> shard_of(const std::string& text) {
  std::size_t number = 0, count = 0;
  char slash = 0, rest = 0;
  std::istringstream stream(text);
  if ((stream >> number >> slash >> count) && slash == '/' && !(stream >> rest) && number >= 1 && number <= count &&
      count <= 100000) {
    return {number, count};
  }
  throw Failure(ExitStatus::wrong_input, fmt::format("--shard: \"{}\" is no share", text), "write it like 2/4");
}

/// Packets for many.
class School {
 public:
  School(const HandoutOptions& options, std::string folder, Console& console)
      : options_(options), folder_(std::move(folder)), console_(console) {
    std::vector<RosterLine> all = read_roster(options.roster);
    const auto [number, count] =
        options.shard.empty() ? std::pair<std::size_t, std::size_t>{1, 1} : shard_of(options.shard);
    for (std::size_t i = number - 1; i < all.size(); i += count) lines_.push_back(std::move(all[i]));
    make_folder(folder_);
  }

  void run() {
    const bool whole = work_in_crew(
        lines_.size(), options_.jobs, [this](std::size_t i) { return work(lines_[i]); },
        [this](const std::string& line) { hear(line); });
    if (console_.err_is_terminal) console_.err << "\n";
    if (InterruptGuard::requested()) {
      throw Failure(ExitStatus::interrupted, fmt::format("stopped after {} packets", made_ + kept_),
                    "the same command goes on from there");
    }
    std::string text = fmt::format("{} {} made", made_, made_ == 1 ? "packet" : "packets");
    if (kept_ > 0) text += fmt::format(", {} were there already (--again makes them anew)", kept_);
    console_.out << text << ", in " << folder_ << "\n" << std::flush;
    std::sort(faults_.begin(), faults_.end());
    for (const auto& [line, fault] : faults_) console_.err << fmt::format("{}:{}: {}\n", options_.roster, line, fault);
    if (!faults_.empty()) {
      throw Failure(ExitStatus::wrong_input,
                    fmt::format("{} {} could not be made", faults_.size(), faults_.size() == 1 ? "packet" : "packets"),
                    "mend the lines above; the same command makes the rest");
    }
    if (!whole)
      throw Failure(ExitStatus::file_refused, "some packets were not made", "the same command makes the rest");
  }

 private:
  /// What a line leaves open is what the command line says.
  [[nodiscard]] PacketWish line_wish(const PacketWish& line) const {
    PacketWish wish = options_.wish;
    wish.student = line.student;
    if (!line.progression.empty() || !line.exercise.empty()) {
      wish.progression = line.progression;
      wish.exercise = line.exercise;
    }
    if (!line.key.empty()) wish.key = line.key;
    if (!line.style.empty()) wish.style = line.style;
    if (!line.greeting.empty()) wish.greeting = line.greeting;
    if (line.tempo_bpm != 0) wish.tempo_bpm = line.tempo_bpm;
    if (line.level != 0) wish.level = line.level;
    if (line.seed) wish.seed = line.seed;
    return wish;
  }

  /// Makes a line's packet. @return "made", "kept", "stopped", or the line's number and what is wrong
  [[nodiscard]] std::string work(const RosterLine& line) const {
    const std::string base = (std::filesystem::path(folder_) / line.file).string();
    const PacketFiles files{base + ".html", options_.pdf.empty() ? "" : base + ".pdf",
                            options_.audio.empty() ? "" : options_.audio, line.file};
    if (!options_.again && std::filesystem::exists(files.page)) return "kept";
    std::istringstream in;
    std::ostringstream out, err;
    Console own{
        in, out, err, false, false, false, console_.width, console_.configuration, console_.data, console_.today};
    const PacketWish wish = line_wish(line.wish);
    try {
      static_cast<void>(write_packet(wish, files, options_, own));
      return "made";
    } catch (const Failure& failure) {
      if (failure.status() == ExitStatus::interrupted) return "stopped";
      const TextError& error = failure.error();
      return fmt::format("{} {}{}{}", line.line, error.message, error.hint.empty() ? "" : "; ", error.hint);
    }
  }

  void hear(const std::string& line) {
    if (line == "made") {
      ++made_;
    } else if (line == "kept") {
      ++kept_;
    } else if (line != "stopped") {
      const std::size_t blank = line.find(' ');
      faults_.emplace_back(std::stoi(line), line.substr(blank + 1));
    }
    ++done_;
    if (!console_.err_is_terminal) return;
    constexpr std::size_t wide = 30;
    const std::size_t full = done_ * wide / lines_.size();
    console_.err << fmt::format("\r[{}{}] {} of {}", std::string(full, '='), std::string(wide - full, ' '), done_,
                                lines_.size())
                 << std::flush;
  }

  const HandoutOptions& options_;
  std::string folder_;
  Console& console_;
  InterruptGuard interrupt_;
  std::vector<RosterLine> lines_;
  std::size_t done_ = 0, made_ = 0, kept_ = 0;
  std::vector<std::pair<int, std::string>> faults_;
};

/// The lesson page is for everybody: what is one student's has no place in it.
void check_lesson(const HandoutOptions& options) {
  const PacketWish& wish = options.wish;
  const bool of_a_packet = !wish.student.empty() || !wish.greeting.empty() || !wish.days.empty() || wish.missed ||
                           !wish.exercise.empty() || wish.level != 0 || wish.seed.has_value() || !wish.style.empty() ||
                           wish.tempo_bpm != 0 || !options.pdf.empty() || !options.audio.empty() ||
                           !options.roster.empty();
  if (!of_a_packet) return;
  throw Failure(ExitStatus::wrong_input, "--lesson goes with chords, --key and --out alone",
                "the page itself sets styles, levels and exercises");
}

void check(const HandoutOptions& options) {
  if (options.jobs < 1 || options.jobs > 64) {
    throw Failure(ExitStatus::wrong_input, fmt::format("--jobs: {} is out of range", options.jobs), "choose 1 to 64");
  }
  static_cast<void>(paper_named(options.paper));
  if (options.wish.tempo_bpm != 0 && (options.wish.tempo_bpm < slowest_bpm || options.wish.tempo_bpm > fastest_bpm)) {
    throw Failure(ExitStatus::wrong_input, fmt::format("--tempo: {:g} is out of range", options.wish.tempo_bpm),
                  fmt::format("choose {:g} to {:g}", slowest_bpm, fastest_bpm));
  }
  const bool for_many = !options.roster.empty();
  if (!for_many && (!options.shard.empty() || options.again || options.jobs > 1)) {
    throw Failure(ExitStatus::wrong_input, "--jobs, --shard and --again are for a roster", "name one with --roster");
  }
  if (for_many && options.common.out.empty()) {
    throw Failure(ExitStatus::wrong_input, "a roster makes many files", "name a folder for them with --out");
  }
  if (for_many && !options.wish.student.empty()) {
    throw Failure(ExitStatus::wrong_input, "the students are those of the roster", "leave --student out");
  }
  if (options.lesson) check_lesson(options);
}

void run_handout(HandoutOptions options, Console& console) {
  check(options);
  options.wish.progression = options.common.progression;
  options.wish.key = options.common.key;
  if (!options.roster.empty()) return School(options, options.common.out.front(), console).run();
  const auto file = options.common.out_given({"html"});
  if (options.lesson) {
    std::string text;
    if (!options.common.progression.empty()) {
      text = write_progression(
          place(read_progression(options.common.progression, console), options.common.key_given()).progression);
    }
    const std::string path = file.value_or("lesson.html");
    write_file(path, lesson_page(text, user_levels(console)));
    give_answer(path + "  the lesson page: open it in a browser\n", std::nullopt, console);
    return;
  }
  if (!options.pdf.empty()) check_ending(options.pdf, {"pdf"}, "--pdf");
  PacketFiles files{file.value_or(""), options.pdf, options.audio, "loop"};
  if (files.page.empty() && files.pdf.empty() && files.audio_folder.empty()) files.page = "packet.html";
  std::string text;
  for (const std::string& path : write_packet(options.wish, files, options, console)) text += path + "\n";
  give_answer(text, std::nullopt, console);
}

}  // namespace

std::function<void()> set_up_handout(OptionParser& parser, Console& console) {
  auto options = std::make_shared<HandoutOptions>();
  options->common.add_progression(parser, false);
  options->common.add_key(parser);
  PacketWish& wish = options->wish;
  parser.add_option("--student", wish.student, "for whom: a name, or a student of the record").value_name("NAME");
  parser.add_option("--greeting", wish.greeting, "a few words to begin with").value_name("TEXT");
  parser.add_option("--day", wish.days, "what to do on a day, like \"Monday: right hand alone\"; several times")
      .value_name("TEXT");
  parser.add_flag("--missed", wish.missed, "for one who was away: what was done last time, and what was planned");
  parser.add_option("--exercise", wish.exercise, "an exercise, by its id (romanesca exercise --list)").value_name("ID");
  parser.add_option("--level", wish.level, "of the hands and the exercise, 1 to 8; else the student's, or 3")
      .value_name("N")
      .refuse_zero("levels are 1 to 8");
  parser.add_option("--seed", wish.seed, "another number gives another exercise").value_name("N").check_seed();
  parser.add_option("--style", wish.style, "accompaniment style (romanesca styles)").value_name("STYLE");
  parser.add_option("--tempo", wish.tempo_bpm, "beats a minute, 20 to 400").value_name("BPM");
  parser.add_flag("--lesson", options->lesson, "the lesson page instead: write, hear, analyse, set exercises");
  parser.add_option("--pdf", options->pdf, "the same on paper; with a roster, any word for each one's own")
      .value_name("FILE");
  parser.add_option("--audio", options->audio, "the loop as a sound file too, in this folder").value_name("FOLDER");
  parser.add_option("--paper", options->paper, "a4 or letter").value_name("SIZE");
  parser.add_option("--roster", options->roster, "a table of students (.csv): a packet for each").value_name("FILE");
  parser.add_option("--jobs", options->jobs, "with a roster: so many packets side by side").value_name("N");
  parser.add_option("--shard", options->shard, "with a roster: one share of it, like 2/4").value_name("I/N");
  parser.add_flag("--again", options->again, "with a roster: also those that are there already");
  options->common.add_out(parser, ".html; with a roster a folder");
  return [options, &console] { run_handout(*options, console); };
}

}  // namespace romanesca
