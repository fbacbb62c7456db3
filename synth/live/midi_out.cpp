#include "synth/live/midi_out.h"

namespace romanesca {

MidiOut::MidiOut(LiveEngine& engine, const PortSelector& wish, bool with_clock)
    : engine_(engine),
      line_(wish),
      performer_(line_, lateness_, &monotonic_ns, with_clock),
      thread_(engine, performer_) {}

LiveOutput::State MidiOut::check() {
  constexpr std::int64_t caught_ns = 1'000'000'000;
  if (thread_.silent_for_ns() > caught_ns) return State::gone;
  switch (line_.check(monotonic_ns())) {
    case MidiLine::State::open:
      return State::open;
    case MidiLine::State::back:
      return State::back;
    default:
      return State::gone;
  }
}

MidiOut::~MidiOut() { end(); }

/// Whatever brought us here, no note goes on.
bool MidiOut::end() {
  LiveCommand command;
  for (const auto kind : {LiveCommand::Kind::stop, LiveCommand::Kind::panic}) {
    command.kind = kind;
    engine_.push_command(command);
  }
  return thread_.end(2'000'000'000);
}

}  // namespace romanesca
