#include "cli/play/live_recording.h"

#include <algorithm>
#include <cmath>

namespace romanesca {
namespace {

constexpr std::size_t most_notes = 200'000;  // hours of practice

}  // namespace

void LiveRecording::beat(std::int64_t time_ns, Beats in_bar, Beats length, Beats bar) {
  Beats place;
  if (!beats_.empty()) {
    place = beats_.back().place + beats_.back().length;
    // After a stop within a bar the music goes on from a bar line, in the file too.
    if (in_bar == Beats(0)) {
      const Beats whole = bar * whole_times(place, bar);
      if (whole < place) place = whole + bar;
    }
  }
  beats_.push_back({time_ns, place, length});
}

void LiveRecording::chord(std::int64_t time_ns, const std::string& symbol) { names_.push_back({time_ns, symbol}); }

void LiveRecording::key_up(std::uint8_t midi, std::int64_t time_ns) {
  if (open_[midi] == 0) return;
  notes_[static_cast<std::size_t>(open_[midi] - 1)].to_ns = time_ns;
  open_[midi] = 0;
  held_by_pedal_[midi] = false;
}

void LiveRecording::hear(const MidiHeard& heard) {
  const int kind = heard.status & 0xF0;
  const std::uint8_t midi = heard.first & 0x7FU;
  if (kind == 0x90 && heard.second > 0) {
    key_up(midi, heard.time_ns);
    if (notes_.size() >= most_notes) return;
    notes_.push_back({heard.time_ns, 0, midi, heard.second});
    open_[midi] = static_cast<std::int32_t>(notes_.size());
  } else if (kind == 0x80 || kind == 0x90) {
    held_by_pedal_[midi] = pedal_ && open_[midi] != 0;
    if (!pedal_) key_up(midi, heard.time_ns);
  } else if (kind == 0xB0 && heard.first == sustain_controller) {
    pedal_ = heard.second >= 64;
    for (std::uint8_t key = 0; !pedal_ && key < 128; ++key) {
      if (held_by_pedal_[key]) key_up(key, heard.time_ns);
    }
  }
}

Beats LiveRecording::place_of(std::int64_t time_ns) const {
  if (beats_.empty() || time_ns <= beats_.front().time_ns) return {};
  auto next = std::upper_bound(beats_.begin(), beats_.end(), time_ns,
                               [](std::int64_t time, const Beat& beat) { return time < beat.time_ns; });
  const Beat& before = *(next - 1);
  double share = 1;
  if (next != beats_.end()) {
    share = static_cast<double>(time_ns - before.time_ns) / static_cast<double>(next->time_ns - before.time_ns);
  } else if (beats_.size() > 1) {
    const Beat& earlier = *(next - 2);
    share = static_cast<double>(time_ns - before.time_ns) / static_cast<double>(before.time_ns - earlier.time_ns);
  }
  const auto ticks = std::llround(std::clamp(share, 0.0, 64.0) * before.length.quarters() * ticks_per_quarter);
  return before.place + Beats(ticks, ticks_per_quarter);
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
    if (!first && std::abs(rounded - now) > 0.05) song.performance.tempo.change(beats_[i].place, rounded);
    first = false;
  }
  Beats last;
  for (const Note& note : notes_) {
    const Beats from = place_of(note.from_ns);
    const Beats to = place_of(note.to_ns == 0 ? end_ns : note.to_ns);
    const Beats shortest(1, ticks_per_quarter);
    song.performance.events.push_back({from, std::max(to - from, shortest), note.midi, note.velocity, 0});
    last = std::max(last, from + std::max(to - from, shortest));
  }
  for (const Name& name : names_) song.markers.push_back({place_of(name.time_ns), name.text});
  if (!beats_.empty()) last = std::max(last, beats_.back().place + beats_.back().length);
  song.performance.length = last;
  return song;
}

}  // namespace romanesca
