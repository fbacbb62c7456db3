#pragma once

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "cli/studio/heard_chords.h"
#include "progressions/library.h"
#include "tests/measure/note_bank.h"
#include "tests/measure/piece_truth.h"
#include "theory/voicing/hands.h"

namespace romanesca::test {

/// How a student plays a chart of sixteen bars.
struct StudentSettings {
  double hesitation_chance = 0.12;  ///< before a bar: 0.15 to 0.45 s
  double wrong_key_chance = 0.02;   ///< of each note: a semitone or a tone off
  double drift = 0.06;              ///< how far the tempo wanders to each side, as a share
  int highest_level = 5;            ///< of the patterns of the library
};

/// A piece that a student plays, with all that is true of it.
struct StudentPiece : PieceTruth {
  Progression song;  ///< absolute chords
  Key key;
  std::vector<PlayedNote> notes;
  double length_s = 0;
};

namespace piece_detail {

/// The bars of a pattern in a key, those that are repeated written out.
inline std::vector<Bar> bars_of(const Pattern& pattern, const Key& key) {
  std::vector<Bar> bars;
  const Progression written = realised(pattern.progression, key);
  for (const Section& section : written.sections) {
    for (const Row& row : section.rows) {
      for (const Bar& bar : row.bars) bars.push_back(bar.repeats_last && !bars.empty() ? bars.back() : bar);
    }
  }
  return bars;
}

inline bool all_heard(const std::vector<Bar>& bars, bool one_a_bar) {
  for (const Bar& bar : bars) {
    if (one_a_bar && bar.slots.size() != 1) return false;
    if (bar.slots.size() != 1 && bar.slots.size() != 2 && bar.slots.size() != 4) return false;
    for (const Slot& slot : bar.slots) {
      const Chord* const chord = std::get_if<Chord>(&slot.content);
      if (std::holds_alternative<Hold>(slot.content)) continue;
      if (chord == nullptr || !heard_class_of(*chord)) return false;
    }
  }
  return true;
}

/// Eight bars of a pattern of the library.
inline std::vector<Bar> eight_bars(const Key& key, bool one_a_bar, int highest_level, SceneRandom& random) {
  for (;;) {
    const Pattern& pattern = library()[static_cast<std::size_t>(random.index(static_cast<int>(library().size())))];
    if (pattern.level > highest_level || is_minorish(pattern.mode) != is_minorish(key.mode)) continue;
    std::vector<Bar> bars = bars_of(pattern, key);
    if (bars.empty() || !all_heard(bars, one_a_bar)) continue;
    for (std::size_t i = 0; bars.size() < 8; ++i) bars.push_back(bars[i]);
    bars.resize(8);
    return bars;
  }
}

}  // namespace piece_detail

/// Two patterns of the library, eight bars each, in one key; three in four are in 4/4, the others in 3/4. The hands are
/// those of the command chart; the manners are common ones for beginners: chords on every beat, half bars, broken
/// chords, or the left hand alternating with its fifth.
inline StudentPiece student_piece(int number, const StudentSettings& settings, SceneRandom& random) {
  StudentPiece piece;
  piece.meter = number % 4 == 3 ? Meter{3, 4} : Meter{4, 4};
  const auto keys = written_keys();
  do {
    piece.key = keys[static_cast<std::size_t>(random.index(static_cast<int>(keys.size())))];
  } while (std::abs(piece.key.signature()) > 5 || (piece.key.mode != Mode::major && random.chance(0.4)));
  const bool three = piece.meter.upper == 3;
  Row row;
  row.bars = piece_detail::eight_bars(piece.key, three, settings.highest_level, random);
  for (const Bar& bar : piece_detail::eight_bars(piece.key, three, settings.highest_level, random))
    row.bars.push_back(bar);
  piece.song.written_meter = piece.meter;
  piece.song.sections = {Section{"", {row}, std::nullopt}};
  piece.tempo_bpm = random.uniform(58, 112);
  constexpr std::array manners{"beats", "halves", "broken", "alternating"};
  const int manner = three ? 2 * random.index(2) : number % 4;
  piece.manner = manners[static_cast<std::size_t>(manner)];

  // Time: a random walk, smoothed, and hesitations before bar lines.
  const auto per_bar = static_cast<std::size_t>(piece.meter.upper);
  const std::size_t beats = 16 * per_bar;
  std::vector<double> walk(beats), smooth(beats);
  double at = 0;
  for (double& value : walk) value = at += random.normal();
  double mean = 0;
  for (std::size_t i = 0; i < beats; ++i) {
    for (std::size_t k = 0; k < 4; ++k) smooth[i] += walk[std::min(i + k, beats - 1)] / 4;
    mean += smooth[i] / static_cast<double>(beats);
  }
  double widest = 1e-9;
  for (double& value : smooth) widest = std::max(widest, std::abs(value -= mean));
  piece.beats_s = {0.3};
  for (std::size_t i = 0; i < beats; ++i) {
    double length = 60 / piece.tempo_bpm * std::exp(settings.drift * smooth[i] / widest);
    if ((i + 1) % per_bar == 0 && i + 1 < beats && random.chance(settings.hesitation_chance))
      length += random.uniform(0.15, 0.45);
    piece.beats_s.push_back(piece.beats_s.back() + length);
  }
  piece.length_s = piece.beats_s.back() + 1;
  const auto time_at = [&](double beat) {
    const auto whole = std::min(static_cast<std::size_t>(std::max(beat, 0.0)), beats - 1);
    const double share = beat - static_cast<double>(whole);
    return piece.beats_s[whole] + share * (piece.beats_s[whole + 1] - piece.beats_s[whole]);
  };
  const auto put = [&](double beat, double length, int midi, double gain) {
    if (random.chance(settings.wrong_key_chance)) {
      constexpr std::array slips{-2, -1, 1, 2};
      midi += slips[static_cast<std::size_t>(random.index(4))];
    }
    const double start_s = std::max(0.0, time_at(beat) + 0.012 * random.normal());
    piece.notes.push_back({start_s, std::max(0.1, time_at(beat + length) - time_at(beat)),
                           std::clamp(midi, lowest_bank_note, highest_bank_note), gain * random.uniform(0.6, 1)});
  };

  const Timeline line = timeline(piece.song, piece.key);
  HandSettings hands;
  hands.left = manner == 3 ? LeftHand::fifth : all_left_hands[static_cast<std::size_t>(random.index(3))];
  const Hands played = hands_for(line, hands);
  for (std::size_t i = 0; i < line.chords.size(); ++i) {
    const TimedChord& timed = line.chords[i];
    const double start = timed.start.quarters();
    const double length = timed.length.quarters();
    piece.chords.push_back(
        {time_at(start), time_at(start + length), heard_class_of(*timed.chord).value(), timed.chord->bass.semitone()});
    const Voicing& right = played.chords[i].right;
    const Voicing& left = played.chords[i].left;
    const auto whole = static_cast<int>(std::lround(length));
    for (std::size_t k = 0; k < left.size(); ++k) {
      if (manner != 3) put(start, length, left[k].midi(), 0.8);
    }
    for (int beat = 0; beat < whole; ++beat) {
      if (manner == 3) put(start + beat, 1, left[beat % 2 == 0 ? 0 : left.size() - 1].midi(), 0.75);
      if (manner == 1 && beat % 2 != 0) continue;
      if (manner == 2) {
        // Up and down again in eighths.
        const auto turn = static_cast<int>(2 * std::max<std::size_t>(right.size(), 2) - 2);
        for (int half = 0; half < 2; ++half) {
          const int step = (2 * beat + half) % turn;
          const auto place = static_cast<std::size_t>(step < static_cast<int>(right.size()) ? step : turn - step);
          put(start + beat + 0.5 * half, 1, right[std::min(place, right.size() - 1)].midi(), 0.65);
        }
        continue;
      }
      for (const Pitch& pitch : right) {
        put(start + beat, manner == 1 ? std::min(2.0, length - beat) : 0.9, pitch.midi(), beat == 0 ? 0.7 : 0.55);
      }
    }
  }
  return piece;
}

/// The piece on a piano, without room, the loudest sample at 1.
inline std::vector<float> play_piece(const StudentPiece& piece, const NoteBank& bank) {
  std::vector<float> sound(bank_samples(piece.length_s));
  add_notes(sound, piece.notes, bank);
  float loudest = 1e-6f;
  for (const float sample : sound) loudest = std::max(loudest, std::abs(sample));
  for (float& sample : sound) sample /= loudest;
  return sound;
}

}  // namespace romanesca::test
