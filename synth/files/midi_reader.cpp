#include "synth/files/midi_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <tuple>

namespace romanesca {
namespace {

struct TempoChange {
  std::int64_t tick = 0;
  double quarters_per_minute = 120;
};

TextError midi_error(std::string_view message, std::size_t byte) {
  return {fmt::format("byte {}: {}", byte, message), "save it again from the program that made it"};
}

/// Reads bytes in order; empty results at the end.
class ByteReader {
 public:
  ByteReader(std::span<const std::uint8_t> bytes, std::size_t offset) : bytes_(bytes), offset_(offset) {}
  [[nodiscard]] bool at_end() const { return at_ >= bytes_.size(); }
  [[nodiscard]] std::size_t position() const { return offset_ + at_; }
  [[nodiscard]] std::size_t left() const { return bytes_.size() - at_; }

  std::optional<std::uint32_t> number(std::size_t count) {
    if (left() < count) return std::nullopt;
    std::uint32_t value = 0;
    for (std::size_t i = 0; i < count; ++i) value = value << 8U | bytes_[at_++];
    return value;
  }
  std::optional<std::uint32_t> variable_length() {
    std::uint32_t value = 0;
    for (int i = 0; i < 4; ++i) {
      const auto byte = number(1);
      if (!byte) return std::nullopt;
      value = value << 7U | (*byte & 0x7FU);
      if ((*byte & 0x80U) == 0) return value;
    }
    return std::nullopt;
  }
  std::optional<std::span<const std::uint8_t>> take(std::size_t count) {
    if (left() < count) return std::nullopt;
    at_ += count;
    return bytes_.subspan(at_ - count, count);
  }
  void step_back() { --at_; }

 private:
  std::span<const std::uint8_t> bytes_;
  std::size_t offset_;
  std::size_t at_ = 0;
};

class MidiReader {
 public:
  explicit MidiReader(std::span<const std::uint8_t> bytes) : bytes_(bytes) {}

  Parsed<MidiSong> read() {
    if (bytes_.size() > longest_midi_file) return midi_error("the file is too long", longest_midi_file);
    ByteReader file(bytes_, 0);
    if (auto fault = read_header(file)) return *fault;
    for (std::size_t track = 0; !file.at_end(); ++track) {
      const auto name = file.number(4);
      const auto size = file.number(4);
      if (!name || !size) return midi_error("the file ends in the middle of a chunk's name", file.position());
      const std::size_t start = file.position();
      const auto chunk = file.take(*size);
      if (!chunk) return midi_error("the file is cut off: a track is longer than what is left", start);
      if (*name != 0x4D54726B) continue;  // "MTrk"; the standard says to skip unknown chunks
      if (auto fault = read_track(ByteReader(*chunk, start), track)) return *fault;
    }
    if (song_.performance.events.empty()) return midi_error("there are no notes in it", bytes_.size());
    finish();
    return std::move(song_);
  }

 private:
  struct Key {
    std::int64_t tick = -1;  ///< when it went down; -1 while it is up
    std::uint8_t velocity = 0;
    bool held_by_pedal = false;
  };
  struct Channel {
    int program = 0;
    bool pedal = false;
    std::array<Key, 128> keys{};
    std::optional<std::uint8_t> part;
  };

  std::optional<TextError> read_header(ByteReader& file) {
    const auto name = file.number(4);
    const auto size = file.number(4);
    const auto format = file.number(2);
    file.number(2);
    const auto division = file.number(2);
    if (!name || *name != 0x4D546864 || !size || *size < 6 || !format || !division) {
      return midi_error("it does not begin like a Standard MIDI File", 0);
    }
    if (*format > 1) return midi_error("it is of format 2, with patterns that do not belong together", 8);
    if ((*division & 0x8000U) != 0 || *division == 0) {
      return midi_error("it counts time in film frames, not in beats", 12);
    }
    division_ = static_cast<std::int64_t>(*division);
    if (!file.take(*size - 6)) return midi_error("the header is cut off", 14);
    return std::nullopt;
  }

  std::optional<TextError> read_track(ByteReader in, std::size_t /*track*/) {
    channels_.assign(16, {});
    track_name_.clear();
    std::int64_t tick = 0;
    std::uint32_t running = 0;
    while (!in.at_end()) {
      const std::size_t position = in.position();
      const auto delta = in.variable_length();
      auto status = in.number(1);
      if (!delta || !status) return midi_error("an event is cut off", position);
      tick += *delta;
      if (tick > division_ * 4 * 200000) return midi_error("it lasts impossibly long", position);
      if (*status < 0x80) {
        if (running == 0) return midi_error("an event has no status", position);
        in.step_back();
        status = running;
      }
      if (*status >= 0xF0) {
        running = 0;
        bool end = false;
        if (auto fault = read_system(in, *status, tick, end)) return fault;
        if (end) break;
        continue;
      }
      running = *status;
      if (auto fault = read_channel_message(in, *status, tick)) return fault;
      if (song_.performance.events.size() > most_midi_notes) return midi_error("it has too many notes", position);
    }
    for (std::size_t c = 0; c < channels_.size(); ++c) {
      for (std::size_t key = 0; key < 128; ++key) end_note(c, key, tick);
    }
    last_tick_ = std::max(last_tick_, tick);
    return std::nullopt;
  }

