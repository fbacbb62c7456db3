#pragma once

#include <deque>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "theory/chords/chord.h"
#include "theory/chords/key.h"
#include "theory/listening/heard_notes.h"
#include "theory/notes/meter.h"

namespace romanesca {

/// Whether a pulse of a bar, from 0, is a strong one: the first, and the middle of bars of four (common practice, no
/// source).
[[nodiscard]] bool is_strong(const Meter& meter, int pulse) noexcept;

/// What a note is to a chord: "root", "third", "fifth", "seventh", "ninth" ...; nothing for one that is not in it.
[[nodiscard]] std::optional<std::string> degree_in(const Chord& chord, PitchClass note);

/// Listens to a line that is improvised, and counts the chord tones that it lands on at strong beats. It does not
/// judge.
class LineListener {
 public:
  explicit LineListener(const Key& key) : key_(key) {}
  void change_key(const Key& key) { key_ = key; }

  /// A strong beat. @param chord that sounds; nothing for a rest
  void beat(double at_ms, const std::optional<Chord>& chord, int bar);
  void key_down(int midi, double at_ms);
  void key_up(int midi, double at_ms);
  void pass(double now_ms);

  [[nodiscard]] int notes() const noexcept { return notes_; }  ///< struck in all
  /// Sentences: "On strong beats the line landed on the third 6 times, the root 4 times."
  [[nodiscard]] std::vector<std::string> report() const;

 private:
  struct Beat {
    double at_ms;
    std::optional<Chord> chord;
    int bar;
    Key key;
  };
  struct Outside {
    std::string note, over;
    int bar;
  };
  struct Note {
    double at_ms;
    int midi;
  };
  void land(const Beat& beat);

  Key key_;
  std::deque<Beat> beats_;   ///< that are not over yet
  std::deque<Note> recent_;  ///< struck in the last second
  HeardNotes keys_;
  int notes_ = 0, rests_ = 0, of_scale_ = 0;
  std::map<std::string, int> degrees_;
  std::vector<Outside> outside_;
};

}  // namespace romanesca
