#include "cli/play/live_recording.h"

#include <algorithm>
#include <cmath>

namespace romanesca {
namespace {

constexpr std::size_t most_notes = 200'000;  // hours of practice

}  // namespace

void LiveRecording::add_beat(std::int64_t time_ns, Beats bar_position, Beats length, Beats bar) {
  Beats position;
  if (!beats_.empty()) {
    position = beats_.back().position + beats_.back().length;
    // After a stop within a bar the music continues from a bar line; so does the file.
    if (bar_position == Beats(0)) {
      const Beats whole = bar * whole_times(position, bar);
      if (whole < position) position = whole + bar;
    }
  }
  beats_.push_back({time_ns, position, length});
}

void LiveRecording::add_chord(std::int64_t time_ns, const std::string& symbol) {
  chord_symbols_.push_back({time_ns, symbol});
}

void LiveRecording::key_up(std::uint8_t midi, std::int64_t time_ns) {
  if (open_note_[midi] == 0) return;
  notes_[static_cast<std::size_t>(open_note_[midi] - 1)].to_ns = time_ns;
  open_note_[midi] = 0;
  held_by_pedal_[midi] = false;
}

void LiveRecording::handle_message(const MidiHeard& message) {
  const int kind = message.status & 0xF0;
  const std::uint8_t midi = message.first & 0x7FU;
  if (kind == 0x90 && message.second > 0) {
    key_up(midi, message.time_ns);
    if (notes_.size() >= most_notes) return;
    notes_.push_back({message.time_ns, 0, midi, message.second});
    open_note_[midi] = static_cast<std::int32_t>(notes_.size());
  } else if (kind == 0x80 || kind == 0x90) {
    held_by_pedal_[midi] = pedal_ && open_note_[midi] != 0;
    if (!pedal_) key_up(midi, message.time_ns);
  } else if (kind == 0xB0 && message.first == sustain_controller) {
    pedal_ = message.second >= 64;
    for (std::uint8_t key = 0; !pedal_ && key < 128; ++key) {
      if (held_by_pedal_[key]) key_up(key, message.time_ns);
    }
  }
}

Beats LiveRecording::position_of(std::int64_t time_ns) const {
  if (beats_.empty() || time_ns <= beats_.front().time_ns) return {};
  auto next = std::upper_bound(beats_.begin(), beats_.end(), time_ns,
                               [](std::int64_t time, const Beat& beat) { return time < beat.time_ns; });
  const Beat& before = *(next - 1);
  double fraction = 1;
  if (next != beats_.end()) {
    fraction = static_cast<double>(time_ns - before.time_ns) / static_cast<double>(next->time_ns - before.time_ns);
  } else if (beats_.size() > 1) {
    const Beat& earlier = *(next - 2);
    fraction = static_cast<double>(time_ns - before.time_ns) / static_cast<double>(before.time_ns - earlier.time_ns);
  }
  const auto ticks = std::llround(std::clamp(fraction, 0.0, 64.0) * before.length.quarters() * ticks_per_quarter);
  return before.position + Beats(ticks, ticks_per_quarter);
}

MidiSong LiveRecording::song(const std::string& title, const Key& key, const Meter& meter, std::int64_t end_ns) const {
  MidiSong song;
  song.title = title;
  song.meter_upper = meter.upper;
  song.meter_lower = meter.lower;
  song.key_sharps = key.signature();
  song.key_minor = key.mode == Mode::minor;
  song.performance.parts.push_back({"keyboard", InstrumentId::piano, 0, false});
  bool first = true;
  for (std::size_t i = 0; i + 1 < beats_.size(); ++i) {
    const double seconds = static_cast<double>(beats_[i + 1].time_ns - beats_[i].time_ns) * 1e-9;
    const double tempo = std::clamp(60 * beats_[i].length.quarters() / std::max(seconds, 1e-3), 4.0, 1000.0);
    const double rounded = std::round(tempo * 100) / 100;
    if (first) song.performance.tempo = TempoMap(rounded);
    const double now = song.performance.tempo.tempos().back().quarters_per_minute;
    if (!first && std::abs(rounded - now) > 0.05) song.performance.tempo.change(beats_[i].position, rounded);
    first = false;
  }
  Beats last;
  for (const Note& note : notes_) {
    const Beats from = position_of(note.from_ns);
    const Beats to = position_of(note.to_ns == 0 ? end_ns : note.to_ns);
    const Beats shortest(1, ticks_per_quarter);
    song.performance.events.push_back({from, std::max(to - from, shortest), note.midi, note.velocity, 0});
    last = std::max(last, from + std::max(to - from, shortest));
  }
  for (const ChordSymbol& symbol : chord_symbols_) song.markers.push_back({position_of(symbol.time_ns), symbol.text});
  if (!beats_.empty()) last = std::max(last, beats_.back().position + beats_.back().length);
  song.performance.length = last;
  return song;
}

}  // namespace romanesca
