#include <fmt/format.h>

#include <memory>
#include <ostream>

#include "cli/commands/command_table.h"
#include "cli/errors.h"
#include "cli/options.h"
#include "cli/play/controllers.h"
#include "cli/play/session.h"
#include "cli/play/system_environment.h"
#include "cli/studio/file_io.h"
#include "cli/studio/own_settings.h"
#include "cli/studio/record/play_along_note.h"
#include "cli/studio/record/store.h"
#include "theory/text/nearest_word.h"

namespace romanesca {
namespace {

struct PlayOptions {
  CommonOptions common;
  BandOptions band;
  HandOptions hands;
  double tempo = 0;
  std::string section;
  // Where to.
  std::string port, own_port, system, device;
  bool speakers = false, with_clock = false;
  double buffer_ms = 10, loudness_lufs = -16;
  // Who plays along.
  std::string listen, microphone, controls, learn, record, student;
  bool wait = false, improvise = false, headphones = false;
  int call_bars = 0;
  [[nodiscard]] bool by_microphone() const { return listen == "microphone" || !microphone.empty(); }
  [[nodiscard]] bool listens() const { return !listen.empty() || by_microphone(); }
  // How it is shown.
  bool plain = false, stats = false;
  int count_in_bars = 1, rounds = 0;
};

void check_number(const char* option, double value, double lowest, double highest) {
  if (value >= lowest && value <= highest) return;
  throw Failure(ExitStatus::wrong_input, fmt::format("{}: {:g} is out of range", option, value),
                fmt::format("choose {:g} to {:g}", lowest, highest));
}

void check_microphone(const PlayOptions& options) {
  if (!options.listen.empty() && options.listen != "microphone") {
    throw Failure(ExitStatus::wrong_input, "--listen names a MIDI port, and --microphone a microphone", "choose one");
  }
  const auto needs_keys = [](bool asked, const char* option, const char* why) {
    if (!asked) return;
    throw Failure(ExitStatus::wrong_input, fmt::format("{} needs a keyboard with a cable: {}", option, why),
                  "name its port with --listen, or leave the option out");
  };
  needs_keys(options.improvise, "--improvise", "the microphone hears chords, not single notes");
  needs_keys(options.call_bars != 0, "--call", "the microphone hears chords, not single notes");
  needs_keys(!options.record.empty(), "--record", "what the microphone hears is not kept");
  const auto needs_headphones = [&](bool asked, const char* option) {
    if (!asked || options.headphones) return;
    throw Failure(
        ExitStatus::wrong_input,
        fmt::format("{} puts chords into the room, and the microphone would take them for the student's", option),
        "with headphones say --headphones");
  };
  needs_headphones(!options.band.guide.empty(), "--guide");
  needs_headphones(!options.band.request.with.empty(), "--with");
  needs_headphones(!options.band.request.only.empty(), "--only");
}

void check(const PlayOptions& options) {
  const auto needs_listen = [&](bool asked, const char* option, bool microphone_will_do) {
    if (!asked || options.listens()) return;
    throw Failure(ExitStatus::wrong_input, fmt::format("{} needs the student's keyboard", option),
                  fmt::format("name its port with --listen; romanesca ports shows what is there{}",
                              microphone_will_do ? ". For a piano without a cable: --listen microphone" : ""));
  };
  needs_listen(options.wait, "--wait", true);
  needs_listen(options.improvise, "--improvise", false);
  needs_listen(!options.record.empty(), "--record", false);
  needs_listen(!options.student.empty(), "--student", true);
  if (options.by_microphone()) check_microphone(options);
  if (options.speakers + !options.port.empty() + !options.own_port.empty() > 1) {
    throw Failure(ExitStatus::wrong_input, "--speakers, --port and --virtual are three ways to be heard", "choose one");
  }
  if (options.wait && options.call_bars > 0) {
    throw Failure(ExitStatus::wrong_input, "--wait and --call do not go together", "choose one");
  }
  if (options.tempo != 0) check_number("--tempo", options.tempo, slowest_bpm, fastest_bpm);
  check_number("--count-in", options.count_in_bars, 0, 8);
  check_number("--rounds", options.rounds, 0, 1000);
  check_number("--buffer", options.buffer_ms, 1, 200);
  check_number("--loudness", options.loudness_lufs, -40, -8);
  if (options.call_bars != 0) check_number("--call", options.call_bars, 1, 8);
  if (!options.record.empty()) {
    check_ending(options.record, {"mid"}, "--record");
    static_cast<void>(value_or_throw(OutputFile::create(options.record)));  // before an hour has been played
  }
}

LiveArranger::Settings arranger_settings(const PlayOptions& options, bool speakers, const Console& console) {
  LiveArranger::Settings settings;
  settings.band = options.band.checked();
  settings.band.tempo_bpm = options.tempo;
  if (options.by_microphone() && !options.headphones) settings.band.only = {"drums"};
  settings.hands = options.hands.settings(console);
  if (speakers) settings.loudness_lufs = options.loudness_lufs;
  settings.call_bars = options.call_bars;
  if (options.hands.level > 0) settings.level = options.hands.level;
  return settings;
}

LiveController::Settings controller_settings(const PlayOptions& options, const Console& console) {
  LiveController::Settings settings;
  settings.key = options.common.key_given(console);
  settings.tempo_bpm = options.tempo;
  settings.count_in_bars = options.count_in_bars;
  settings.rounds = options.rounds;
  settings.section = options.section;
  settings.wait = options.wait;
  settings.with_clock = options.with_clock;
  settings.guide = !options.band.guide.empty();
  settings.click = options.band.request.click;
  return settings;
}

std::unique_ptr<LiveOutput> open_output(const PlayOptions& options, LiveController& controller,
                                        LiveEnvironment& environment) {
  if (!options.port.empty() || !options.own_port.empty()) {
    PortSelector port{options.port, options.system, !options.own_port.empty()};
    if (port.own) port.name = options.own_port;
    return environment.open_port(controller.engine(), port, options.with_clock);
  }
  return environment.open_speakers(controller.engine(), {options.device, options.system, options.buffer_ms});
}

/// Prints the report and saves recording and note after the last beat.
void conclude(const PlayOptions& options, const PlaySession& session, const LiveController& controller,
              const Listening* listening, std::int64_t end_ns, Console& console) {
  if (options.stats) console.out << session.stats_text() << "\n";
  if (!options.record.empty()) {
    if (session.recording().empty()) {
      console.out << "Nothing was played, so there is no recording.\n";
    } else {
      const LiveArrangement& arrangement = controller.playing();
      const std::vector<std::uint8_t> bytes = write_midi(session.recording().song(
          controller.arranger().source().name, arrangement.key, arrangement.piece.meters.first(), end_ns));
      or_throw(write_file(options.record, {reinterpret_cast<const char*>(bytes.data()), bytes.size()}));
      console.out << "What was played is in " << options.record << ".\n";
    }
  }
  if (listening != nullptr) {
    const std::vector<std::string> report = listening->report();
    for (const std::string& sentence : report) console.out << sentence << "\n";
    if (!options.student.empty() && listening->heard_anything()) {
      const PlayAlong playing{controller.arranger().source().name, controller.playing().key, report,
                              options.hands.level, listening->chords_played()};
      const PlayAlongNoted noted =
          value_or_throw(note_play_along(console.data, options.student, playing, console.today));
      console.out << fmt::format("It is in {}'s record.\n", noted.student);
      for (const SkillPlayed& each : noted.skills) console.out << describe(each) << "\n";
    }
  }
  console.out << std::flush;
}

/// What hears the student: one of the two, or neither.
struct StudentInputs {
  std::unique_ptr<MidiInput> keyboard;
  std::unique_ptr<SoundInput> microphone;
  std::optional<Listening> listening;
};

StudentInputs open_listening(const PlayOptions& options, const Key& key, LiveEnvironment& environment,
                             Console& console) {
  StudentInputs inputs;
  if (!options.listens()) return inputs;
  if (options.by_microphone()) {
    inputs.microphone = environment.open_microphone({options.microphone, options.system});
    console.out << fmt::format("{} listens to the piano. Nothing of its sound is kept or sent.{}\n",
                               inputs.microphone->name(),
                               options.headphones ? "" : " Only the drums play, so that only the piano has chords.");
  } else {
    inputs.keyboard = environment.open_input({options.listen, options.system, false});
  }
  const bool line = options.improvise || options.call_bars > 0;
  inputs.listening.emplace(line ? Listening::Kind::line : Listening::Kind::chords, options.wait, key);
  return inputs;
}

void tell_what_was_lost(const MidiInput* keyboard, const SoundInput* microphone, Console& console) {
  if (keyboard != nullptr && keyboard->lost() > 0)
    console.out << fmt::format("{} messages came faster than they could be read.\n", keyboard->lost());
  if (microphone != nullptr && microphone->lost() > 0) {
    console.out << fmt::format("The computer was too busy to hear {:.1f} seconds of the microphone.\n",
                               microphone->lost() / microphone->rate_hz());
  }
}

void play(const PlayOptions& options, LiveEnvironment& environment, Console& console) {
  if (!options.student.empty()) {  // before an hour has been played
    Store store = value_or_throw(Store::open(console.data));
    static_cast<void>(value_or_throw(student_named(store, options.student)));
  }
  const bool speakers = options.port.empty() && options.own_port.empty();
  LiveController controller(
      LiveArranger(options.common.source(console), value_or_throw(own_styles(console.configuration)),
                   arranger_settings(options, speakers, console)),
      controller_settings(options, console));
  Controllers controllers(controls_file(console));
  auto [keyboard, microphone, listening] = open_listening(options, controller.playing().key, environment, console);
  std::unique_ptr<MidiInput> controls;
  const bool shared = !options.controls.empty() && options.controls == options.listen && keyboard != nullptr;
  if (!options.controls.empty() && !shared)
    controls = environment.open_input({options.controls, options.system, false});
  const std::unique_ptr<LiveOutput> output = open_output(options, controller, environment);

  PlaySession::Settings settings;
  settings.screen = !options.plain && console.out_is_terminal;
  settings.stats = options.stats;
  settings.ring_out = speakers;
  settings.cautious = speakers;
  settings.title =
      controller.arranger().source().name == "progression" ? "These chords" : controller.arranger().source().name;
  PlaySession session(controller, {*output, keyboard.get(), shared ? keyboard.get() : controls.get(), microphone.get()},
                      controllers, listening ? &*listening : nullptr, environment, console, settings);
  const PlaySession::End end = session.run();
  const std::int64_t end_ns = environment.now_ns();
  const bool came_back = output->end();
  tell_what_was_lost(keyboard.get(), microphone.get(), console);
  conclude(options, session, controller, listening ? &*listening : nullptr, end_ns, console);
  if (!came_back) {
    // A thread hangs in the MIDI system and still uses what a normal exit would free.
    console.err << "romanesca: the MIDI system does not answer any more\n" << std::flush;
    std::_Exit(static_cast<int>(ExitStatus::device_refused));
  }
  if (end == PlaySession::End::interrupted) throw Failure(ExitStatus::interrupted, "stopped");
  if (end == PlaySession::End::port_gone) {
    throw Failure(ExitStatus::device_refused, fmt::format("{} has gone and did not come back", output->name()),
                  "romanesca ports shows what is there");
  }
}

void run_play(const PlayOptions& options, Console& console) {
  check(options);
  const auto go = [&](LiveEnvironment& environment) {
    try {
      if (!options.learn.empty()) {
        learn_control(options.learn, options.controls, options.system, environment, console);
      } else {
        play(options, environment, console);
      }
    } catch (const SystemError& error) {
      throw Failure(ExitStatus::device_refused, error.what(), error.hint());
    }
  };
  if (options.learn.empty() && options.common.progression.empty()) {
    throw Failure(ExitStatus::wrong_input, "play needs a progression",
                  "give chords in quotes, a file, or the name of a pattern");
  }
  if (console.live_environment != nullptr) return go(*console.live_environment);
  SystemEnvironment computer(options.common.progression != "-");
  go(computer);
}

void add_band_options(OptionParser& parser, PlayOptions& options) {
  parser.add_option("--style", options.band.request.style, "accompaniment style (romanesca styles)")
      .value_name("STYLE");
  parser
      .add_option("--guide", options.band.guide,
                  "a soft guide part: chords, melody (chord tones) or tune (the song's own)")
      .value_name("KIND");
  parser.add_flag("--click", options.band.request.click, "a metronome throughout");
  parser.add_option("--mute", options.band.request.mute, "leave this part out, like drums, bass or pad")
      .value_name("PART");
  parser.add_option("--only", options.band.request.only, "play this part alone").value_name("PART");
  parser
      .add_option("--with", options.band.request.with,
                  "put this part in: keys, which are left to the student otherwise")
      .value_name("PART");
  parser
      .add_option("--human", options.band.request.human_percent, "small unevenness in time and force, 0 (exact) to 100")
      .value_name("PERCENT");
  parser.add_option("--seed", options.band.request.seed, "another number gives another performance").value_name("N");
}

void add_output_options(OptionParser& parser, PlayOptions& options) {
  parser.add_flag("--speakers", options.speakers,
                  "through the computer's speakers: what is done where no port is named");
  parser.add_option("--device", options.device, "which speakers, by a part of their name").value_name("NAME");
  parser.add_option("--port", options.port, "on this MIDI port, by a part of its name (romanesca ports)")
      .value_name("NAME");
  parser.add_option("--virtual", options.own_port, "open a MIDI port of this name for other programs")
      .value_name("NAME");
  parser.add_option("--api", options.system, "sound system: alsa, jack and so on; else the first that answers")
      .value_name("NAME");
  parser.add_flag("--clock", options.with_clock, "send MIDI clock, start and stop too");
  parser.add_option("--loudness", options.loudness_lufs, "of the speakers, -40 to -8; -16 if not given")
      .value_name("LUFS");
  parser.add_option("--buffer", options.buffer_ms, "of the speakers, 1 to 200; longer where the sound breaks off")
      .value_name("MS");
}

void add_listening_options(OptionParser& parser, PlayOptions& options) {
  parser
      .add_option("--listen", options.listen,
                  "hear the student's keyboard at this MIDI port, or any piano by the word microphone")
      .value_name("PORT");
  parser.add_option("--microphone", options.microphone, "which microphone, by a part of its name").value_name("NAME");
  parser.add_flag("--headphones", options.headphones,
                  "the band is heard by headphones: all of it may play while the microphone listens");
  parser.add_flag("--wait", options.wait, "wait before each chord until the student plays it");
  parser.add_flag("--improvise", options.improvise, "the student plays a line: tell which notes it landed on");
  parser.add_option("--call", options.call_bars, "call with a phrase of 1 to 8 bars, then as many for the answer")
      .value_name("BARS");
  parser.add_option("--record", options.record, "what the student plays, as a .mid file").value_name("FILE");
  parser.add_option("--student", options.student, "write the report into this student's record").value_name("NAME");
  parser.add_option("--controls", options.controls, "a foot switch or pads at this MIDI port").value_name("PORT");
  parser.add_option("--learn", options.learn, "learn what a foot switch does, like start-stop or \"mute 2\"")
      .value_name("ACTION");
}

void add_options(OptionParser& parser, PlayOptions& options) {
  options.common.add_progression(parser, false);  // not needed to learn a foot switch
  options.common.add_key(parser);
  options.common.add_from(parser);
  parser.add_option("--tempo", options.tempo, "beats a minute, 20 to 400; dotted quarters in 6/8, 9/8, 12/8")
      .value_name("BPM");
  add_band_options(parser, options);
  parser.add_option("--section", options.section, "begin with this section and stay in it").value_name("NAME");
  parser.add_option("--count-in", options.count_in_bars, "bars of clicks first, 0 to 8; 1 if not given")
      .value_name("BARS");
  parser.add_option("--rounds", options.rounds, "stop after so many times through; else it goes on").value_name("N");
  add_output_options(parser, options);
  add_listening_options(parser, options);
  parser.add_flag("--plain", options.plain, "a line for each bar instead of the screen");
  parser.add_flag("--stats", options.stats, "show how exact the timing is");
  options.hands.add(parser);
}

}  // namespace

std::function<void()> set_up_play(OptionParser& parser, Console& console) {
  auto options = std::make_shared<PlayOptions>();
  options->common.plays = true;
  add_options(parser, *options);
  return [options, &console] { run_play(*options, console); };
}

}  // namespace romanesca
