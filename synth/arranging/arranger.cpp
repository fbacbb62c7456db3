#include "synth/arranging/arranger.h"

#include <algorithm>
#include <array>
#include <map>
#include <tuple>

#include "synth/arranging/bass_notes.h"
#include "synth/arranging/strokes.h"
#include "theory/voicing/voice_leading.h"

namespace romanesca {

Voicing guitar_shape(const Chord& chord) {
  constexpr std::array<int, 6> open_strings{40, 45, 50, 55, 59, 64};  // E2 A2 D3 G3 B3 E4
  constexpr int frets = 4;
  const std::vector<PitchClass> tones = right_hand_tones(chord);
  Voicing shape;
  for (const int open : open_strings) {
    if (shape.empty()) {
      const Pitch bass = lowest_at_or_above(chord.bass, open);
      if (bass.midi() <= open + frets) shape.push_back(bass);
      continue;
    }
    Pitch lowest;
    int found = open + frets + 1;
    for (const PitchClass tone : tones) {
      const Pitch candidate = lowest_at_or_above(tone, open);
      if (candidate.midi() >= found || candidate.midi() <= shape.back().midi()) continue;
      found = candidate.midi();
      lowest = candidate;
    }
    if (found <= open + frets) shape.push_back(lowest);
  }
  return shape;
}

namespace {

constexpr Beats string_delay{1, 96};  // between the strings of a strum

/// Velocities for medium intensity; soft and full sections differ by a constant.
int velocity_of(const Stroke& stroke) {
  const int intensity = stroke.intensity == Intensity::soft ? -12 : stroke.intensity == Intensity::full ? 9 : 0;
  switch (stroke.sign) {
    case 'X':
      return 104 + intensity;
    case 'o':
      return 58 + intensity;
    case 'U':
      return 60 + intensity;
    case 'C':
    case 'D':
      return 76 + intensity;
    case 'R':
    case '8':
      return 90 + intensity;
    default:
      return 82 + intensity;
  }
}

class Arranger {
 public:
  Arranger(const Score& score, const Style& style) : score_(score), style_(style) {
    for (const ScoreChord& chord : score.chords) chords_.push_back(chord.chord);
  }

  Arrangement arrange(const Playing& playing) {
    Arrangement result;
    for (const StylePart& part : style_.parts) {
      part_ = static_cast<std::uint8_t>(result.parts.size());
      result.parts.push_back({part.name, part.instrument, part.level_db, false});
      switch (part.role) {
        case StyleRole::drums:
          for (const Stroke& stroke : drum_strokes(part, style_, score_)) {
            add(stroke, stroke.start, stroke.drum, velocity_of(stroke));
          }
          break;
        case StyleRole::bass:
          play_bass(part, playing.seed);
          break;
        case StyleRole::chords:
          play_chords(part);
          break;
        case StyleRole::guitar:
          play_guitar(part);
          break;
      }
    }
    result.length = score_.length();
    result.tempos = score_.tempos;
    result.events = with_groove(std::move(notes_), groove_of(style_, playing), result.length);
    return result;
  }

 private:
  void play_bass(const StylePart& part, std::uint32_t seed) {
    const std::vector<Stroke> strokes = chord_strokes(part, style_, score_);
    const std::vector<int> notes = bass_notes(strokes, score_, seed);
    for (std::size_t i = 0; i < strokes.size(); ++i)
      add(strokes[i], strokes[i].start, notes[i], velocity_of(strokes[i]));
  }

  void play_chords(const StylePart& part) {
    const std::vector<Voicing>& voicings = voicings_of(part);
    for (const Stroke& stroke : chord_strokes(part, style_, score_)) {
      const Voicing& notes = voicings[stroke.chord];
      if (stroke.sign >= '1' && stroke.sign <= '5') {
        play_single(stroke, notes);
      } else {
        for (const Pitch& note : notes) add(stroke, stroke.start, note.midi(), velocity_of(stroke) - 8);
      }
    }
  }

  void play_guitar(const StylePart& part) {
    for (const Stroke& stroke : chord_strokes(part, style_, score_)) {
      const Voicing notes = guitar_shape(chords_[stroke.chord]);
      if (stroke.sign >= '1' && stroke.sign <= '5') {
        play_single(stroke, notes);
      } else {
        strum(stroke, notes);
      }
    }
  }

  /// 1 to 4 are the chord's notes from low to high, 5 is the lowest an octave up, which also replaces missing ones.
  void play_single(const Stroke& stroke, const Voicing& notes) {
    const auto wanted = static_cast<std::size_t>(stroke.sign - '1');
    const bool above = stroke.sign == '5' || wanted >= notes.size();
    const int midi = above ? notes.front().midi() + 12 : notes[wanted].midi();
    add(stroke, stroke.start, midi, velocity_of(stroke) - (stroke.sign == '1' ? 4 : 14));
  }

  /// A downstroke plays all strings, an upstroke or a chop the upper four.
  void strum(const Stroke& stroke, const Voicing& notes) {
    const bool up = stroke.sign == 'U';
    const std::size_t count = stroke.sign == 'D' ? notes.size() : std::min<std::size_t>(notes.size(), 4);
    for (std::size_t i = 0; i < count; ++i) {
      const Pitch& note = up ? notes[notes.size() - 1 - i] : notes[notes.size() - count + i];
      const Beats start = stroke.start + string_delay * static_cast<std::int64_t>(i);
      if (start < stroke.end) add(stroke, start, note.midi(), velocity_of(stroke));
    }
  }

  const std::vector<Voicing>& voicings_of(const StylePart& part) {
    const auto key = std::make_tuple(part.voicing, part.range.lowest, part.range.highest);
    std::vector<Voicing>& found = led_[key];
    if (found.empty()) {
      VoicingRules rules;
      rules.kind = part.voicing;
      rules.range = part.range;
      found = lead_voices(chords_, rules).right;
    }
    return found;
  }

  void add(const Stroke& stroke, Beats start, int midi, int velocity) {
    notes_.push_back({{start, stroke.end - start, static_cast<std::uint8_t>(std::clamp(midi, 0, 127)),
                       static_cast<std::uint8_t>(std::clamp(velocity, 1, 127)), part_},
                      stroke.start});
  }

  const Score& score_;
  const Style& style_;
  std::vector<Chord> chords_;
  std::map<std::tuple<VoicingKind, int, int>, std::vector<Voicing>> led_;
  std::vector<PlayedNote> notes_;
  std::uint8_t part_ = 0;
};

}  // namespace

Groove groove_of(const Style& style, const Playing& playing) {
  Groove groove;
  // Compound meters do not swing: they are triplets already.
  if (!style.meter.is_compound()) groove.swing_percent = playing.swing_percent.value_or(style.swing_percent);
  groove.swung = style.swung;
  groove.human_percent = playing.human_percent;
  groove.quarters_per_minute = playing.pulses_per_minute * style.meter.pulse_length().quarters();
  groove.seed = playing.seed;
  return groove;
}

Arrangement arrange(const Score& score, const Style& style, const Playing& playing) {
  return Arranger(score, style).arrange(playing);
}

Arrangement arrange(const Timeline& timeline, const Style& style) {
  return arrange(plan_form({&timeline, 1}, {}, usual_bpm, {}), style);
}

}  // namespace romanesca
