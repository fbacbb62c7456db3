#include "synth/arranging/arranger.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <tuple>

#include "synth/arranging/bass_notes.h"
#include "synth/arranging/colour_tones.h"
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

Voicing guitar_picked(const Chord& chord) {
  Voicing shape = guitar_shape(chord);
  if (shape.size() < 4) return shape;
  const auto is_third = [&](const Pitch& note) {
    const int above = ((note.midi() - chord.root.semitone()) % 12 + 12) % 12;
    return above == 3 || above == 4;
  };
  Voicing picked(shape.end() - 3, shape.end());
  for (std::size_t highest = shape.size() - 1; chord.type.has_third() && highest >= 3; --highest) {
    if (!is_third(shape[highest - 2]) && !is_third(shape[highest - 1])) continue;
    picked.assign(shape.begin() + static_cast<std::ptrdiff_t>(highest) - 2,
                  shape.begin() + static_cast<std::ptrdiff_t>(highest) + 1);
    break;
  }
  if (is_third(picked[2]) && !is_third(picked[0]) && !is_third(picked[1])) {
    std::rotate(picked.begin(), picked.begin() + 1, picked.end());
    picked[2] = picked[2] + Interval(0, 1);
  }
  picked.insert(picked.begin(), shape.front());
  return picked;
}

Voicing guitar_shell(const Chord& chord) {
  constexpr int low_string = 40;     // E2
  constexpr int middle_string = 50;  // D3
  Voicing shell{lowest_at_or_above(chord.bass, low_string)};
  for (const PitchClass tone : right_hand_tones(chord, VoicingKind::shell)) {
    if (shell.size() == 3 || tone == chord.bass) continue;
    shell.push_back(lowest_at_or_above(tone, middle_string));
  }
  std::sort(shell.begin(), shell.end(), [](const Pitch& a, const Pitch& b) { return a.midi() < b.midi(); });
  const auto same = [](const Pitch& a, const Pitch& b) { return a.midi() == b.midi(); };
  shell.erase(std::unique(shell.begin(), shell.end(), same), shell.end());
  return shell;
}

