#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <ostream>
#include <sstream>

#include "cli/commands/command_table.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/formats/paper/packet_paper.h"
#include "cli/options.h"
#include "cli/studio/backing_track.h"
#include "cli/studio/file_io.h"
#include "cli/studio/interrupt.h"
#include "cli/studio/own_settings.h"
#include "cli/studio/packet.h"
#include "cli/studio/process_pool.h"
#include "cli/studio/roster.h"
#include "cli/web/packet_page.h"
#include "theory/songs/progression_writer.h"

namespace romanesca {
namespace {

struct HandoutOptions {
  CommonOptions common;
  CadenceTermsOption terms;
  PacketRequest request;
  std::string pdf, audio, soundfont, roster, paper = "a4", shard;
  bool lesson = false, again = false;
  int jobs = 1;
};

/// The loop of a packet, or what its ear exercise plays, as a sound file in a folder. @param soundfont empty for the
/// built-in band @return its path
std::string write_audio(const Packet& packet, const std::string& folder, const std::string& name,
                        const std::string& soundfont, Console& console) {
  or_throw(make_folder(folder));
  std::string path = (std::filesystem::path(folder) / (name + ".flac")).string();
  if (packet.exercise && packet.exercise->family == ExerciseFamily::ear) {
    static_cast<void>(export_exercise_audio(*packet.exercise, path, console, false, soundfont));
    return path;
  }
  BandRequest band;
  band.style = packet.style;
  band.tempo_bpm = packet.tempo_bpm;
  const BackingTrack track =
      value_or_throw(arrange_backing(packet.placed, band, value_or_throw(own_styles(console.configuration))));
  AudioFormat format;
  format.ending = "flac";
  TrackSettings settings;
  settings.sample_rate_hz = format.sample_rate_hz;
  static_cast<void>(render_shown(track.song.performance, soundfont, settings, format, path, console));
  return path;
}

/// Files of one packet. Existing ones are kept unless --again is given.
struct PacketFiles {
  std::string page, pdf, audio_folder, audio_name;
};

std::vector<std::string> write_packet(const PacketRequest& request, const PacketFiles& files,
                                      const HandoutOptions& options, Console& console) {
  const Packet packet = value_or_throw(make_packet(request, console.folders(), console.in));
  std::vector<std::string> written;
  // The page comes last: if it exists, the rest does too.
  if (!files.pdf.empty()) {
    or_throw(write_file(files.pdf, packet_pdf(packet, paper_named(options.paper))));
    written.push_back(files.pdf);
  }
  if (!files.audio_folder.empty()) {
    written.push_back(write_audio(packet, files.audio_folder, files.audio_name, options.soundfont, console));
  }
  if (!files.page.empty()) {
    or_throw(write_file(files.page, packet_page(packet)));
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
  throw Failure(ExitStatus::wrong_input, fmt::format("--shard: \"{}\" is not a share", text), "write it like 2/4");
}

/// Packets for a roster of students.
class RosterBatch {
 public:
  RosterBatch(const HandoutOptions& options, std::string folder, Console& console)
      : options_(options), folder_(std::move(folder)), console_(console) {
    std::vector<RosterLine> all = value_or_throw(read_roster(options.roster));
    const auto [number, count] =
        options.shard.empty() ? std::pair<std::size_t, std::size_t>{1, 1} : shard_of(options.shard);
    for (std::size_t i = number - 1; i < all.size(); i += count) lines_.push_back(std::move(all[i]));
    or_throw(make_folder(folder_));
  }

  void run() {
    const bool whole = value_or_throw(run_in_processes(
        lines_.size(), options_.jobs, [this](std::size_t i) { return make(i); },
        [this](const ItemReport& report) { count(report); }));
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
                    "correct the lines above; the same command makes the rest");
    }
    if (!whole)
      throw Failure(ExitStatus::file_refused, "some packets were not made", "the same command makes the rest");
  }

 private:
  enum Outcome : int { made, kept, stopped, faulty };