  void read_meter(std::int64_t tick, int upper, int lower) {
    if (tick == 0) {
      song_.meter_upper = upper;
      song_.meter_lower = lower;
    } else {
      song_.later_meters.push_back({Beats(tick, division_), upper, lower});
    }
  }

  void read_key(std::int64_t tick, int sharps, bool minor) {
    if (tick == 0) {
      song_.key_sharps = sharps;
      song_.key_minor = minor;
    } else {
      song_.later_keys.push_back({Beats(tick, division_), sharps, minor});
    }
  }

  std::optional<TextError> read_system(ByteReader& in, std::uint32_t status, std::int64_t tick, bool& end) {
    const std::size_t position = in.position();
    const auto type = status == 0xFF ? in.number(1) : std::optional<std::uint32_t>(0);
    const auto size = in.variable_length();
    if (!type || !size) return midi_error("a message is cut off", position);
    const auto data = in.take(*size);
    if (!data) return midi_error("a message is longer than its track", position);
    if (status != 0xFF) return std::nullopt;
    const auto& d = *data;
    if (*type == 0x2F) end = true;
    if (*type == 0x03) {
      track_name_.assign(d.begin(), d.end());
      if (song_.title.empty()) song_.title = track_name_;
    }
    if (*type == 0x06) song_.markers.push_back({Beats(tick, division_), std::string(d.begin(), d.end())});
    if (*type == 0x51 && d.size() >= 3) {
      const int us = d[0] << 16 | d[1] << 8 | d[2];
      tempos_.push_back({tick, 60e6 / std::max(us, 1)});
    }
    if (*type == 0x58 && d.size() >= 2) read_meter(tick, std::max<int>(d[0], 1), 1 << std::min<int>(d[1], 5));
    if (*type == 0x59 && d.size() >= 2)
      read_key(tick, std::clamp<int>(static_cast<std::int8_t>(d[0]), -7, 7), d[1] == 1);
    return std::nullopt;
  }

  std::optional<TextError> read_channel_message(ByteReader& in, std::uint32_t status, std::int64_t tick) {
    const std::size_t position = in.position();
    const std::uint32_t kind = status & 0xF0U;
    const std::size_t c = status & 0x0FU;
    const bool one_byte = kind == 0xC0 || kind == 0xD0;
    const auto first = in.number(1);
    const auto second = one_byte ? std::optional<std::uint32_t>(0) : in.number(1);
    if (!first || !second) return midi_error("a note is cut off", position);
    if (*first > 127 || *second > 127) return midi_error("a message has a number above 127", position);
    Channel& channel = channels_[c];
    if (kind == 0xC0) channel.program = static_cast<int>(*first);
    if (kind == 0x90 && *second > 0) {
      end_note(c, *first, tick);
      channel.keys[*first] = {tick, static_cast<std::uint8_t>(*second), false};
    } else if (kind == 0x80 || kind == 0x90) {
      if (channel.pedal) {
        channel.keys[*first].held_by_pedal = channel.keys[*first].tick >= 0;
      } else {
        end_note(c, *first, tick);
      }
    } else if (kind == 0xB0 && *first == 64) {  // sustain pedal: down from 64
      channel.pedal = *second >= 64;
      for (std::size_t key = 0; key < 128 && !channel.pedal; ++key) {
        if (channel.keys[key].held_by_pedal) end_note(c, key, tick);
      }
    }
    return std::nullopt;
  }

  void end_note(std::size_t c, std::size_t key, std::int64_t tick) {
    Key& down = channels_[c].keys[key];
    if (down.tick < 0) return;
    const auto part = part_of(c);
    if (part) {
      const std::int64_t length = std::max<std::int64_t>(tick - down.tick, 1);
      song_.performance.events.push_back({Beats(down.tick, division_), Beats(length, division_),
                                          static_cast<std::uint8_t>(key), down.velocity, *part});
    }
    down = {};
  }

  std::optional<std::uint8_t> part_of(std::size_t c) {
    Channel& channel = channels_[c];
    auto& parts = song_.performance.parts;
    if (!channel.part && parts.size() < 64) {
      channel.part = static_cast<std::uint8_t>(parts.size());
      const std::string name = track_name_.empty() ? "channel " + std::to_string(c + 1) : track_name_;
      parts.push_back({name, instrument_for_program(channel.program, c == 9), 0, false});
    }
    return channel.part;
  }

  void finish() {
    std::stable_sort(tempos_.begin(), tempos_.end(),
                     [](const TempoChange& a, const TempoChange& b) { return a.tick < b.tick; });
    Performance& performance = song_.performance;
    for (const TempoChange& tempo : tempos_)
      performance.tempo.change(Beats(tempo.tick, division_), tempo.quarters_per_minute);
    std::stable_sort(performance.events.begin(), performance.events.end(), [](const NoteEvent& a, const NoteEvent& b) {
      return std::tie(a.start, a.part, a.midi) < std::tie(b.start, b.part, b.midi);
    });
    performance.length = Beats(last_tick_, division_);
  }

  std::span<const std::uint8_t> bytes_;
  MidiSong song_;
  std::int64_t division_ = 480;
  std::int64_t last_tick_ = 0;
  std::vector<Channel> channels_;
  std::vector<TempoChange> tempos_;
  std::string track_name_;
};

}  // namespace

Parsed<MidiSong> read_midi(std::span<const std::uint8_t> bytes) { return MidiReader(bytes).read(); }

}  // namespace romanesca
