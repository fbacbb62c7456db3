#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "cli/formats/engraving/marks.h"
#include "theory/chords/chord.h"
#include "theory/chords/note_names.h"

namespace romanesca {

/// Chord symbols and numerals as they are set in print: roots on one line with real flats and sharps, figures raised,
/// two figures of an inversion or two alterations one over the other. Sizes are those of the root or numeral, in
/// points.
///
/// Proportions are our own, near those of printed songbooks and harmony textbooks (common practice, no source).
class Lettering {
 public:
  /// @param size of the root or numeral
  static Lettering chord(const Chord& chord, double size, NoteNames names = NoteNames::english, Ink ink = Ink::text);
  /// A numeral as to_string writes it: "V65/V", "viio7", "bVII", "IVmaj7".
  static Lettering numeral(const std::string& numeral, double size, Ink ink = Ink::text);
  /// Any other text in the place of a chord: "N.C."
  static Lettering words(const std::string& text, double size, Ink ink = Ink::text);

  [[nodiscard]] double width() const { return width_; }
  /// Puts it from @p x on. All its parts are one group. @param group 0 for one of its own
  void put(std::vector<Mark>& marks, double x, double baseline, int group = 0) const;

 private:
  void add(const std::string& text, double size, double raised, Face face);
  /// Two texts over each other; the line goes on behind the longer one.
  void stack(const std::string& upper, const std::string& lower, double size, double upper_rise, double lower_rise,
             Face face);
  void add_suffix(std::string_view suffix, double size);
  void add_numeral(std::string_view text, double size);
  void add_figures(const std::string& figures, double size);

  struct Part {
    std::string text;
    double x = 0, raised = 0, size = 0;
    Face face = Face::bold;
  };
  std::vector<Part> parts_;
  double width_ = 0;
  Ink ink_ = Ink::text;
  TextRole role_ = TextRole::chord;
  MarkKind kind_ = MarkKind::chord;
};

}  // namespace romanesca
