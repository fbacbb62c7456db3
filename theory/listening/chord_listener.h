#pragma once

#include <cstdint>
#include <deque>
#include <optional>
#include <string>
#include <vector>

#include "theory/chords/chord_naming.h"
#include "theory/listening/heard_notes.h"
#include "theory/listening/sounding_tones.h"

namespace romanesca {

/// A chord that the band has come to.
struct AskedChord {
  Chord chord;           ///< a bass that is not its root is asked for too
  int bar = 1;           ///< as people count
  double at_ms = 0;      ///< when it is due
  double length_ms = 0;  ///< until the next, as planned
};

/// What a student made of a chord.
struct ChordHeard {
  enum class Verdict {
    as_asked,
    other_bass,  ///< the chord, over another bass than was asked for
    with_more,   ///< the chord, with notes that are not of it
    part_of_it,  ///< only some of its notes, and no others
    another,     ///< other notes
    not_clear,   ///< notes were struck, and the microphone did not tell which
    nothing
  };
  AskedChord asked;
  Verdict verdict = Verdict::nothing;
  std::optional<ChordName> played;  ///< the name of what was played, where it has one
  std::vector<PitchClass> missing, foreign;
  double late_ms = 0;      ///< of the attack: negative before the chord was due
  bool held_over = false;  ///< nothing was struck: the fingers had it from before
  bool corrected = false;  ///< something else came first
};

/// Compares what a student plays with the chords of the band as they come. Chords may be rolled, broken or struck more
/// than once, by one hand or two; a chord may come a little before the band. Notes that only the pedal keeps from the
/// chord before do not count. It keeps no more than what belongs to the present chord.
///
/// Notes come from a keyboard (key_down, key_up, pedal) or from a microphone (tones_sound), which tells no octaves: a
/// bass that is asked for is then not looked at, and what is not sure is not held against the student.
class ChordListener {
 public:
  /// All of these are common practice without a source; ensembles keep together within some 30 to 50 ms (from memory),
  /// a student is given more.
  struct Settings {
    double gather_ms = 120;  ///< notes that belong to one attack are no further apart
    double ahead_ms = 150;   ///< how much before its time a chord may come, at most a quarter of its length
    double latency_ms = 0;   ///< that the keyboard takes; taken off every note
  };
  ChordListener(const Key& key, const Settings& settings) : key_(key), settings_(settings) {}
  explicit ChordListener(const Key& key) : ChordListener(key, Settings{}) {}

  /// The names are spelled for another key from now on.
  void change_key(const Key& key) { key_ = key; }
  /// Messages of the keyboard and chords come in the order of their times; a message may come up to a gathering time
  /// after a chord that it came before.
  void ask(const AskedChord& chord);
  void key_down(int midi, double at_ms) { note({at_ms - settings_.latency_ms, Kind::down, midi}); }
  void key_up(int midi, double at_ms) { note({at_ms - settings_.latency_ms, Kind::up, midi}); }
  void pedal(int value, double at_ms) { note({at_ms - settings_.latency_ms, Kind::pedal, value}); }
  /// A microphone looked at what sounds. An onset belongs to the chord in whose time it lies.
  void tones_sound(const TonesHeard& heard);
  /// Time goes on.
  void pass(double now_ms);
  /// The music stops: what was asked is judged by what has come.
  void stop(double now_ms);

  /// One for every chord whose time is over, in order.
  [[nodiscard]] const std::vector<ChordHeard>& heard() const noexcept { return heard_; }

 private:
  enum class Kind : std::uint8_t { down, up, pedal };
  struct Message {
    double at_ms;
    Kind kind;
    int value;
  };
  struct Attack {
    double at_ms = 0;       ///< of its first note
    std::vector<int> midi;  ///< what it sounds with: its notes and those held from before
    bool struck = true;
  };
  void note(const Message& message);
  void judge(double until_ms);
  [[nodiscard]] std::vector<Attack> attacks(double until_ms);
  void give_verdict(ChordHeard& heard, const std::vector<Attack>& attacks) const;
  void give_verdict_on_sound(ChordHeard& heard, double until_ms);
  [[nodiscard]] bool may_be_held_over(const ChordHeard& heard) const;
  [[nodiscard]] double begin_of(const AskedChord& chord) const;
  void play(const Message& message);

  Key key_;
  Settings settings_;
  std::deque<AskedChord> asked_;  ///< the present one, and one that has been asked for since
  std::deque<Message> messages_;  ///< not yet judged
  std::deque<TonesHeard> looks_;  ///< not yet judged
  bool by_sound_ = false;         ///< a microphone listens
  HeardNotes notes_;              ///< at the beginning of the present chord
  std::vector<ChordHeard> heard_;
};

}  // namespace romanesca
