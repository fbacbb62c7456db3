#include "synth/arranging/arranger.h"

#include <algorithm>
#include <map>
#include <optional>

#include "synth/arranging/guitar_shape.h"
#include "theory/voice_leading.h"

namespace romanesca {
namespace {

constexpr HandRange keys_range{52, 76};  // E3 to E5: under a melody, above the bass
constexpr HandRange bass_range{28, 39};  // E1 to D#2
constexpr Beats string_delay{1, 96};     // between the strings of a strum

std::uint8_t velocity_of(char sign) {
  switch (sign) {
    case 'X':
      return 104;
    case 'o':
      return 58;
    default:
      return 82;
  }
}

/// A chord with its time and what each player makes of it.
struct PlayedChord {
  Beats start, end;
  Chord chord;
  Pitch bass;
  Voicing keys;
};

std::vector<PlayedChord> played_chords(const Timeline& timeline) {
  std::vector<PlayedChord> played;
  std::vector<Chord> chords;
  for (const TimedChord& timed : timeline.chords) {
    if (!timed.chord) continue;
    // The same chord again goes on; a slash bass of its own makes it another chord.
    const bool goes_on = !played.empty() && played.back().chord == *timed.chord && played.back().end == timed.start;
    if (goes_on && timed.held) {
      played.back().end += timed.length;
      continue;
    }
    played.push_back({timed.start,
                      timed.start + timed.length,
                      *timed.chord,
                      lowest_at_or_above(timed.chord->bass, bass_range.lowest),
                      {}});
    chords.push_back(*timed.chord);
  }
  VoicingRules rules;
  rules.range = keys_range;
  VoiceLeading led = lead_voices(chords, rules);
  for (std::size_t i = 0; i < played.size(); ++i) played[i].keys = std::move(led.right[i]);
  return played;
}

/// A sign of the grid at its place in the piece, with the end of what it holds.
struct Stroke {
  Beats start, end;
  char sign = 'x';
};

/// Lays a row over the whole piece.
std::vector<Stroke> strokes_of(const StyleRow& row, const Style& style, const Timeline& timeline) {
  std::vector<Stroke> strokes;
  const auto grid = static_cast<std::int64_t>(row.steps.size());
  const auto row_bars = grid / style.steps_per_bar();
  const std::int64_t steps_in_bar = whole_times(timeline.meter.bar_length(), style.step_length());
  for (int bar = 0; bar < timeline.bars; ++bar) {
    const Beats bar_start = timeline.meter.bar_length() * bar;
    const std::int64_t row_start = bar % row_bars * style.steps_per_bar();
    bool sounding = false;
    for (std::int64_t step = 0; step < steps_in_bar; ++step) {
      const char sign = row.steps[static_cast<std::size_t>(row_start + step % style.steps_per_bar())];
      const Beats at = bar_start + style.step_length() * step;
      const Beats end = at + style.step_length();
      if (sign == '-' && sounding) strokes.back().end = end;
      if (sign != '-') sounding = sign != '.';
      if (sign != '-' && sign != '.') strokes.push_back({at, end, sign});
    }
  }
  return strokes;
}

class Arranger {
 public:
  Arranger(const Timeline& timeline, const Style& style)
      : timeline_(timeline), style_(style), chords_(played_chords(timeline)) {}

  Arrangement arrange() {
    result_.length = timeline_.length();
    for (const StylePart& part : style_.parts) {
      result_.parts.push_back({part.name, part.instrument, part.level_db});
      for (const StyleRow& row : part.rows) {
        const std::vector<Stroke> strokes = strokes_of(row, style_, timeline_);
        if (part.role == StyleRole::drums) {
          for (const Stroke& stroke : strokes)
            add(stroke.start, style_.step_length(), row.drum, velocity_of(stroke.sign));
        } else {
          play_pitched(part.role, strokes);
        }
      }
    }
    std::sort(result_.events.begin(), result_.events.end(), [](const NoteEvent& a, const NoteEvent& b) {
      if (a.start != b.start) return a.start < b.start;
      return a.part != b.part ? a.part < b.part : a.midi < b.midi;
    });
    return std::move(result_);
  }

 private:
  /// Cuts the strokes at the chord changes and hands each piece to the player of that role.
  void play_pitched(StyleRole role, const std::vector<Stroke>& strokes) {
    std::size_t first = 0;
    for (std::size_t c = 0; c < chords_.size(); ++c) {
      const PlayedChord& chord = chords_[c];
      while (first < strokes.size() && strokes[first].end <= chord.start) ++first;
      std::vector<Stroke> own;
      for (std::size_t s = first; s < strokes.size() && strokes[s].start < chord.end; ++s) {
        own.push_back({std::max(strokes[s].start, chord.start), std::min(strokes[s].end, chord.end), strokes[s].sign});
        const bool taken_over = strokes[s].start < chord.start;
        if (taken_over && role == StyleRole::bass) own.back().sign = 'R';
      }
      const bool struck_at_once = !own.empty() && own.front().start == chord.start;
      if (role == StyleRole::bass) {
        if (struck_at_once) {
          own.front().sign = 'R';
        } else {
          own.insert(own.begin(), {chord.start, own.empty() ? chord.end : own.front().start, 'R'});
        }
      } else if (own.empty()) {
        own.push_back({chord.start, chord.end, role == StyleRole::guitar ? 'D' : 'x'});
      }
      for (const Stroke& stroke : own) play(role, stroke, c);
    }
  }

