#pragma once

#include <string>
#include <vector>

#include "cli/formats/paper/exercise_music.h"
#include "cli/formats/paper/keyboard_marks.h"
#include "cli/formats/paper/page_flow.h"

namespace romanesca {

/// The parts of an exercise's sheet, one under another. Which of them stand on a page, and in which order, is said by
/// whoever sets it.
class ExerciseSheet {
 public:
  /// @param name "A"; empty for one alone
  ExerciseSheet(PageFlow& flow, const Exercise& exercise, std::string name);

  /// Title, goal and facts at the head of a page. @param over what stands over the title; may be empty
  void head(const std::string& over = {});
  /// The same in one line, for an exercise that shares its page.
  void short_head();
  /// What the band plays: bars with chords, over a given melody in notes.
  void chords();
  /// Words at the left, what they speak of at the right.
  void steps();
  /// For each chord its notes, where the exercise uses them.
  void safe_notes();
  void hands();
  /// What is to be written down: an answer, or music on staves where it is composed.
  void answer();
  /// @param most staves that are drawn, of those that have room
  void staves_to_write_on(std::size_t most);
  void advice();

 private:
  enum class Picture { none, rhythm, notes };

  [[nodiscard]] double size(double points) const { return points * scale_; }
  [[nodiscard]] Picture picture_for(const std::string& step) const;
  void step(std::size_t number, const std::string& words, Picture picture);
  [[nodiscard]] double picture_height(Picture picture) const;
  void put_picture(Picture picture, double x, double y, double width);
  [[nodiscard]] KeyboardScale keys() const;
  void melody();
  void chord_over(const ChartChord& chord, double x, double baseline, double room);
  void heading(const std::string& words);

  PageFlow& flow_;
  const Exercise& exercise_;
  std::string name_;
  double scale_;
  ExerciseChart chart_;
  bool rhythm_shown_ = false, notes_shown_ = false;
};

}  // namespace romanesca
