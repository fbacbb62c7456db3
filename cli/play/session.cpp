#include "cli/play/session.h"

#include <fmt/format.h>

#include <array>
#include <ostream>

#include "cli/accidental_signs.h"

namespace romanesca {
namespace {

constexpr int poll_ms = 15;
constexpr std::int64_t microphone_gone_ns = 2'000'000'000;  // without a sample

}  // namespace

PlaySession::PlaySession(LiveController& controller, const InputsAndOutput& ports, Controllers& controllers,
                         Listening* listening, LiveEnvironment& environment, Console& console, Settings settings)
    : controller_(controller),
      ports_(ports),
      controllers_(controllers),
      listening_(listening),
      environment_(environment),
      console_(console),
      settings_(std::move(settings)) {
  status_.title = settings_.title;
  status_.port = ports_.output.name();
  status_.blocks = environment.has_blocks();
  status_.colour = console.colour;
}

PlaySession::End PlaySession::run() {
  if (settings_.cautious) {
    status_.message = "Start with the volume low, above all with headphones.";
    if (!settings_.screen) print_line(status_.message);
  }
  if (!settings_.screen) {
    print_line(fmt::format("{} in {}, tempo {:g}, {}, on {}.", settings_.title, to_string(controller_.playing().key),
                           controller_.tempo_bpm(), controller_.playing().style, ports_.output.name()));
  } else {
    painter_.emplace(console_.out);
  }
  controller_.start();
  End end = End::left;
  while (!leave_) {
    read_keys();
    read_midi();
    read_microphone();
    tell_what_was_heard();
    handle_events();
    check_port();
    controller_.free_retired();
    if (controller_.ended_by_itself()) {
      leave_ = true;
      end = End::finished;
    }
    draw();
    if (environment_.asked_to_end() || !console_.out) {
      leave_ = true;
      end = End::interrupted;
    }
  }
  finish();
  painter_.reset();
  return end == End::left && port_lost_ ? End::port_gone : end;
}

// Input --------------------------------------------------------------------------------------------------------------

void PlaySession::read_keys() {
  const auto key = environment_.next_key(poll_ms);
  if (!key) return;
  if (const auto request = keys_.press(*key)) handle_request(*request);
}

void PlaySession::handle_request(const PlayRequest& request) {
  if (request.action == PlayAction::leave) {
    leave_ = true;
    return;
  }
  const std::string result = controller_.perform(request, environment_.now_ns());
  status_.message = result;
  if (!settings_.screen && !result.empty()) print_line(result);
}

void PlaySession::read_midi() {
  MidiHeard message;
  if (ports_.controls != nullptr && ports_.controls != ports_.keyboard) {
    while (ports_.controls->take(message)) {
      if (const auto request = controllers_.asks(message)) handle_request(*request);
    }
  }
  if (ports_.keyboard == nullptr) return;
  while (ports_.keyboard->take(message)) {
    const auto request = ports_.controls != nullptr ? controllers_.asks(message) : std::nullopt;
    if (request) {
      handle_request(*request);
      continue;
    }
    recording_.handle_message(message);
    if (listening_ != nullptr) listening_->handle_message(message);
  }
}

void PlaySession::read_microphone() {
  if (ports_.microphone == nullptr || listening_ == nullptr) return;
  std::array<float, 1024> samples{};
  const std::int64_t now = environment_.now_ns();
  while (const std::size_t count = ports_.microphone->take(samples)) {
    listening_->handle_sound({samples.data(), count}, ports_.microphone->rate_hz(), ports_.microphone->offset_ns());
    sound_at_ns_ = now;
    microphone_lost_ = false;
  }
  if (microphone_lost_ || sound_at_ns_ == 0 || now - sound_at_ns_ < microphone_gone_ns) return;
  microphone_lost_ = true;
  status_.message = fmt::format("{} has gone; connect it and start again", ports_.microphone->name());
  if (!settings_.screen) print_line(status_.message);
}

void PlaySession::tell_what_was_heard() {
  if (listening_ == nullptr) return;
  listening_->advance_to(environment_.now_ns());
  const std::string before = status_.heard;
  status_.heard = listening_->latest_result();
  if (!settings_.screen && !status_.heard.empty() && status_.heard != before) print_line("  heard " + status_.heard);
  if (awaited_chord_ &&
      listening_->is_played(controller_.playing().chords[static_cast<std::size_t>(*awaited_chord_)].chord,
                            resumed_at_ns_)) {
    awaited_chord_.reset();
    resumed_at_ns_ = environment_.now_ns();
    controller_.resume();
  }
}

// Events of the band
// ---------------------------------------------------------------------------------------------------

std::int64_t PlaySession::sounding_time(const LiveEvent& event) const {
  return event.time_ns + ports_.output.offset_ns();
}

void PlaySession::handle_events() {
  for (LiveEvent event; controller_.engine().pop_event(event);) {
    controller_.handle_event(event);
    handle_event(event);
  }
}

void PlaySession::handle_event(const LiveEvent& event) {
  using Kind = LiveEvent::Kind;
  const LiveArrangement& arrangement = controller_.playing();
  switch (event.kind) {
    case Kind::pulse: {
      const Meter meter = arrangement.piece.meter_of(event.bar);
      recording_.add_beat(sounding_time(event), meter.pulse_length() * event.pulse, meter.pulse_length(),
                          meter.bar_length());
      if (listening_ != nullptr) listening_->begin_beat(arrangement, event.bar, event.pulse, sounding_time(event));
      if (event.pulse == 0 && !settings_.screen) print_line(bar_line(controller_));
      break;
    }
    case Kind::chord: {
      const auto index = static_cast<std::size_t>(event.chord);
      if (index >= arrangement.chords.size() || event.piece != &arrangement.piece) break;
      recording_.add_chord(sounding_time(event), arrangement.chords[index].symbol);
      if (listening_ == nullptr) break;
      const double quarters =
          static_cast<double>(arrangement.piece.chords[index].until - arrangement.piece.chords[index].tick) /
          live_ticks;
      listening_->begin_chord(arrangement, index, sounding_time(event), quarters * 60e9 / event.quarters_per_minute);
      break;
    }
    case Kind::waiting:
      awaited_chord_ = event.chord;
      if (!settings_.screen)
        print_line(fmt::format("  waiting for {}", arrangement.chords[static_cast<std::size_t>(event.chord)].symbol));
      break;
    case Kind::stopped:
      stop_confirmed_ = true;
      awaited_chord_.reset();
      if (listening_ != nullptr) listening_->stop(sounding_time(event));
      break;
    case Kind::slipped:
      status_.message = "the computer was too busy; the band continues from the same place";
      break;
    case Kind::started:
    case Kind::count_in:
    case Kind::piece_changed:
      break;
  }
}

void PlaySession::check_port() {
  switch (ports_.output.check()) {
    case LiveOutput::State::open:
      break;
    case LiveOutput::State::gone:
      if (port_lost_) break;
      port_lost_ = true;
      running_when_lost_ = controller_.running();
      if (controller_.running()) controller_.stop();
      status_.message =
          fmt::format("{} has gone; waiting for it at bar {}", ports_.output.name(), controller_.bar() + 1);
      if (!settings_.screen) print_line(status_.message);
      break;
    case LiveOutput::State::back:
      port_lost_ = false;
      status_.message = fmt::format("{} is back", ports_.output.name());
      if (!settings_.screen) print_line(status_.message);
      for (MidiInput* input : {ports_.keyboard, ports_.controls}) {
        if (input != nullptr) input->reopen();
      }
      if (running_when_lost_) controller_.restart_at_bar();
      break;
  }
}

// Output --------------------------------------------------------------------------------------------------------------

void PlaySession::print_line(const std::string& line) {
  if (!painter_) console_.out << (console_.shows_signs() ? with_accidental_signs(line) : line) << "\n" << std::flush;
}

void PlaySession::draw() {
  if (!painter_) return;
  if (settings_.stats) status_.stats = stats_text();
  const LiveEnvironment::Size size = environment_.size();
  std::vector<std::string> lines = screen_lines(controller_, status_, size);
  if (console_.shows_signs()) {
    for (std::string& line : lines) line = with_accidental_signs(line);
  }
  painter_->paint(lines, size);
}

std::string PlaySession::stats_text() const {
  const TimingStats::Summary timing = ports_.output.lateness();
  const std::uint32_t underruns = ports_.output.underruns();
  if (settings_.cautious) {  // the speakers
    return fmt::format("sound: p50 {:.2f} ms, p99 {:.2f} ms, max {:.2f} ms to make a block of {}; ran out {} times",
                       timing.p50_ms, timing.p99_ms, timing.max_ms, timing.events, underruns);
  }
  return fmt::format("timing: p50 {:.3f} ms, p99 {:.3f} ms, max {:.3f} ms late of {}; {} later than 3 ms",
                     timing.p50_ms, timing.p99_ms, timing.max_ms, timing.events, timing.late);
}

/// Stops the band and waits until every note has ended, before the port closes.
void PlaySession::finish() {
  constexpr int timeout_ms = 400, step_ms = 5, ring_out_ms = 1500;
  const bool ended_by_itself = controller_.ended_by_itself();
  stop_confirmed_ = !controller_.running();
  if (controller_.running()) controller_.stop();
  if (ended_by_itself && settings_.ring_out) {
    for (int waited = 0; waited < ring_out_ms && !environment_.asked_to_end(); waited += poll_ms) {
      static_cast<void>(environment_.next_key(poll_ms));
    }
  }
  static_cast<void>(controller_.perform({PlayAction::silence, 0}, environment_.now_ns()));
  for (int waited = 0; waited < timeout_ms; waited += step_ms) {
    static_cast<void>(environment_.next_key(step_ms));
    handle_events();
    if (stop_confirmed_ && waited >= 2 * step_ms) break;
  }
  if (listening_ != nullptr) listening_->stop(environment_.now_ns());
}

}  // namespace romanesca