  /// Empty fields of a line take the values of the command line.
  [[nodiscard]] PacketRequest request_for(const PacketRequest& line) const {
    PacketRequest request = options_.request;
    request.student = line.student;
    if (!line.progression.empty() || !line.exercise.empty()) {
      request.progression = line.progression;
      request.exercise = line.exercise;
    }
    if (!line.key.empty()) request.key = line.key;
    if (!line.style.empty()) request.style = line.style;
    if (!line.greeting.empty()) request.greeting = line.greeting;
    if (line.tempo_bpm != 0) request.tempo_bpm = line.tempo_bpm;
    if (line.level != 0) request.level = line.level;
    if (line.seed) request.seed = line.seed;
    return request;
  }

  /// Makes the packet of a line; of a faulty one the report says what is wrong.
  [[nodiscard]] ItemReport make(std::size_t item) const {
    const RosterLine& line = lines_[item];
    const std::string base = (std::filesystem::path(folder_) / line.file).string();
    const PacketFiles files{base + ".html", options_.pdf.empty() ? "" : base + ".pdf",
                            options_.audio.empty() ? "" : options_.audio, line.file};
    if (!options_.again && std::filesystem::exists(files.page)) return {item, kept, {}};
    std::istringstream in;
    std::ostringstream out, err;
    Console own{
        in, out, err, false, false, false, console_.width, console_.configuration, console_.data, console_.today};
    try {
      static_cast<void>(write_packet(request_for(line.request), files, options_, own));
      return {item, made, {}};
    } catch (const Failure& failure) {
      if (failure.status() == ExitStatus::interrupted) return {item, stopped, {}};
      const TextError& error = failure.error();
      return {item, faulty, fmt::format("{}{}{}", error.message, error.hint.empty() ? "" : "; ", error.hint)};
    }
  }

