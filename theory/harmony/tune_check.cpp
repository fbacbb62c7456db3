#include "theory/harmony/tune_check.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <optional>

#include "theory/chords/chord_naming.h"
#include "theory/harmony/chord_palette.h"

namespace romanesca {
namespace {

/// A long note together with a chord.
struct Meeting {
  std::size_t note = 0, chord = 0;
  Beats start;  ///< of both together
};

bool has_tone(const Chord& chord, PitchClass note) {
  const auto bit = static_cast<unsigned>(note.semitone());
  return (chord.sounding_tones() >> bit & 1U) != 0 || chord.bass.sounds_like(note);
}

/// Every chord that a note sounds with for a pulse or more.
std::vector<Meeting> meetings(const Tune& tune, const Timeline& timeline) {
  std::vector<Meeting> found;
  std::size_t first = 0;
  for (std::size_t i = 0; i < tune.notes.size(); ++i) {
    const TuneNote& note = tune.notes[i];
    const Beats end = note.start + note.length;
    while (first < timeline.chords.size() && timeline.chords[first].start + timeline.chords[first].length <= note.start)
      ++first;
    for (std::size_t c = first; c < timeline.chords.size() && timeline.chords[c].start < end; ++c) {
      const TimedChord& timed = timeline.chords[c];
      const Beats from = std::max(timed.start, note.start), to = std::min(timed.start + timed.length, end);
      if (timed.chord && to - from >= timeline.meters.at(timed.bar).pulse_length()) found.push_back({i, c, from});
    }
  }
  return found;
}

std::optional<int> step_to_next(const Tune& tune, std::size_t i) {
  if (i + 1 >= tune.notes.size() || tune.notes[i].start + tune.notes[i].length != tune.notes[i + 1].start) {
    return std::nullopt;
  }
  return tune.notes[i + 1].pitch.midi() - tune.notes[i].pitch.midi();
}

bool is_step(std::optional<int> semitones) {
  return semitones && std::abs(*semitones) >= 1 && std::abs(*semitones) <= 2;
}

class Checker {
 public:
  Checker(const Tune& tune, const Timeline& timeline, const Key& key) : tune_(tune), timeline_(timeline), key_(key) {}

  [[nodiscard]] OutsideNote outside(const Meeting& meeting) const {
    const TimedChord& timed = timeline_.chords[meeting.chord];
    const Chord& chord = *timed.chord;
    const PitchClass name = tune_.notes[meeting.note].pitch.name();
    const Beats unit = timeline_.meters.at(timed.bar).beat_length();
    const Beats place = meeting.start - timeline_.meters.start_of(timed.bar);
    OutsideNote result{meeting.note,
                       timed.bar,
                       Beats(1) + Beats(place.numerator() * unit.denominator(), place.denominator() * unit.numerator()),
                       meeting.start,
                       chord,
                       kind_of(meeting, chord, name),
                       {}};
    result.text = sentence(result, name);
    return result;
  }

 private:
  [[nodiscard]] bool prepared(const Meeting& meeting, PitchClass name) const {
    if (meeting.chord == 0) return false;
    const auto& before = timeline_.chords[meeting.chord - 1].chord;
    if (!before || !has_tone(*before, name)) return false;
    const TuneNote& note = tune_.notes[meeting.note];
    return note.start < meeting.start ||
           (meeting.note > 0 && tune_.notes[meeting.note - 1].pitch.midi() == note.pitch.midi());
  }

  [[nodiscard]] static bool semitone_above_tone(const Chord& chord, PitchClass name) {
    const int below = (name.semitone() + 11) % 12;
    return (chord.sounding_tones() >> static_cast<unsigned>(below) & 1U) != 0;
  }

  /// The chord with the note as a tone more, where that is one that players use.
  [[nodiscard]] static std::optional<Chord> coloured(const Chord& chord, PitchClass name) {
    Chord more = chord;
    more.type.add(name - chord.root);
    for (const ChordTypeRow& row : chord_type_rows()) {
      if (row.type == more.type) return more;
    }
    return std::nullopt;
  }

