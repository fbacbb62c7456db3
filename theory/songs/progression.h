#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "theory/chords/chord.h"
#include "theory/chords/key.h"
#include "theory/chords/note_names.h"
#include "theory/chords/numeral.h"
#include "theory/notes/meter.h"
#include "theory/notes/meter_map.h"
#include "theory/songs/printed_form.h"
#include "theory/text/errors.h"
#include "theory/tunes/bar_notes.h"

namespace romanesca {

/// How the chords of a progression are written; the same for all of them.
enum class Notation { absolute, roman, number };

struct NoChord {
  friend bool operator==(NoChord, NoChord) = default;
};
/// "/": the chord before sounds on.
struct Hold {
  friend bool operator==(Hold, Hold) = default;
};

/// One item of a bar.
struct Slot {
  std::variant<Chord, Numeral, NoChord, Hold> content;
  TextPlace place;
};

/// Its slots have equal lengths; in a bar with a Hold each is one beat, which is the same.
struct Bar {
  std::vector<Slot> slots;
  bool repeats_last = false;  ///< written "%": has no slots of its own
  BarNotes tune{};            ///< empty for a bar of rest
};

/// What counts from the first bar of a row on, until another is stated: in the sections after it too.
struct SongChange {
  std::optional<Meter> meter;
  std::optional<KeyText> key;
  std::optional<double> tempo_bpm;  ///< pulses a minute

  [[nodiscard]] bool any() const { return meter || key || tempo_bpm; }
  friend bool operator==(const SongChange&, const SongChange&) = default;
};

/// A line of the text: its bars, the words under them, and the comment after them. Any of them may be missing.
struct Row {
  std::vector<Bar> bars;
  std::string comment;  ///< with its #
  /// What is sung: before the first chord, then from each chord of the row on, in order. There may be more or fewer
  /// than chords.
  std::vector<std::string> words{};
  SongChange change{};
  /// Notes of the tune that sound before its first bar, at the end of the bar before or before the song.
  BarNotes upbeat{};
};

struct Section {
  std::string name;  ///< empty for the rows before the first heading
  std::vector<Row> rows;
  std::optional<double> tempo_bpm;  ///< of this section alone, pulses a minute; nothing for the tempo that counts there
};

/// A song's chords in time, bar by bar as played.
struct Progression {
  std::string title;
  std::string composer{};  ///< who made it; empty where nobody is named
  std::optional<KeyText> key;
  std::optional<double> tempo_bpm;  ///< pulses a minute, 20 to 400; the pulse is a dotted quarter in 6/8, 9/8, 12/8
  std::optional<Meter> written_meter;
  std::string style;
  /// Where a guitar has its capo: it plays the shapes of chords this many semitones lower than what is written here,
  /// which is what sounds. 0 for none.
  int capo = 0;
  Notation notation = Notation::absolute;
  NoteNames names = NoteNames::english;  ///< in which its chords are shown
  std::vector<Section> sections;
  /// Repeats, endings and recalled sections as they stand on paper; nothing where every bar is written out.
  std::optional<PrintedForm> form{};

  /// Of the first bar.
  [[nodiscard]] Meter meter() const { return written_meter.value_or(Meter{}); }
};

inline constexpr double slowest_bpm = 20.0;
inline constexpr double fastest_bpm = 400.0;
inline constexpr double usual_bpm = 92.0;  ///< where neither song nor style names a tempo

/// A chord of the piece with its place in time.
struct TimedChord {
  std::uint32_t section = 0;       ///< index into Progression::sections
  int bar = 1;                     ///< from 1 through the whole piece
  Beats start;                     ///< from the start of the piece
  Beats length;                    ///< never past its bar's end
  std::optional<Chord> chord;      ///< nothing for N.C.
  std::optional<Numeral> numeral;  ///< as written, where it was
  bool held = false;               ///< goes on sounding from the bar before without a new stroke
  TextPlace place;                 ///< of the symbol in the text
};

/// A key that the text states for a later part of the piece, and its first bar there.
struct StatedKey {
  int bar = 1;  ///< from 1
  KeyText key;
};
/// A tempo that the text states for a later part of the piece, and its first bar there.
struct StatedTempo {
  int bar = 1;     ///< from 1
  double bpm = 0;  ///< pulses a minute
};

/// The piece bar by bar with repeats written out; numerals and numbers realised in @p key, which absolute chords
/// ignore. Where the text changes its key, numerals are realised in the key as far from @p key as the changed one is
/// from the written one.
struct Timeline {
  std::vector<TimedChord> chords;
  int bars = 0;
  MeterMap meters;
  std::vector<StatedKey> keys;      ///< in order of their bars
  std::vector<StatedTempo> tempos;  ///< in order of their bars
  /// Of the first bar.
  [[nodiscard]] Meter meter() const { return meters.first(); }
  [[nodiscard]] Beats length() const { return meters.start_of(bars + 1); }
  /// 1-based beat of the meter's lower unit at which a chord starts in its bar, exact.
  [[nodiscard]] Beats beat_in_bar(const TimedChord& chord) const;
};
[[nodiscard]] Timeline timeline(const Progression& progression, const Key& key);

/// What is sung from each chord of the timeline on, in its order; the words before a line's first chord belong to that
/// chord. Empty for a song without words.
[[nodiscard]] std::vector<std::string> words_by_chord(const Progression& progression);
/// Puts such words under the chords, in place of those that are there; chords beyond the list get none.
void put_words_by_chord(Progression& progression, const std::vector<std::string>& words);

/// The mode inferred from the numerals: minor where the tonic chord is written i and never I, else major.
[[nodiscard]] Mode mode_of_numerals(const Progression& progression);

/// Every chord with @p change applied; the rest as it was.
template <typename Change>
[[nodiscard]] Progression with_chords(Progression progression, Change change) {
  for (Section& section : progression.sections) {
    for (Row& row : section.rows) {
      for (Bar& bar : row.bars) {
        for (Slot& slot : bar.slots) slot.content = change(slot.content);
      }
    }
  }
  return progression;
}

/// The interval that carries one tonic to the other, upwards by less than an octave.
[[nodiscard]] inline Interval interval_between(PitchClass from, PitchClass to) noexcept { return to - from; }

/// The chord moved by an interval, spelled by it. Only where a root or bass would need more than two accidentals is it
/// written as its neighbour that sounds the same.
[[nodiscard]] Chord transposed(const Chord& chord, Interval by);

/// Absolute chords moved by the interval, and the written keys with them; numerals and numbers stay as they are. So
/// does the tune, which goes with absolute chords to the nearest octave.
[[nodiscard]] Progression transposed(const Progression& progression, Interval by);

/// From shapes that are written for a guitar with its capo at progression.capo to what sounds: absolute chords go up by
/// that many semitones. A written key goes with them where the shapes fit it better than what sounds does.
[[nodiscard]] Progression sounding_with_capo(const Progression& shapes);
/// The other way round: the shapes that a guitar plays, and their key.
[[nodiscard]] Progression shapes_with_capo(const Progression& sounding);

/// Numerals and numbers written out as chords of the key, which becomes the written key.
[[nodiscard]] Progression realised(const Progression& progression, const Key& key);

}  // namespace romanesca
