#pragma once

#include <string>
#include <vector>

#include "theory/songs/progression.h"

namespace romanesca {

/// A bar as written, with the signs of the form at it.
struct WrittenBar {
  std::vector<Slot> slots;
  bool opens = false;          ///< "|:" before it
  int closes = 0;              ///< ":|" after it: how many times the part is played in all
  int ending = 0;              ///< the first bar of an ending: for how many passes it is
  bool fine = false;           ///< "Fine" after it
  bool to_coda = false;        ///< "To Coda" after it
  bool segno = false;          ///< the sign before it
  bool only_repeated = false;  ///< a pass that "D.C." leaves out
};

/// A line of bars, and the words under it.
struct WrittenRow {
  std::vector<WrittenBar> bars;
  std::string comment;
  std::vector<std::string> words;  ///< as Row::words
};

/// Where a player goes on after a section.
enum class Jump { none, da_capo, da_capo_al_fine, da_capo_al_coda, dal_segno, dal_segno_al_fine, dal_segno_al_coda };

struct WrittenSection {
  std::string name;
  int line = 0;  ///< of its heading
  std::vector<WrittenRow> rows;
  int times = 1;
  bool has_times = false;  ///< stated
  std::string recalls;     ///< the section whose chords these are; empty where it has its own
  std::optional<double> tempo_bpm;
  Jump jump = Jump::none;  ///< after it
};

/// A section as played.
struct PlayedSection {
  std::size_t written = 0;  ///< index of the section as written
  int times = 1;
  std::vector<Row> rows;
};

/// How many bars a song may have when it is played out.
inline constexpr std::size_t most_bars_played = 100'000;
/// And how many chords, holds and rests.
inline constexpr std::size_t most_chords_played = 200'000;

/// Plays the form out: repeats, endings, numbers of times, "D.C." and "D.S.". @return the number of the section's line
/// at which there were more than most_bars_played, as the second; 0 for none.
[[nodiscard]] std::pair<std::vector<PlayedSection>, int> played_out(const std::vector<WrittenSection>& sections);

}  // namespace romanesca