  [[nodiscard]] OutsideKind kind_of(const Meeting& meeting, const Chord& chord, PitchClass name) const {
    const auto step = step_to_next(tune_, meeting.note);
    const bool enters = is_step(step) && has_tone(chord, tune_.notes[meeting.note + 1].pitch.name()) &&
                        tune_.notes[meeting.note + 1].start <
                            timeline_.chords[meeting.chord].start + timeline_.chords[meeting.chord].length;
    if (enters && *step < 0 && prepared(meeting, name)) return OutsideKind::suspension;
    if (enters) return OutsideKind::appoggiatura;
    if (semitone_above_tone(chord, name)) return OutsideKind::clash;
    if (key_.contains(name) && coloured(chord, name)) return OutsideKind::colour;
    return OutsideKind::foreign;
  }

  /// "F or Dm": chords of the key that have the note, the main ones first; at most two.
  [[nodiscard]] std::string others(PitchClass name) const {
    HarmonyLimits limits;
    limits.applied = limits.borrowed = false;
    std::string text;
    int count = 0;
    for (const PaletteChord& each : palette_of(key_, limits)) {
      if (count == 2 || !has_tone(each.chord, name)) continue;
      text += (count++ == 0 ? "" : " or ") + to_string(each.chord);
    }
    return text;
  }

  [[nodiscard]] std::string sentence(const OutsideNote& found, PitchClass name) const {
    const std::string note = to_string(name), chord = to_string(found.chord);
    const std::string what = fmt::format("{} is not in {}", note, chord);
    const std::string next =
        found.note + 1 < tune_.notes.size() ? to_string(tune_.notes[found.note + 1].pitch.name()) : "";
    switch (found.kind) {
      case OutsideKind::suspension:
        return fmt::format("{}: it is held over from the chord before and falls to {}, a suspension. It may stay.",
                           what, next);
      case OutsideKind::appoggiatura:
        return fmt::format("{}: it leans on {}, which follows (an appoggiatura). It may stay.", what, next);
      case OutsideKind::colour:
        return fmt::format("{}: it adds a colour, {}. It may stay.", what, to_string(*coloured(found.chord, name)));
      case OutsideKind::clash:
      case OutsideKind::foreign:
        break;
    }
    const std::string chords = others(name);
    const std::string rub = found.kind == OutsideKind::clash ? " and lies a semitone above one of its notes" : "";
    if (chords.empty()) return fmt::format("{}{}. Move it by a step, or keep it short.", what, rub);
    return fmt::format("{}{}. Try {} there, or move the note by a step.", what, rub, chords);
  }

  const Tune& tune_;
  const Timeline& timeline_;
  const Key& key_;
};

}  // namespace

std::string_view to_string(OutsideKind kind) {
  constexpr std::array<std::string_view, 5> names{"suspension", "appoggiatura", "colour", "clash", "foreign"};
  return names[static_cast<std::size_t>(kind)];
}

std::vector<OutsideNote> notes_outside_chords(const Tune& tune, const Timeline& timeline, const Key& key) {
  std::vector<OutsideNote> found;
  const Checker checker(tune, timeline, key);
  for (const Meeting& meeting : meetings(tune, timeline)) {
    if (has_tone(*timeline.chords[meeting.chord].chord, tune.notes[meeting.note].pitch.name())) continue;
    found.push_back(checker.outside(meeting));
  }
  return found;
}

ToneCount count_chord_tones(const Tune& tune, const Timeline& timeline) {
  ToneCount count;
  for (const Meeting& meeting : meetings(tune, timeline)) {
    ++count.long_notes;
    if (has_tone(*timeline.chords[meeting.chord].chord, tune.notes[meeting.note].pitch.name())) ++count.chord_tones;
  }
  return count;
}

}  // namespace romanesca
