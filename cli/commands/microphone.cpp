#include <fmt/format.h>

#include <array>
#include <memory>
#include <ostream>

#include "cli/commands/command_table.h"
#include "cli/errors.h"
#include "cli/formats/room_text.h"
#include "cli/play/system_environment.h"
#include "synth/hearing/room_check.h"

namespace romanesca {
namespace {

constexpr double settling_s = 0.5, quiet_s = 3, playing_s = 15;
constexpr int poll_ms = 20;

struct MicrophoneOptions {
  std::string device, system;
};

/// Takes the microphone's sound for some seconds. @return false if the user wants to end it
template <typename Use>
bool take_for(double seconds, SoundInput& microphone, LiveEnvironment& environment, const Use& use) {
  std::array<float, 1024> samples{};
  const std::int64_t end_ns = environment.now_ns() + static_cast<std::int64_t>(seconds * 1e9);
  while (environment.now_ns() < end_ns) {
    if (environment.asked_to_end()) return false;
    if (environment.next_key(poll_ms)) return true;
    while (const std::size_t count = microphone.take(samples)) use(std::span<const float>(samples.data(), count));
  }
  return true;
}

void try_microphone(const MicrophoneOptions& options, LiveEnvironment& environment, Console& console) {
  const std::unique_ptr<SoundInput> microphone = environment.open_microphone({options.device, options.system});
  RoomCheck check(microphone->rate_hz());
  console.out << fmt::format("{}. Nothing of its sound is kept or sent.\n", microphone->name())
              << "Please be quiet for three seconds.\n"
              << std::flush;
  const auto leave_out = [](std::span<const float>) {};
  bool goes_on = take_for(settling_s, *microphone, environment, leave_out) &&
                 take_for(quiet_s, *microphone, environment, [&](auto samples) { check.push_quiet(samples); });
  if (goes_on) {
    console.out << "Now play some chords, one after the other: loud ones, then soft ones. Any key ends it.\n"
                << std::flush;
    double told_ms = -1;
    goes_on = take_for(playing_s, *microphone, environment, [&](auto samples) {
      check.push_playing(samples, [&](const TonesHeard& heard) {
        if (heard.onset_ms == told_ms || heard.at_ms - heard.onset_ms < tones_settle_ms) return;
        told_ms = heard.onset_ms;
        const std::string tones = tones_text(heard);
        if (!tones.empty()) console.out << "  heard " << tones << "\n" << std::flush;
      });
    });
  }
  if (!goes_on) throw Failure(ExitStatus::interrupted, "stopped");
  for (const std::string& sentence : room_sentences(check.report())) console.out << sentence << "\n";
}

}  // namespace

std::function<void()> set_up_microphone(OptionParser& parser, Console& console) {
  auto options = std::make_shared<MicrophoneOptions>();
  parser.add_option("--device", options->device, "which microphone, by a part of its name").value_name("NAME");
  parser.add_option("--api", options->system, "sound system: alsa, jack and so on; else the first that answers")
      .value_name("NAME");
  return [options, &console] {
    const auto go = [&](LiveEnvironment& environment) {
      try {
        try_microphone(*options, environment, console);
      } catch (const SystemError& error) {
        throw Failure(ExitStatus::device_refused, error.what(), error.hint());
      }
    };
    if (console.live_environment != nullptr) return go(*console.live_environment);
    SystemEnvironment computer(true);
    go(computer);
  };
}

}  // namespace romanesca
