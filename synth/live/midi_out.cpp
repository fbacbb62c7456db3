#include "synth/live/midi_out.h"

#include <RtMidi.h>

#include <chrono>
#include <thread>

#include "theory/text/errors.h"

namespace romanesca {
namespace {

constexpr std::int64_t stalled_after_ns = 500'000'000;
constexpr std::int64_t check_every_ns = 1'000'000'000;

void wait_ms(int ms) { std::this_thread::sleep_for(std::chrono::milliseconds(ms)); }

}  // namespace

MidiOutPort::MidiOutPort(PortSelector selector) : selector_(std::move(selector)) { open(); }

MidiOutPort::~MidiOutPort() { close(); }

void MidiOutPort::open() {
  port_ = open_midi_output(selector_);
  if (port_.system == "jack") watch_ = JackWatch::of_running_server();
  server_.store(watch_.get());
  open_.store(true);
}

void MidiOutPort::send(std::span<const std::uint8_t> message) noexcept {
  sending_.store(true);
  const JackWatch* const server = server_.load();
  if (open_.load() && (server == nullptr || server->running())) {
    try {
      port_.midi->sendMessage(message.data(), message.size());
    } catch (...) {
      open_.store(false);
    }
  }
  sending_.store(false);
}

/// RtMidi frees what its own thread may still use unless the port was closed some milliseconds before; and a stalled
/// server would block us, so another thread closes the port and is detached if it hangs.
void MidiOutPort::close() noexcept {
  open_.store(false);
  for (int i = 0; i < 200 && sending_.load(); ++i) wait_ms(1);
  if (sending_.load()) {
    static_cast<void>(port_.midi.release());  // the sender hangs in it
    static_cast<void>(watch_.release());
    return;
  }
  server_.store(nullptr);
  if (port_.midi == nullptr) return;
  try {
    auto done = std::make_shared<std::atomic<bool>>(false);
    std::thread closer([midi = port_.midi.release(), watch = watch_.release(), done] {
      midi->closePort();
      wait_ms(20);
      delete midi;   // NOLINT(cppcoreguidelines-owning-memory): leaked if the server hangs
      delete watch;  // NOLINT(cppcoreguidelines-owning-memory)
      done->store(true);
    });
    for (int i = 0; i < 3000 && !done->load(); ++i) wait_ms(1);
    if (done->load()) {
      closer.join();
    } else {
      closer.detach();
    }
  } catch (...) {
    gone_ = true;  // no thread: the port stays open until the program ends
  }
}

bool MidiOutPort::port_alive(std::int64_t now_ns) {
  if (!open_.load()) return false;
  if (watch_ != nullptr) {
    if (!watch_->running()) return false;
    if (watch_->cycles() != cycles_ || cycles_at_ns_ == 0) {
      cycles_ = watch_->cycles();
      cycles_at_ns_ = now_ns;
    }
    if (now_ns - cycles_at_ns_ > stalled_after_ns) return false;
    return selector_.own || watch_->has_port(port_.name);
  }
  if (selector_.own || now_ns - checked_at_ns_ < check_every_ns) return true;
  checked_at_ns_ = now_ns;
  return port_exists(port_.system, port_.name, true);
}

MidiOutPort::State MidiOutPort::check(std::int64_t now_ns) {
  if (!gone_) {
    if (port_alive(now_ns)) return State::open;
    gone_ = true;
    checked_at_ns_ = now_ns;
    close();
    return State::gone;
  }
  if (now_ns - checked_at_ns_ < check_every_ns) return State::gone;
  checked_at_ns_ = now_ns;
  try {
    cycles_at_ns_ = 0;
    open();
    gone_ = false;
    return State::back;
  } catch (const SystemError&) {
    return State::gone;
  }
}

MidiOut::MidiOut(LiveEngine& engine, const PortSelector& selector, bool with_clock)
    : engine_(engine),
      port_(selector),
      performer_(port_, lateness_, &monotonic_ns, with_clock),
      thread_(engine, performer_) {}

LiveOutput::State MidiOut::check() {
  constexpr std::int64_t hung_ns = 1'000'000'000;
  if (thread_.silent_for_ns() > hung_ns) return State::gone;
  switch (port_.check(monotonic_ns())) {
    case MidiOutPort::State::open:
      return State::open;
    case MidiOutPort::State::back:
      return State::back;
    default:
      return State::gone;
  }
}

MidiOut::~MidiOut() { end(); }

/// Stops all notes first.
bool MidiOut::end() {
  LiveCommand command;
  for (const auto kind : {LiveCommand::Kind::stop, LiveCommand::Kind::panic}) {
    command.kind = kind;
    engine_.push_command(command);
  }
  return thread_.end(2'000'000'000);
}

}  // namespace romanesca
