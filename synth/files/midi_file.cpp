#include "synth/files/midi_file.h"

#include <algorithm>
#include <cmath>
#include <string_view>
#include <tuple>

namespace romanesca {
namespace {

using Bytes = std::vector<std::uint8_t>;

std::uint32_t ticks_at(Beats place) {
  return static_cast<std::uint32_t>(std::llround(place.quarters() * ticks_per_quarter));
}

void append(Bytes& bytes, std::uint32_t value, int count) {
  for (int shift = 8 * (count - 1); shift >= 0; shift -= 8)
    bytes.push_back(static_cast<std::uint8_t>(value >> shift & 0xFFU));
}

/// An event waiting to be written in order of time; `rank` orders messages on one tick: settings, offs, ons.
struct Message {
  std::uint32_t tick = 0;
  int rank = 0;
  Bytes bytes;
};

Bytes meta(std::uint8_t type, std::string_view text) {
  Bytes bytes{0xFF, type};
  append_variable_length(bytes, static_cast<std::uint32_t>(text.size()));
  bytes.insert(bytes.end(), text.begin(), text.end());
  return bytes;
}

void append_track(Bytes& file, std::vector<Message> messages, std::uint32_t end_tick) {
  std::stable_sort(messages.begin(), messages.end(), [](const Message& a, const Message& b) {
    return std::tie(a.tick, a.rank) < std::tie(b.tick, b.rank);
  });
  Bytes track;
  std::uint32_t now = 0;
  for (const Message& message : messages) {
    append_variable_length(track, message.tick - now);
    track.insert(track.end(), message.bytes.begin(), message.bytes.end());
    now = message.tick;
  }
  append_variable_length(track, std::max(end_tick, now) - now);
  append(track, 0xFF2F00, 3);
  file.insert(file.end(), {'M', 'T', 'r', 'k'});
  append(file, static_cast<std::uint32_t>(track.size()), 4);
  file.insert(file.end(), track.begin(), track.end());
}

Bytes time_signature(int upper, int lower) {
  // MIDI clocks per metronome click: the felt pulse. Eight 32nds to a quarter.
  const bool compound = lower == 8 && upper % 3 == 0;
  const auto exponent = static_cast<std::uint8_t>(std::lround(std::log2(lower)));
  const int clocks = compound ? 36 : 96 / lower;
  return {0xFF, 0x58, 0x04, static_cast<std::uint8_t>(upper), exponent, static_cast<std::uint8_t>(clocks), 8};
}

Bytes key_signature(int sharps, bool minor) {
  return {0xFF, 0x59, 0x02, static_cast<std::uint8_t>(sharps & 0xFF), static_cast<std::uint8_t>(minor ? 1 : 0)};
}

std::vector<Message> conductor(const MidiSong& song) {
  std::vector<Message> messages;
  if (!song.title.empty()) messages.push_back({0, 0, meta(0x03, song.title)});
  for (const TempoMap::Tempo& tempo : song.performance.tempo.tempos()) {
    Bytes bytes{0xFF, 0x51, 0x03};
    append(bytes, static_cast<std::uint32_t>(std::llround(60e6 / tempo.quarters_per_minute)), 3);
    messages.push_back({ticks_at(tempo.at), 1, bytes});
  }
  messages.push_back({0, 2, time_signature(song.meter_upper, song.meter_lower)});
  for (const MidiMeter& each : song.later_meters)
    messages.push_back({ticks_at(each.at), 2, time_signature(each.upper, each.lower)});
  messages.push_back({0, 3, key_signature(song.key_sharps, song.key_minor)});
  for (const MidiKey& each : song.later_keys)
    messages.push_back({ticks_at(each.at), 3, key_signature(each.sharps, each.minor)});
  for (const Marker& marker : song.markers) messages.push_back({ticks_at(marker.at), 4, meta(0x06, marker.text)});
  return messages;
}

std::vector<Message> notes_of(const Performance& performance, std::size_t part, std::uint8_t channel) {
  std::vector<NoteEvent> notes;
  for (const NoteEvent& event : performance.events) {
    if (event.part == part) notes.push_back(event);
  }
  std::stable_sort(notes.begin(), notes.end(), [](const NoteEvent& a, const NoteEvent& b) {
    return a.midi != b.midi ? a.midi < b.midi : a.start < b.start;
  });
  std::vector<Message> messages;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    const NoteEvent& note = notes[i];
    const std::uint32_t on = ticks_at(note.start);
    std::uint32_t off = std::max(on + 1, ticks_at(note.start + note.length));
    const bool struck_again = i + 1 < notes.size() && notes[i + 1].midi == note.midi;
    if (struck_again) off = std::max(on, std::min(off, ticks_at(notes[i + 1].start)));
    if (off == on) continue;  // two notes of one key at once: one of them is enough
    messages.push_back({on, 2, {static_cast<std::uint8_t>(0x90 | channel), note.midi, note.velocity}});
    messages.push_back({off, 1, {static_cast<std::uint8_t>(0x80 | channel), note.midi, 64}});
  }
  return messages;
}

constexpr std::uint8_t drum_channel = 9;  // channel 10 counted from 1

/// All drum parts share a channel and so its program: that of the first drum kit; a click uses it too.
std::uint8_t program_of_drums(const Performance& performance) {
  for (const Part& part : performance.parts) {
    const InstrumentRow& row = instrument(part.instrument);
    if (row.drums && !part.muted && row.id != InstrumentId::click) return static_cast<std::uint8_t>(row.program);
  }
  return 0;
}

/// The others take the fifteen other channels in turn.
std::uint8_t pitched_channel(std::size_t number) {
  const auto channel = static_cast<std::uint8_t>(number % 15);
  return channel < drum_channel ? channel : static_cast<std::uint8_t>(channel + 1);
}

}  // namespace

void append_variable_length(Bytes& bytes, std::uint32_t value) {
  for (int shift = 21; shift > 0; shift -= 7) {
    if (value >> shift != 0) bytes.push_back(static_cast<std::uint8_t>(0x80U | (value >> shift & 0x7FU)));
  }
  bytes.push_back(static_cast<std::uint8_t>(value & 0x7FU));
}

Bytes write_midi(const MidiSong& song) {
  const Performance& performance = song.performance;
  const std::uint32_t end = ticks_at(performance.length);
  const auto parts =
      std::count_if(performance.parts.begin(), performance.parts.end(), [](const Part& part) { return !part.muted; });
  Bytes file{'M', 'T', 'h', 'd'};
  append(file, 6, 4);
  append(file, 1, 2);
  append(file, static_cast<std::uint32_t>(parts + 1), 2);
  append(file, ticks_per_quarter, 2);
  append_track(file, conductor(song), end);
  const std::uint8_t drum_program = program_of_drums(performance);
  std::size_t pitched = 0;
  for (std::size_t i = 0; i < performance.parts.size(); ++i) {
    const Part& part = performance.parts[i];
    if (part.muted) continue;
    const bool drums = instrument(part.instrument).drums;
    const std::uint8_t channel = drums ? drum_channel : pitched_channel(pitched++);
    std::vector<Message> messages = notes_of(performance, i, channel);
    const auto own_program = static_cast<std::uint8_t>(instrument(part.instrument).program);
    const std::uint8_t program = drums ? drum_program : own_program;
    messages.insert(messages.begin(),
                    {{0, 0, meta(0x03, part.name)}, {0, 0, {static_cast<std::uint8_t>(0xC0 | channel), program}}});
    append_track(file, std::move(messages), end);
  }
  return file;
}

}  // namespace romanesca