namespace {

/// How long a strum takes over all its strings, in seconds: 28 ms at 80 quarters a minute and slower, half of that at
/// 160 and faster (common practice, no source).
double strum_s(double quarters_per_minute) {
  return 0.028 - 0.014 * std::clamp((quarters_per_minute - 80) / 80, 0.0, 1.0);
}

/// Velocities for medium intensity; soft and full sections differ by a constant, and a bar that rises to a louder
/// section lies between. Ghost notes are 12 to 20 dB softer than accents, as sound grows with velocity.
int velocity_of(const Stroke& stroke) {
  const int rise = stroke.leads_up ? 5 : 0;
  const int intensity = rise + (stroke.intensity == Intensity::soft   ? -12
                                : stroke.intensity == Intensity::full ? 22
                                                                      : 0);
  switch (stroke.sign) {
    case 'X':
      return 104 + intensity;
    case 'o':
      return 58 + intensity;
    case 'g':
      return 36 + intensity / 3;
    case 'U':
      return 60 + intensity;
    case '=':
      return 66 + intensity;
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
  Arranger(const Score& score, const Style& style, const Playing& playing)
      : score_(score), style_(style), playing_(playing), groove_(groove_of(style, playing)) {
    for (const ScoreChord& chord : score.chords) chords_.push_back(chord.chord);
  }

  Arrangement arrange() {
    Arrangement result;
    for (const StylePart& part : style_.parts) {
      part_ = static_cast<std::uint8_t>(result.parts.size());
      result.parts.push_back({part.name, part.instrument, part.level_db, false});
      switch (part.role) {
        case StyleRole::drums:
          for (const Stroke& stroke : drum_strokes(as_played(part))) {
            add(stroke, stroke.start, stroke.drum, velocity_of(stroke));
          }
          break;
        case StyleRole::bass:
          play_bass(part);
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
    result.events = with_groove(std::move(notes_), groove_, result.length);
    return result;
  }

 private:
  [[nodiscard]] PartPlaying as_played(const StylePart& part) const {
    return {part, style_, score_, playing_.seed, part_};
  }

  void play_bass(const StylePart& part) {
    const std::vector<Stroke> strokes = chord_strokes(as_played(part));
    const std::vector<int> notes = bass_notes(strokes, score_, playing_.seed);
    for (std::size_t i = 0; i < strokes.size(); ++i)
      add(strokes[i], strokes[i].start, notes[i], velocity_of(strokes[i]));
  }

  void play_chords(const StylePart& part) {
    const std::vector<Voicing>& voicings = voicings_of(part);
    for (const Stroke& stroke : chord_strokes(as_played(part))) {
      const Voicing& notes = voicings[stroke.chord];
      if (stroke.sign >= '1' && stroke.sign <= '5') {
        play_single(stroke, notes);
      } else {
        for (const Pitch& note : notes) add(stroke, stroke.start, note.midi(), velocity_of(stroke) - 8);
      }
    }
  }

  void play_guitar(const StylePart& part) {
    for (const Stroke& stroke : chord_strokes(as_played(part))) {
      const Chord& chord = chords_[stroke.chord];
      const bool shell = part.voicing == VoicingKind::shell;
      if (stroke.sign >= '1' && stroke.sign <= '5') {
        play_single(stroke, shell ? guitar_shell(chord) : guitar_picked(chord));
      } else {
        strum(stroke, shell ? guitar_shell(chord) : guitar_shape(chord));
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
    const double ticks = strum_s(groove_.quarters_per_minute) * groove_.quarters_per_minute / 60 * groove_ticks;
    const double whole = stroke.sign == 'C' ? ticks / 2 : ticks;
    for (std::size_t i = 0; i < count; ++i) {
      const Pitch& note = up ? notes[notes.size() - 1 - i] : notes[notes.size() - count + i];
      const double late = whole * static_cast<double>(i) / static_cast<double>(std::max<std::size_t>(count, 2) - 1);
      const Beats start = stroke.start + Beats(std::lround(late), groove_ticks);
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
      const bool rootless = part.voicing == VoicingKind::rootless;
      found = lead_voices(rootless ? with_colour_tones(chords_) : chords_, rules).right;
    }
    return found;
  }

  /// Of a fading piece the velocities fall on a straight line to a quarter at the end.
  [[nodiscard]] int faded(int velocity, Beats at) const {
    if (!score_.fades_from || at <= *score_.fades_from) return velocity;
    const double way = (at - *score_.fades_from).quarters() / (score_.length() - *score_.fades_from).quarters();
    return static_cast<int>(std::lround(velocity * (1 - 0.75 * way)));
  }

  void add(const Stroke& stroke, Beats start, int midi, int velocity) {
    velocity = faded(velocity, start);
    notes_.push_back({{start, stroke.end - start, static_cast<std::uint8_t>(std::clamp(midi, 0, 127)),
                       static_cast<std::uint8_t>(std::clamp(velocity, 1, 127)), part_},
                      stroke.start});
  }

  const Score& score_;
  const Style& style_;
  const Playing& playing_;
  Groove groove_;
  std::vector<Chord> chords_;
  std::map<std::tuple<VoicingKind, int, int>, std::vector<Voicing>> led_;
  std::vector<PlayedNote> notes_;
  std::uint8_t part_ = 0;
};

}  // namespace

Groove groove_of(const Style& style, const Playing& playing) {
  Groove groove;
  const double quarters_per_pulse = style.meter.pulse_length().quarters();
  // Compound meters do not swing: they are triplets already.
  if (!style.meter.is_compound()) {
    const double pairs = quarters_per_pulse / (2 * style.swung.quarters());  // in a pulse
    groove.swing_percent = playing.swing_percent.value_or(
        swing_at_tempo(style.swing_percent, style.usual_bpm * pairs, playing.pulses_per_minute * pairs));
  }
  groove.swung = style.swung;
  for (const StylePart& part : style.parts) groove.lean_ms.push_back(part.lean_ms);
  groove.human_percent = playing.human_percent;
  groove.quarters_per_minute = playing.pulses_per_minute * quarters_per_pulse;
  groove.seed = playing.seed;
  return groove;
}

Arrangement arrange(const Score& score, const Style& style, const Playing& playing) {
  return Arranger(score, style, playing).arrange();
}

Arrangement arrange(const Timeline& timeline, const Style& style) {
  return arrange(plan_form({&timeline, 1}, {}, usual_bpm, {}), style, {style.usual_bpm, 0, std::nullopt, 1});
}

}  // namespace romanesca