  void count(const ItemReport& report) {
    if (report.outcome == made) ++made_;
    if (report.outcome == kept) ++kept_;
    if (report.outcome == faulty) faults_.emplace_back(lines_[report.item].line, report.text);
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

/// The lesson page is for everybody: options about one student are refused.
void check_lesson(const HandoutOptions& options) {
  const PacketRequest& request = options.request;
  const bool of_a_packet = !request.student.empty() || !request.greeting.empty() || !request.days.empty() ||
                           request.missed || !request.exercise.empty() || request.level != 0 ||
                           request.seed.has_value() || !request.style.empty() || request.tempo_bpm != 0 ||
                           !options.pdf.empty() || !options.audio.empty() || !options.roster.empty();
  if (!of_a_packet) return;
  throw Failure(ExitStatus::wrong_input, "--lesson goes with chords, --key and --out alone",
                "the page itself sets styles, levels and exercises");
}

void check(const HandoutOptions& options) {
  if (options.jobs < 1 || options.jobs > 64) {
    throw Failure(ExitStatus::wrong_input, fmt::format("--jobs: {} is out of range", options.jobs), "choose 1 to 64");
  }
  static_cast<void>(paper_named(options.paper));
  if (options.request.tempo_bpm != 0 &&
      (options.request.tempo_bpm < slowest_bpm || options.request.tempo_bpm > fastest_bpm)) {
    throw Failure(ExitStatus::wrong_input, fmt::format("--tempo: {:g} is out of range", options.request.tempo_bpm),
                  fmt::format("choose {:g} to {:g}", slowest_bpm, fastest_bpm));
  }
  const bool for_many = !options.roster.empty();
  if (!for_many && (!options.shard.empty() || options.again || options.jobs > 1)) {
    throw Failure(ExitStatus::wrong_input, "--jobs, --shard and --again are for a roster", "name one with --roster");
  }
  if (for_many && options.common.out.empty()) {
    throw Failure(ExitStatus::wrong_input, "a roster makes many files", "name a folder for them with --out");
  }
  if (for_many && !options.request.student.empty()) {
    throw Failure(ExitStatus::wrong_input, "the students are those of the roster", "leave --student out");
  }
  if (!options.soundfont.empty() && options.audio.empty()) {
    throw Failure(ExitStatus::wrong_input, "--soundfont is for the sound file", "name a folder for it with --audio");
  }
  if (options.lesson) check_lesson(options);
}

void run_handout(HandoutOptions options, Console& console) {
  check(options);
  const bool found = options.soundfont == "auto";
  options.soundfont = value_or_throw(soundfont_given(options.soundfont));
  if (found) console.err << "The sound file is played through " << options.soundfont << ".\n";
  options.request.progression = options.common.progression;
  options.request.key = options.common.key;
  options.request.terms = options.terms.checked(console);
  if (!options.roster.empty()) return RosterBatch(options, options.common.out.front(), console).run();
  const auto file = options.common.out_given({"html"});
  if (options.lesson) {
    std::string text;
    if (!options.common.progression.empty()) {
      text = write_progression(options.common.placed(console).progression);
    }
    const std::string path = file.value_or("lesson.html");
    or_throw(write_file(path, lesson_page(text, value_or_throw(own_levels(console.configuration)))));
    write_output(path + "  the lesson page: open it in a browser\n", std::nullopt, console);
    return;
  }
  if (!options.pdf.empty()) check_ending(options.pdf, {"pdf"}, "--pdf");
  PacketFiles files{file.value_or(""), options.pdf, options.audio, "loop"};
  if (files.page.empty() && files.pdf.empty() && files.audio_folder.empty()) files.page = "packet.html";
  std::string text;
  for (const std::string& path : write_packet(options.request, files, options, console)) text += path + "\n";
  write_output(text, std::nullopt, console);
}

}  // namespace

std::function<void()> set_up_handout(OptionParser& parser, Console& console) {
  auto options = std::make_shared<HandoutOptions>();
  options->common.add_progression(parser, false);
  options->common.add_key(parser);
  options->common.add_from(parser);
  PacketRequest& request = options->request;
  parser.add_option("--student", request.student, "for whom: a name, or a student of the record").value_name("NAME");
  parser.add_option("--greeting", request.greeting, "a few words to begin with").value_name("TEXT");
  parser.add_option("--day", request.days, "what to do on a day, like \"Monday: right hand alone\"; several times")
      .value_name("TEXT");
  parser.add_flag("--missed", request.missed, "for one who was away: what was done last time, and what was planned");
  parser.add_flag("--microphone", request.microphone,
                  "its page can hear a piano that has no cable (the file is a fifth larger)");
  parser.add_option("--exercise", request.exercise, "an exercise, by its id (romanesca exercise --list)")
      .value_name("ID");
  parser.add_option("--level", request.level, "of the hands and the exercise, 1 to 8; else the student's, or 3")
      .value_name("N")
      .refuse_zero("levels are 1 to 8");
  parser.add_option("--seed", request.seed, "another number gives another exercise").value_name("N").check_seed();
  parser.add_option("--style", request.style, "accompaniment style (romanesca styles)").value_name("STYLE");
  parser.add_option("--tempo", request.tempo_bpm, "beats a minute, 20 to 400").value_name("BPM");
  parser.add_flag("--lesson", options->lesson, "the lesson page instead: write, hear, analyse, set exercises");
  parser.add_option("--pdf", options->pdf, "the same on paper; with a roster, any word for each one's own")
      .value_name("FILE");
  parser.add_option("--audio", options->audio, "the loop as a sound file too, in this folder").value_name("FOLDER");
  parser.add_option("--soundfont", options->soundfont, "play that through a SoundFont file; auto finds one")
      .value_name("FILE");
  parser.add_option("--paper", options->paper, "a4 or letter").value_name("SIZE");
  parser.add_option("--roster", options->roster, "a table of students (.csv): a packet for each").value_name("FILE");
  parser.add_option("--jobs", options->jobs, "with a roster: so many packets side by side").value_name("N");
  parser.add_option("--shard", options->shard, "with a roster: one share of it, like 2/4").value_name("I/N");
  parser.add_flag("--again", options->again, "with a roster: also those that are there already");
  options->terms.add(parser);
  options->common.add_out(parser, ".html; with a roster a folder");
  return [options, &console] { run_handout(*options, console); };
}

}  // namespace romanesca
