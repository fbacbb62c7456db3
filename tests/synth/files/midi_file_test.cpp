#include "synth/files/midi_file.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <random>
#include <tuple>

#include "synth/files/midi_reader.h"

namespace romanesca {
namespace {

using Bytes = std::vector<std::uint8_t>;

MidiSong sample_song() {
  MidiSong song;
  song.title = "Kite";
  song.meter_upper = 3;
  song.key_sharps = -3;
  song.later_meters = {{Beats(3), 6, 8}};
  song.later_keys = {{Beats(3), 2, true}};
  song.markers = {{Beats(0), "Eb"}, {Beats(3), "Ab/C"}};
  song.performance.tempo = TempoMap(97);
  song.performance.parts = {{"drums", InstrumentId::drum_kit, 0, false},
                            {"keys", InstrumentId::electric_piano, 0, false},
                            {"bass", InstrumentId::electric_bass, 0, false},
                            {"silent", InstrumentId::pad, 0, true}};
  song.performance.length = Beats(6);
  song.performance.events = {{Beats(0), Beats(1, 2), 36, 100, 0}, {Beats(0), Beats(1), 63, 80, 1},
                             {Beats(1), Beats(1), 63, 70, 1},     {Beats(4, 3), Beats(2, 3), 67, 75, 1},
                             {Beats(3), Beats(3), 44, 90, 2},     {Beats(0), Beats(1), 60, 60, 3}};
  return song;
}

// Standard MIDI Files 1.0: values of variable-length quantities (from memory).
TEST(MidiFile, VariableLengthQuantities) {
  const std::pair<std::uint32_t, Bytes> cases[] = {{0, {0x00}},
                                                   {0x40, {0x40}},
                                                   {0x7F, {0x7F}},
                                                   {0x80, {0x81, 0x00}},
                                                   {0x2000, {0xC0, 0x00}},
                                                   {0x3FFF, {0xFF, 0x7F}},
                                                   {0x4000, {0x81, 0x80, 0x00}},
                                                   {0x200000, {0x81, 0x80, 0x80, 0x00}},
                                                   {0x0FFFFFFF, {0xFF, 0xFF, 0xFF, 0x7F}}};
  for (const auto& [value, wanted] : cases) {
    Bytes bytes;
    append_variable_length(bytes, value);
    EXPECT_EQ(bytes, wanted) << value;
  }
}

TEST(MidiFile, WhatIsWrittenIsReadBack) {
  const MidiSong song = sample_song();
  const auto read = read_midi(write_midi(song));
  ASSERT_TRUE(read) << read.error().message;
  const MidiSong& again = *read;
  EXPECT_EQ(again.title, "Kite");
  EXPECT_EQ(again.meter_upper, 3);
  EXPECT_EQ(again.key_sharps, -3);
  ASSERT_EQ(again.later_meters.size(), 1U);
  EXPECT_EQ(again.later_meters[0].at, Beats(3));
  EXPECT_EQ(again.later_meters[0].upper, 6);
  EXPECT_EQ(again.later_meters[0].lower, 8);
  ASSERT_EQ(again.later_keys.size(), 1U);
  EXPECT_EQ(again.later_keys[0].sharps, 2);
  EXPECT_TRUE(again.later_keys[0].minor);
  ASSERT_EQ(again.markers.size(), 2U);
  EXPECT_EQ(again.markers[1].text, "Ab/C");
  EXPECT_EQ(again.markers[1].at, Beats(3));
  EXPECT_EQ(again.performance.length, Beats(6));
  EXPECT_NEAR(again.performance.tempo.tempos().front().quarters_per_minute, 97, 0.001);
  ASSERT_EQ(again.performance.parts.size(), 3U);
  EXPECT_EQ(again.performance.parts[0].instrument, InstrumentId::drum_kit);
  EXPECT_EQ(again.performance.parts[1].instrument, InstrumentId::electric_piano);
  ASSERT_EQ(again.performance.events.size(), 5U);
  for (const NoteEvent& event : again.performance.events) {
    EXPECT_NE(std::find(song.performance.events.begin(), song.performance.events.end(), event),
              song.performance.events.end());
  }
}

/// Runs midicsv on the bytes; its lines.
std::vector<std::string> midicsv(const Bytes& bytes) {
  const auto path = std::filesystem::temp_directory_path() / ("romanesca-midi-" + std::to_string(getpid()) + ".mid");
  std::ofstream(path, std::ios::binary)
      .write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
  std::vector<std::string> lines;
  std::FILE* pipe = popen(("midicsv " + path.string() + " 2>&1").c_str(), "r");
  char line[512];
  while (std::fgets(line, sizeof line, pipe) != nullptr) {
    lines.emplace_back(line);
    lines.back().erase(lines.back().find_last_not_of("\r\n") + 1);
  }
  EXPECT_EQ(pclose(pipe), 0);
  std::filesystem::remove(path);
  return lines;
}

// An independent reader: midicsv (Debian).
TEST(MidiFile, MidicsvReadsIt) {
  const auto lines = midicsv(write_midi(sample_song()));
  const char* wanted[] = {"0, 0, Header, 1, 4, 960",
                          "1, 0, Title_t, \"Kite\"",
                          "1, 0, Time_signature, 3, 2, 24, 8",
                          "1, 0, Key_signature, -3, \"major\"",
                          "1, 2880, Marker_t, \"Ab/C\"",
                          "2, 0, Note_on_c, 9, 36, 100",
                          "2, 480, Note_off_c, 9, 36, 64",
                          "3, 0, Title_t, \"keys\"",
                          "3, 0, Program_c, 0, 4",
                          "3, 1280, Note_on_c, 0, 67, 75",
                          "4, 2880, Note_on_c, 1, 44, 90",
                          "4, 5760, Note_off_c, 1, 44, 64",
                          "4, 5760, End_track"};
  for (const char* line : wanted) EXPECT_NE(std::find(lines.begin(), lines.end(), line), lines.end()) << line;
  // The key struck again at once: up before down on the same tick.
  const auto up = std::find(lines.begin(), lines.end(), "3, 960, Note_off_c, 0, 63, 64");
  const auto down = std::find(lines.begin(), lines.end(), "3, 960, Note_on_c, 0, 63, 70");
  ASSERT_NE(up, lines.end());
  EXPECT_LT(up, down);
}

// A key that is struck again while it still sounds: an instrument has only one such key, so it goes up first.
TEST(MidiFile, AKeyGoesUpBeforeItIsStruckAgain) {
  MidiSong song = sample_song();
  song.performance.events = {{Beats(0), Beats(3), 63, 80, 1}, {Beats(1), Beats(1), 63, 70, 1}};
  const auto lines = midicsv(write_midi(song));
  std::vector<std::string> of_key;
  for (const std::string& line : lines) {
    if (line.find(", 63, ") != std::string::npos) of_key.push_back(line);
  }
  EXPECT_EQ(of_key, (std::vector<std::string>{"3, 0, Note_on_c, 0, 63, 80", "3, 960, Note_off_c, 0, 63, 64",
                                              "3, 960, Note_on_c, 0, 63, 70", "3, 1920, Note_off_c, 0, 63, 64"}));
}

// Times on the grid of 1/960 quarter: what is written comes back event for event, with several drum parts and tempos.
TEST(MidiFile, EveryEventComesBackExactly) {
  MidiSong song;
  Performance& piece = song.performance;
  piece.tempo = TempoMap(120);
  piece.tempo.change(Beats(8), 97);
  piece.tempo.change(Beats(61, 4), 60);
  piece.parts = {{"count-in", InstrumentId::drum_kit, 0, false},
                 {"drums", InstrumentId::brush_kit, 0, false},
                 {"click", InstrumentId::click, 0, false}};
  for (const InstrumentRow& row : instruments()) {
    if (!row.drums) piece.parts.push_back({std::string(row.name), row.id, 0, false});
  }
  for (int extra = 0; extra < 6; ++extra) piece.parts.push_back({"more", InstrumentId::piano, 0, false});
  std::mt19937 random(4);
  for (std::uint8_t part = 0; part < piece.parts.size(); ++part) {
    std::int64_t tick = random() % 960;
    for (int i = 0; i < 60; ++i) {
      const std::int64_t length = 1 + random() % 900;
      piece.events.push_back({Beats(tick, 960), Beats(length, 960), static_cast<std::uint8_t>(60 + random() % 3),
                              static_cast<std::uint8_t>(1 + random() % 127), part});
      tick += length + (i % 3 == 0 ? 0 : static_cast<std::int64_t>(random() % 300));
    }
  }
  piece.length = Beats(100);
  const auto read = read_midi(write_midi(song));
  ASSERT_TRUE(read) << read.error().message;
  const Performance& again = read->performance;
  std::stable_sort(piece.events.begin(), piece.events.end(), [](const NoteEvent& a, const NoteEvent& b) {
    return std::tie(a.start, a.part, a.midi) < std::tie(b.start, b.part, b.midi);
  });
  EXPECT_EQ(again.events, piece.events);
  ASSERT_EQ(again.tempo.tempos().size(), 3U);
  EXPECT_EQ(again.tempo.tempos()[2].at, Beats(61, 4));
  EXPECT_EQ(again.length, piece.length);
  ASSERT_EQ(again.parts.size(), piece.parts.size());
  for (std::size_t i = 0; i < again.parts.size(); ++i) {
    EXPECT_EQ(instrument(again.parts[i].instrument).drums, instrument(piece.parts[i].instrument).drums) << i;
    EXPECT_EQ(again.parts[i].name, piece.parts[i].name);
    if (i >= 3) {
      EXPECT_EQ(again.parts[i].instrument, piece.parts[i].instrument) << i;
    }
  }
}

TEST(MidiFile, BrushesAreAProgramOfChannelTen) {
  MidiSong song = sample_song();
  song.performance.parts[0].instrument = InstrumentId::brush_kit;
  const auto lines = midicsv(write_midi(song));
  EXPECT_NE(std::find(lines.begin(), lines.end(), "2, 0, Program_c, 9, 40"), lines.end());
  const auto read = read_midi(write_midi(song));
  EXPECT_EQ(read->performance.parts[0].instrument, InstrumentId::brush_kit);
}

TEST(MidiReader, RunningStatusPedalAndTempo) {
  Bytes bytes{'M', 'T', 'h', 'd', 0, 0, 0, 6, 0, 0, 0, 1, 0, 96, 'M', 'T', 'r', 'k', 0, 0, 0, 0};
  const Bytes track{0,  0xFF, 0x51, 3,   0x07, 0xA1, 0x20,  // 120 a minute
                    0,  0xC2, 33,                           // a bass on channel 3
                    0,  0xB2, 64,   127,                    // pedal down
                    0,  0x92, 40,   90,  48,   40,   0,     // running status, off as velocity 0
                    48, 0xB2, 64,   0,                      // pedal up
                    0,  0xF0, 2,    1,   0xF7,              // a system message to skip
                    0,  0xFF, 0x2F, 0};
  bytes.insert(bytes.end(), track.begin(), track.end());
  bytes[21] = static_cast<std::uint8_t>(track.size());
  const auto read = read_midi(bytes);
  ASSERT_TRUE(read) << read.error().message;
  const Performance& performance = read->performance;
  ASSERT_EQ(performance.events.size(), 1U);
  EXPECT_EQ(performance.events[0], (NoteEvent{Beats(0), Beats(1), 40, 90, 0}));
  EXPECT_EQ(performance.parts[0].instrument, InstrumentId::electric_bass);
}

TEST(MidiReader, DamagedFilesAreErrorsNotCrashes) {
  const Bytes good = write_midi(sample_song());
  for (std::size_t length = 0; length < good.size(); ++length) {
    const auto read = read_midi(std::span(good).first(length));
    if (length >= 60) continue;
    EXPECT_FALSE(read) << length;
  }
  std::mt19937 random(9);
  int faults = 0;
  for (int round = 0; round < 3000; ++round) {
    Bytes bad = good;
    for (int i = 0; i < 4; ++i) bad[random() % bad.size()] = static_cast<std::uint8_t>(random());
    if (!read_midi(bad)) ++faults;
  }
  EXPECT_GT(faults, 500);
  EXPECT_EQ(read_midi(Bytes{'R', 'I', 'F', 'F'}).error().message,
            "byte 0: it does not begin like a Standard MIDI File");
}

}  // namespace
}  // namespace romanesca
