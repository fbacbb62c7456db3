#pragma once

#include <algorithm>
#include <cmath>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "cli/studio/backing_track.h"
#include "cli/studio/heard_chords.h"
#include "synth/files/soundfont_player.h"
#include "synth/sound/performer.h"
#include "tests/measure/piece_truth.h"
#include "tests/measure/synthetic_singer.h"
#include "theory/songs/progression_text.h"

namespace romanesca::test {

/// Who plays a song, and how it is sung.
struct BandPieceSettings {
  std::vector<std::string> styles;      ///< ids
  std::vector<std::string> soundfonts;  ///< files; an empty name is the project's own band
  double singer = 0;                    ///< level of a voice, as a share of the band's; 0 for none
  double singer_chance = 1;
  double alone_chance = 0;  ///< of keys without the rest of the band
  int bars = 16;
};

/// A song played by the band, with all that is true of it.
struct BandPiece : PieceTruth {
  std::vector<float> sound;  ///< one channel at hearing_rate_hz, without a room; the loudest sample at 1
};

namespace band_detail {

/// So many bars from one on, in another key; nothing where the meter has no place for the chords.
inline std::optional<Progression> excerpt(const Timeline& song, int first_bar, int bars, const Meter& meter,
                                          int semitones) {
  std::string text = "|";
  for (int bar = first_bar; bar < first_bar + bars; ++bar) {
    int slots = 0;
    for (const TimedChord& timed : song.chords) {
      if (timed.bar != bar) continue;
      text += " " + (timed.chord ? to_string(*timed.chord) : std::string("N.C."));
      ++slots;
    }
    if (slots == 0 || meter.pulses() % slots != 0) return std::nullopt;
    text += " |";
  }
  auto parsed = parse_progression(text, "song");
  if (!parsed) return std::nullopt;
  Progression moved = transposed(*parsed, Interval::simple(semitones));
  moved.written_meter = meter;
  return moved;
}

/// One round, both channels added.
inline std::vector<float> played_by(const Performance& performance, const std::string& soundfont) {
  std::unique_ptr<SoundSource> source;
  if (soundfont.empty())
    source = std::make_unique<Performer>(performance, hearing_rate_hz);
  else
    source =
        std::make_unique<SoundFontPlayer>(performance, soundfont, SoundFontPlayer::Settings{hearing_rate_hz, false});
  std::vector<float> left(static_cast<std::size_t>(source->length_frames())), right(left.size());
  source->render({left.data(), right.data(), left.size()});
  for (std::size_t i = 0; i < left.size(); ++i) left[i] += right[i];
  return left;
}

inline double root_mean_square(const std::vector<float>& sound) {
  double sum = 0;
  std::size_t count = 0;
  for (const float sample : sound) {
    if (sample == 0) continue;
    sum += static_cast<double>(sample) * static_cast<double>(sample);
    ++count;
  }
  return std::sqrt(sum / static_cast<double>(std::max<std::size_t>(count, 1)));
}

/// A tune over the chords: mostly their tones, else those of a major scale on the tonic.
inline std::vector<PlayedNote> random_voice(const std::vector<ChordSpan>& chords, int tonic, double length_s,
                                            SceneRandom& random) {
  constexpr double lengths_s[] = {0.18, 0.25, 0.4, 0.6, 1.0, 1.6};
  constexpr int scale[] = {0, 2, 4, 5, 7, 9, 11};
  std::vector<PlayedNote> notes;
  int midi = 57 + random.index(12);
  for (double at_s = 0.2; at_s < length_s - 0.5;) {
    const double held_s = lengths_s[random.index(6)];
    const bool rests = random.chance(0.22);
    std::vector<int> classes;
    const auto now = std::find_if(chords.begin(), chords.end(), [&](const ChordSpan& span) {
      return span.start_s <= at_s && at_s < span.end_s && span.chord != no_chord_class;
    });
    if (now != chords.end() && random.chance(0.6)) {
      for (int i = 0; i < 3; ++i)
        classes.push_back(
            (root_of(now->chord) +
             chord_quality_tones[static_cast<std::size_t>(quality_of(now->chord))][static_cast<std::size_t>(i)]) %
            12);
    } else {
      for (const int step : scale) classes.push_back((tonic + step) % 12);
    }
    std::vector<int> near;
    for (int candidate = std::max(52, midi - 7); candidate <= std::min(76, midi + 7); ++candidate) {
      if (std::find(classes.begin(), classes.end(), candidate % 12) == classes.end()) continue;
      // Nearer ones more often.
      for (int times = std::abs(candidate - midi); times < 8; ++times) near.push_back(candidate);
    }
    if (!near.empty()) midi = near[static_cast<std::size_t>(random.index(static_cast<int>(near.size())))];
    if (!rests) notes.push_back({at_s, held_s * random.uniform(0.8, 1), midi, random.uniform(0.5, 1)});
    at_s += held_s;
  }
  return notes;
}

}  // namespace band_detail

/// An excerpt of one of the songs in a random key, played in one of the styles. @param songs of at least
/// settings.bars bars; those that fit no meter are drawn again
inline BandPiece band_piece(const std::vector<Timeline>& songs, const BandPieceSettings& settings,
                            SceneRandom& random) {
  using namespace band_detail;
  for (;;) {
    const Style* const style =
        style_named(settings.styles[static_cast<std::size_t>(random.index(static_cast<int>(settings.styles.size())))]);
    const Timeline& song = songs[static_cast<std::size_t>(random.index(static_cast<int>(songs.size())))];
    if (style == nullptr || song.bars < settings.bars) continue;
    const int first_bar = 1 + random.index(song.bars - settings.bars + 1);
    const auto progression = excerpt(song, first_bar, settings.bars, style->meter, random.index(12));
    if (!progression) continue;
    const auto placed = place_in_key({*progression, "song", {}}, std::nullopt);
    if (!placed) continue;
    BandRequest request;
    request.style = style->id;
    request.tempo_bpm = std::clamp(random.uniform(style->slowest_bpm, style->fastest_bpm), 40.0, 200.0);
    request.seed = static_cast<std::uint32_t>(random.index(1 << 30));
    request.intensity = static_cast<Intensity>(random.index(3));
    if (random.chance(0.6)) request.with = {std::string(students_part)};
    auto track = arrange_backing(*placed, request);
    if (!track) continue;
    Performance& performance = track->song.performance;
    const bool alone = random.chance(settings.alone_chance);
    bool keys = false;
    for (Part& part : performance.parts) {
      part.gain_db += static_cast<float>(random.uniform(-4, 4));
      keys = keys || part.name == students_part;
    }
    for (Part& part : performance.parts) part.muted = part.muted || (alone && keys && part.name != students_part);
    const std::string& font =
        settings.soundfonts[static_cast<std::size_t>(random.index(static_cast<int>(settings.soundfonts.size())))];
    const std::vector<float> played = played_by(performance, font);
    BandPiece piece;
    piece.meter = style->meter;
    piece.tempo_bpm = request.tempo_bpm;
    piece.manner = style->id + (alone && keys ? " keys" : "");
    const double lead_s = random.uniform(0.1, 0.6);
    const auto pulses = static_cast<std::size_t>(settings.bars * style->meter.pulses());
    for (std::size_t i = 0; i <= pulses; ++i)
      piece.beats_s.push_back(lead_s +
                              performance.tempo.seconds_at(static_cast<std::int64_t>(i) * style->meter.pulse_length()));
    for (const TimedChord& timed : placed->analysis.timeline.chords) {
      const auto heard = timed.chord ? heard_class_of(*timed.chord) : std::nullopt;
      if (!heard) continue;
      piece.chords.push_back({lead_s + performance.tempo.seconds_at(timed.start),
                              lead_s + performance.tempo.seconds_at(timed.start + timed.length), *heard,
                              timed.chord->bass.semitone()});
    }
    if (piece.chords.empty()) continue;
    piece.sound.assign(bank_samples(lead_s), 0);
    piece.sound.insert(piece.sound.end(), played.begin(), played.end());
    if (settings.singer > 0 && random.chance(settings.singer_chance)) {
      const double level = root_mean_square(played) * settings.singer;
      std::vector<float> voice(piece.sound.size());
      add_sung_notes(voice,
                     random_voice(piece.chords, placed->key.tonic.semitone(),
                                  static_cast<double>(voice.size()) / hearing_rate_hz, random),
                     {}, random);
      const auto scale = static_cast<float>(level / (root_mean_square(voice) + 1e-9));
      for (std::size_t i = 0; i < voice.size(); ++i) piece.sound[i] += scale * voice[i];
    }
    float loudest = 1e-6f;
    for (const float sample : piece.sound) loudest = std::max(loudest, std::abs(sample));
    for (float& sample : piece.sound) sample /= loudest;
    return piece;
  }
}

}  // namespace romanesca::test
