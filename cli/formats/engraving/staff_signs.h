#pragma once

#include <vector>

#include "cli/formats/engraving/marks.h"
#include "cli/formats/engraving/staff_content.h"

namespace romanesca {

// Signs that stand on staves by themselves. Lengths are points; @c space is the distance of two lines, @c top the y of
// the highest line.

/// Five lines, or the one of a rhythm staff.
void put_staff_lines(std::vector<Mark>& marks, double x, double width, double top, double space, Clef clef);

/// A clef with its left edge at x. @return its width; 0 for a rhythm staff
double put_clef(std::vector<Mark>& marks, double x, double top, double space, Clef clef);
[[nodiscard]] double clef_width(Clef clef, double space);

/// The sharps or flats of a key. @return their width; 0 for none
double put_signature(std::vector<Mark>& marks, double x, double top, double space, Clef clef, const Key& key);
[[nodiscard]] double signature_width(const Key& key, double space);

/// Two numbers over each other. @return their width
double put_meter(std::vector<Mark>& marks, double x, double top, double space, const Meter& meter);
[[nodiscard]] double meter_width(const Meter& meter, double space);

/// A number in the music font's figures. @param height of a figure
void put_number(std::vector<Mark>& marks, double centre, double baseline, double height, int number, MarkKind kind,
                int group);
[[nodiscard]] double number_width(int number, double height);

/// A bar line from @p top to @p bottom with its left edge at x; @p dots are the y of repeat dots. @return its width
double put_bar_line(std::vector<Mark>& marks, double x, double top, double bottom, double space, BarLine line,
                    const std::vector<double>& dots);
[[nodiscard]] double bar_line_width(BarLine line, double space);

}  // namespace romanesca
