#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <exception>
#include <functional>
#include <span>
#include <string>
#include <thread>
#include <vector>

#include "synth/arranging/style.h"
#include "tests/fitting/corpus.h"
#include "tests/measure/band_piece.h"
#include "tests/measure/mp3_copy.h"
#include "tests/measure/room_scene.h"
#include "tests/measure/soundfont_bank.h"
#include "tests/measure/student_piece.h"

namespace romanesca::test {

/// Styles that are only measured with, never fitted to.
inline const std::vector<std::string>& kept_back_styles() {
  static const std::vector<std::string> ids{"bossa-nova",   "rock", "six-eight-ballad", "jazz-waltz", "gospel",
                                            "brush-ballad", "dance"};
  return ids;
}

/// The others whose bars have two, three or four pulses.
inline std::vector<std::string> fitting_styles() {
  std::vector<std::string> ids;
  const auto& kept = kept_back_styles();
  for (const Style& style : styles()) {
    const int pulses = style.meter.pulses();
    if (pulses >= 2 && pulses <= 4 && std::find(kept.begin(), kept.end(), style.id) == kept.end())
      ids.push_back(style.id);
  }
  return ids;
}

/// A third of the songs of a corpus, which are only measured with, or the others, which are fitted to. Of a song that
/// two people heard, the first one's chords. @param path as for read_corpus, whose errors it has
inline std::vector<Timeline> songs_of(const std::string& path, bool kept_back) {
  std::vector<Timeline> songs;
  std::size_t number = 0;
  std::string before;
  for (HeardSong& song : read_corpus(path)) {
    if (song.id == before) continue;
    before = song.id;
    if ((number++ % 3 == 2) == kept_back) songs.push_back(std::move(song.timeline));
  }
  return songs;
}

/// What the sounds are made of that networks are fitted to.
struct TrainingSources {
  std::vector<NoteBank> pianos;
  std::vector<Timeline> songs;
  BandPieceSettings band;
};

/// @param files corpora (.jsonl) and SoundFonts. Throws what read_corpus throws
inline TrainingSources training_sources(std::span<char* const> files) {
  TrainingSources sources;
  sources.pianos = {own_piano(80)};
  sources.band.styles = fitting_styles();
  sources.band.soundfonts = {""};
  sources.band.singer_chance = 0.5;
  sources.band.alone_chance = 0.15;
  for (const std::string file : files) {
    if (file.ends_with(".jsonl")) {
      const auto songs = songs_of(file, false);
      sources.songs.insert(sources.songs.end(), songs.begin(), songs.end());
      continue;
    }
    sources.band.soundfonts.push_back(file);
    for (const int program : {0, 1, 3}) {  // grand, bright and honky-tonk piano of General MIDI
      auto bank = soundfont_bank(file, program, 80);
      if (bank) sources.pianos.push_back(std::move(*bank));
    }
  }
  return sources;
}

/// A recording with what is true of it.
struct TrainingPiece {
  PieceTruth truth;
  std::vector<float> sound;
};

/// Some room and telephone, or only a room.
inline RoomSettings training_room(SceneRandom& random) {
  RoomSettings room;
  room.telephone = random.chance(0.7);
  room.far_share = 0.3;
  return room;
}

/// Even numbers: a student at a piano, odd ones: a band, half of them with a singer, some as MP3; most of both in a
/// room.
inline TrainingPiece training_piece(std::size_t number, const TrainingSources& sources, SceneRandom& random) {
  TrainingPiece piece;
  const RoomSettings room = training_room(random);
  if (number % 2 == 0) {
    StudentSettings student;
    student.highest_level = 6;
    const StudentPiece played = student_piece(static_cast<int>(number / 2), student, random);
    piece.truth = played;
    piece.sound = play_piece(
        played, sources.pianos[static_cast<std::size_t>(random.index(static_cast<int>(sources.pianos.size())))]);
  } else {
    BandPieceSettings band = sources.band;
    band.singer = random.uniform(0.4, 1.3);
    BandPiece played = band_piece(sources.songs, band, random);
    piece.sound = std::move(played.sound);
    piece.truth = std::move(played);
    if (random.chance(0.4)) {
      std::vector<float> copy = as_mp3(piece.sound, random.uniform(0.3, 0.9));
      if (!copy.empty()) piece.sound = std::move(copy);
    }
  }
  const double cents = random.uniform(-60, 35);
  piece.sound = detuned(piece.sound, cents);
  piece.truth.quicken(std::exp2(cents / 1200));
  if (random.chance(0.8)) piece.sound = through_room(piece.sound, room, random);
  return piece;
}

/// The `main` of a program whose arguments are the number of pieces, at least 40, corpora and SoundFonts.
/// @return 0; 2 if one of the kinds is missing; 3 if a corpus is missing or damaged, which standard error tells
inline int fit_to_pieces(std::span<char* const> arguments,
                         const std::function<void(std::size_t pieces, const TrainingSources&)>& fit) {
  try {
    const auto sources = training_sources(arguments.subspan(std::min<std::size_t>(arguments.size(), 2)));
    if (sources.songs.empty() || sources.pianos.size() < 2) {
      fmt::print(stderr, "usage: {} PIECES CORPUS.jsonl... FONT.sf2...\n", arguments.front());
      return 2;
    }
    fit(static_cast<std::size_t>(std::max(40, std::atoi(arguments[1]))), sources);
  } catch (const std::exception& error) {
    fmt::print(stderr, "{}\n", error.what());
    return 3;
  }
  return 0;
}

/// Calls @p make with 0 to count - 1, on two threads.
inline void on_two_threads(std::size_t count, const std::function<void(std::size_t)>& make) {
  const auto some = [&](std::size_t first) {
    for (std::size_t i = first; i < count; i += 2) make(i);
  };
  std::thread other(some, 1);
  some(0);
  other.join();
}

}  // namespace romanesca::test
