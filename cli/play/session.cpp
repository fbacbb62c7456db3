#include "cli/play/session.h"

#include <fmt/format.h>

#include <ostream>

namespace romanesca {
namespace {

constexpr int look_every_ms = 15;

}  // namespace

PlaySession::PlaySession(LiveController& controller, const Devices& devices, Controllers& controllers,
                         Listening* listening, LiveEnvironment& environment, Console& console, Settings settings)
    : controller_(controller),
      devices_(devices),
      controllers_(controllers),
      listening_(listening),
      environment_(environment),
      console_(console),
      settings_(std::move(settings)) {
  news_.title = settings_.title;
  news_.port = devices_.output.name();
  news_.blocks = environment.has_blocks();
  news_.colour = console.colour;
}

PlaySession::End PlaySession::run() {
  if (settings_.cautious) {
    news_.message = "Start with the volume low, above all with headphones.";
    if (!settings_.screen) say(news_.message);
  }
  if (!settings_.screen) {
    say(fmt::format("{} in {}, tempo {:g}, {}, on {}.", settings_.title, to_string(controller_.playing().key),
                    controller_.tempo_bpm(), controller_.playing().style, devices_.output.name()));
  } else {
    painter_.emplace(console_.out);
  }
  controller_.start();
  End end = End::left;
  while (!leave_) {
    keys();
    listen();
    events();
    look_after_port();
    controller_.clear_up();
    if (controller_.ended_by_itself()) {
      leave_ = true;
      end = End::finished;
    }
    show();
    if (environment_.asked_to_end() || !console_.out) {
      leave_ = true;
      end = End::interrupted;
    }
  }
  settle();
  painter_.reset();
  return end == End::left && port_gone_ ? End::port_gone : end;
}

// In -----------------------------------------------------------------------------------------------------------------

void PlaySession::keys() {
  const auto key = environment_.next_key(look_every_ms);
  if (!key) return;
  if (const auto request = keys_.press(*key)) ask(*request);
}

void PlaySession::ask(const PlayRequest& request) {
  if (request.action == PlayAction::leave) {
    leave_ = true;
    return;
  }
  const std::string done = controller_.act(request, environment_.now_ns());
  news_.message = done;
  if (!settings_.screen && !done.empty()) say(done);
}

void PlaySession::listen() {
  MidiHeard heard;
  if (devices_.controls != nullptr && devices_.controls != devices_.keyboard) {
    while (devices_.controls->take(heard)) {
      if (const auto request = controllers_.asks(heard)) ask(*request);
    }
  }
  if (devices_.keyboard == nullptr) return;
  while (devices_.keyboard->take(heard)) {
    const auto request = devices_.controls != nullptr ? controllers_.asks(heard) : std::nullopt;
    if (request) {
      ask(*request);
      continue;
    }
    recording_.hear(heard);
    if (listening_ != nullptr) listening_->hear(heard);
  }
  if (listening_ == nullptr) return;
  listening_->pass(environment_.now_ns());
  const std::string before = news_.heard;
  news_.heard = listening_->latest();
  if (!settings_.screen && !news_.heard.empty() && news_.heard != before) say("  heard " + news_.heard);
  if (awaited_ &&
      listening_->is_played(controller_.playing().chords[static_cast<std::size_t>(*awaited_)].chord, let_go_ns_)) {
    awaited_.reset();
    let_go_ns_ = environment_.now_ns();
    controller_.resume();
  }
}

// What the band tells -------------------------------------------------------------------------------------------------

std::int64_t PlaySession::heard_at(const LiveEvent& event) const { return event.time_ns + devices_.output.offset_ns(); }

void PlaySession::events() {
  for (LiveEvent event; controller_.engine().pop_event(event);) {
    controller_.follow(event);
    follow(event);
  }
}

void PlaySession::follow(const LiveEvent& event) {
  using Kind = LiveEvent::Kind;
  const LiveArrangement& arrangement = controller_.playing();
  switch (event.kind) {
    case Kind::pulse:
      recording_.beat(heard_at(event), arrangement.piece.meter.pulse_length() * event.pulse,
                      arrangement.piece.meter.pulse_length(), arrangement.piece.meter.bar_length());
      if (listening_ != nullptr) listening_->beat(arrangement, event.bar, event.pulse, heard_at(event));
      if (event.pulse == 0 && !settings_.screen) say(bar_line(controller_));
      break;
    case Kind::chord: {
      const auto index = static_cast<std::size_t>(event.chord);
      if (index >= arrangement.chords.size() || event.piece != &arrangement.piece) break;
      recording_.chord(heard_at(event), arrangement.chords[index].symbol);
      if (listening_ == nullptr) break;
      const double quarters =
          static_cast<double>(arrangement.piece.chords[index].until - arrangement.piece.chords[index].tick) /
          live_ticks;
      listening_->ask(arrangement, index, heard_at(event), quarters * 60e9 / event.quarters_per_minute);
      break;
    }
    case Kind::waiting:
      awaited_ = event.chord;
      if (!settings_.screen)
        say(fmt::format("  waiting for {}", arrangement.chords[static_cast<std::size_t>(event.chord)].symbol));
      break;
    case Kind::stopped:
      stopped_seen_ = true;
      awaited_.reset();
      if (listening_ != nullptr) listening_->stop(heard_at(event));
      break;
    case Kind::slipped:
      news_.message = "the computer was held up; the band goes on from its place";
      break;
    case Kind::started:
    case Kind::count_in:
    case Kind::piece_changed:
      break;
  }
}

void PlaySession::look_after_port() {
  switch (devices_.output.check()) {
    case LiveOutput::State::open:
      break;
    case LiveOutput::State::gone:
      if (port_gone_) break;
      port_gone_ = true;
      playing_when_gone_ = controller_.running();
      if (controller_.running()) controller_.stop();
      news_.message =
          fmt::format("{} has gone; waiting for it at bar {}", devices_.output.name(), controller_.bar() + 1);
      if (!settings_.screen) say(news_.message);
      break;
    case LiveOutput::State::back:
      port_gone_ = false;
      news_.message = fmt::format("{} is back", devices_.output.name());
      if (!settings_.screen) say(news_.message);
      for (MidiInput* input : {devices_.keyboard, devices_.controls}) {
        if (input != nullptr) input->reopen();
      }
      if (playing_when_gone_) controller_.go_on();
      break;
  }
}

// Out -----------------------------------------------------------------------------------------------------------------

void PlaySession::say(const std::string& line) {
  if (!painter_) console_.out << line << "\n" << std::flush;
}

void PlaySession::show() {
  if (!painter_) return;
  if (settings_.stats) news_.stats = stats_text();
  const LiveEnvironment::Size size = environment_.size();
  painter_->paint(screen_lines(controller_, news_, size), size);
}

std::string PlaySession::stats_text() const {
  const TimingStats::Summary late = devices_.output.lateness();
  const std::uint32_t underruns = devices_.output.underruns();
  if (settings_.cautious) {  // the speakers
    return fmt::format("sound: p50 {:.2f} ms, p99 {:.2f} ms, max {:.2f} ms to make a block of {}; ran out {} times",
                       late.p50_ms, late.p99_ms, late.max_ms, late.events, underruns);
  }
  return fmt::format("timing: p50 {:.3f} ms, p99 {:.3f} ms, max {:.3f} ms late of {}; {} later than 3 ms", late.p50_ms,
                     late.p99_ms, late.max_ms, late.events, late.late);
}

/// Every note is ended before the port closes.
void PlaySession::settle() {
  constexpr int patience_ms = 400, step_ms = 5, last_sound_ms = 1500;
  const bool by_itself = controller_.ended_by_itself();
  stopped_seen_ = !controller_.running();
  if (controller_.running()) controller_.stop();
  if (by_itself && settings_.ring_out) {
    for (int waited = 0; waited < last_sound_ms && !environment_.asked_to_end(); waited += look_every_ms) {
      static_cast<void>(environment_.next_key(look_every_ms));
    }
  }
  static_cast<void>(controller_.act({PlayAction::silence, 0}, environment_.now_ns()));
  for (int waited = 0; waited < patience_ms; waited += step_ms) {
    static_cast<void>(environment_.next_key(step_ms));
    events();
    if (stopped_seen_ && waited >= 2 * step_ms) break;
  }
  if (listening_ != nullptr) listening_->stop(environment_.now_ns());
}

}  // namespace romanesca