  void play(StyleRole role, const Stroke& stroke, std::size_t index) {
    const PlayedChord& chord = chords_[index];
    const Beats length = stroke.end - stroke.start;
    if (role == StyleRole::bass) {
      add(stroke.start, length, bass_pitch(stroke.sign, index), stroke.sign == 'A' ? 74 : 88);
      return;
    }
    const Voicing notes = role == StyleRole::guitar ? guitar_shape(chord.chord) : chord.keys;
    if (stroke.sign >= '1' && stroke.sign <= '5') {
      const std::size_t wanted = static_cast<std::size_t>(stroke.sign - '1');
      const bool above = stroke.sign == '5' || wanted >= notes.size();
      const int midi = above ? notes.front().midi() + 12 : notes[wanted].midi();
      add(stroke.start, length, midi, stroke.sign == '1' ? 78 : 68);
    } else if (stroke.sign == 'D' || stroke.sign == 'U') {
      strum(notes, stroke, length);
    } else {
      for (const Pitch& note : notes) add(stroke.start, length, note.midi(), velocity_of(stroke.sign) - 8);
    }
  }

  void strum(const Voicing& notes, const Stroke& stroke, Beats length) {
    const bool down = stroke.sign == 'D';
    // The hand catches all strings on the way down, the upper four on the way up.
    const std::size_t count = down ? notes.size() : std::min<std::size_t>(notes.size(), 4);
    for (std::size_t i = 0; i < count; ++i) {
      const Pitch& note = down ? notes[i] : notes[notes.size() - 1 - i];
      const Beats late = string_delay * static_cast<std::int64_t>(i);
      if (late < length) add(stroke.start + late, length - late, note.midi(), down ? 76 : 60);
    }
  }

  int bass_pitch(char sign, std::size_t index) const {
    const PlayedChord& chord = chords_[index];
    const int root = chord.bass.midi();
    const auto above_bass = [&](std::initializer_list<Interval> tones, int otherwise) {
      for (const Interval tone : tones) {
        if (chord.chord.type.has(tone)) return root + ((chord.chord.root + tone) - chord.chord.bass).semitones();
      }
      return otherwise;
    };
    using namespace intervals;
    switch (sign) {
      case '5':
        return above_bass({perfect_fifth, diminished_fifth, augmented_fifth}, root);
      case '3':
        return above_bass({major_third, minor_third, perfect_fourth, major_second}, root);
      case '8':
        return root + 12;
      case 'A':
        return approach(root, index);
      default:
        return root;
    }
  }

  /// A semitone or tone below or above the next bass note, from the side we come from; the fifth if the bass stays.
  int approach(int root, std::size_t index) const {
    const PlayedChord& next = chords_[(index + 1) % chords_.size()];
    const int goal = next.bass.midi();
    if (goal == root) return bass_pitch('5', index);
    // Of the four neighbours of the goal take a tone of the chord that sounds, else the semitone on the nearer side.
    const int side = goal > root ? -1 : 1;
    for (const int step : {side, 2 * side, -side, -2 * side}) {
      if (goal + step < bass_range.lowest) continue;
      const auto tones = chords_[index].chord.tones();
      const bool own = std::any_of(tones.begin(), tones.end(),
                                   [&](PitchClass tone) { return tone.semitone() == (goal + step) % 12; });
      if (own) return goal + step;
    }
    return goal + side < bass_range.lowest ? goal + 1 : goal + side;
  }

  void add(Beats start, Beats length, int midi, int velocity) {
    result_.events.push_back({start, length, static_cast<std::uint8_t>(std::clamp(midi, 0, 127)),
                              static_cast<std::uint8_t>(std::clamp(velocity, 1, 127)),
                              static_cast<std::uint8_t>(result_.parts.size() - 1)});
  }

  const Timeline& timeline_;
  const Style& style_;
  std::vector<PlayedChord> chords_;
  Arrangement result_;
};

}  // namespace

Arrangement arrange(const Timeline& timeline, const Style& style) { return Arranger(timeline, style).arrange(); }

Arrangement with_count_in(Arrangement arrangement, const Meter& meter, int bars) {
  if (bars <= 0) return arrangement;
  constexpr std::uint8_t high_block = 76;  // General MIDI percussion keys
  constexpr std::uint8_t low_block = 77;
  const Beats before = meter.bar_length() * bars;
  for (NoteEvent& event : arrangement.events) event.start += before;
  const auto part = static_cast<std::uint8_t>(arrangement.parts.size());
  arrangement.parts.push_back({"count-in", "drum-kit", 0});
  std::vector<NoteEvent> clicks;
  for (int pulse = 0; pulse < bars * meter.pulses(); ++pulse) {
    const bool first = pulse % meter.pulses() == 0;
    clicks.push_back({meter.pulse_length() * pulse, Beats(1, 4), first ? high_block : low_block,
                      static_cast<std::uint8_t>(first ? 110 : 90), part});
  }
  arrangement.events.insert(arrangement.events.begin(), clicks.begin(), clicks.end());
  arrangement.length += before;
  return arrangement;
}

Arrangement repeated(const Arrangement& arrangement, int times) {
  Arrangement result = arrangement;
  for (int round = 1; round < times; ++round) {
    for (NoteEvent event : arrangement.events) {
      event.start += arrangement.length * round;
      result.events.push_back(event);
    }
  }
  result.length = arrangement.length * times;
  return result;
}

}  // namespace romanesca
