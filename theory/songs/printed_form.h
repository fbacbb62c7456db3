#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace romanesca {

struct Progression;

/// Where a player goes on after a section.
enum class Jump { none, da_capo, da_capo_al_fine, da_capo_al_coda, dal_segno, dal_segno_al_fine, dal_segno_al_coda };
/// "D.C. al Fine"; empty for none.
[[nodiscard]] std::string_view to_string(Jump jump);

/// A bar as it stands on paper, with the signs at it.
struct PrintedBar {
  int bar = 1;               ///< of the song as played, from 1: where it is played first
  bool begins_row = false;   ///< in the text that it was read from
  bool opens = false;        ///< "|:" before it
  int closes = 0;            ///< ":|" after it: how often the part is played in all, 2 and up; 0 for none
  int ending = 0;            ///< the first bar of an ending: of its first pass, from 1; 0 for none
  int ending_to = 0;         ///< of its last pass
  bool ending_ends = false;  ///< the last bar of an ending
  bool segno = false;        ///< the sign before it
  bool coda = false;         ///< the coda begins with it
  bool fine = false;         ///< "Fine" after it
  bool to_coda = false;      ///< "To Coda" after it
};

/// A section as it stands on paper.
struct PrintedSection {
  std::string name;
  std::size_t section = 0;  ///< index into Progression::sections: where it is played first
  std::string same_as;      ///< it has the chords of the section of this name; empty where it has its own
  bool has_words = false;   ///< of its own, under the chords of another section
  bool moved = false;       ///< in another key than the section that it is like
  int times = 1;            ///< played so often, where its bars have no sign for it
  std::vector<PrintedBar> bars;
  Jump jump = Jump::none;  ///< after it

  /// Its name alone tells a player all.
  [[nodiscard]] bool is_recall() const { return !same_as.empty() && !has_words && !moved; }
};

/// A song as it stands on paper: every bar once, with the signs that say how it is played. Chords, words, keys and
/// meters are those of the bars as played.
struct PrintedForm {
  std::vector<PrintedSection> sections;
  int bars_played = 0;

  /// How many bars stand on paper where sections that are recalled by name are not written out.
  [[nodiscard]] int bars() const;
  /// No sign tells more than the bars themselves.
  [[nodiscard]] bool is_plain() const;
};

/// For each bar as played, from the first on, whether it stands on paper there: repeats and recalled sections do not.
[[nodiscard]] std::vector<bool> bars_on_paper(const PrintedForm& form);

/// The form that the progression keeps, or, where it keeps none that fits its bars, each of them once.
[[nodiscard]] PrintedForm printed_form(const Progression& progression);

}  // namespace romanesca
