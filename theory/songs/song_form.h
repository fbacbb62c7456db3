#pragma once

#include <string>
#include <vector>

#include "theory/songs/printed_form.h"
#include "theory/songs/progression.h"

namespace romanesca {

/// A bar as written, with the signs of the form at it.
struct WrittenBar {
  std::vector<Slot> slots;
  BarNotes tune{};
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
  SongChange counts;               ///< the meter, key and tempo that count in it; not those of its section alone
  BarNotes upbeat{};               ///< as Row::upbeat
};

struct WrittenSection {
  std::string name;
  int line = 0;  ///< of its heading
  std::vector<WrittenRow> rows;
  int times = 1;
  bool has_times = false;             ///< stated
  std::string recalls;                ///< the section whose chords these are; empty where it has its own
  bool own_words = false;             ///< under the chords of another
  std::optional<KeyText> stated_key;  ///< under its heading
  bool moved = false;                 ///< to the stated key, from that of the section that it recalls
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

/// A form as played, and as it stands on paper.
struct PlayedForm {
  std::vector<PlayedSection> sections;
  PrintedForm printed;
  int too_long_at = 0;  ///< the line of the section at which there were more than most_bars_played; 0 for none
};

/// Plays the form out: repeats, endings, numbers of times, "D.C." and "D.S.".
/// @param first what counts in the song's first bar
[[nodiscard]] PlayedForm played_out(const std::vector<WrittenSection>& sections, const SongChange& first);

}  // namespace romanesca
