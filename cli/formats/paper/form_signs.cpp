#include "cli/formats/paper/form_signs.h"

#include <fmt/format.h>

#include <algorithm>

#include "cli/formats/paper/text_layout.h"

namespace romanesca {
namespace {

// Points, at usual size.
constexpr double bracket_rise = 12;  // of an ending's line
constexpr double hook = 9;
constexpr double line_width = 0.75;

bool has_sign(const ChartBar& bar) {
  return bar.in_ending || bar.doubtful || bar.tempo_bpm || bar.segno || bar.coda || !bar.after.empty();
}

/// The sign to which a player comes back, or from which to go on. @return x behind it
double put_place_sign(std::vector<Mark>& marks, const ChartBar& bar, double x, double y, double scale) {
  if (!bar.segno && !bar.coda) return x;
  const Glyph glyph = bar.segno ? Glyph::segno : Glyph::coda;
  const double space = 3.2 * scale;
  const GlyphShape& shape = shape_of(glyph);
  marks.push_back(
      {GlyphMark{glyph, x - shape.left * space, y - shape.bottom * space, space, Ink::text}, MarkKind::text, 0});
  return x + shape.width() * space + 5 * scale;
}

void put_bracket(std::vector<Mark>& marks, double from, double to, double y, const ChartBar& first, bool closes,
                 double scale) {
  const int group = next_group(marks);
  const auto line = [&](double x1, double y1, double x2, double y2) {
    marks.push_back({LineMark{x1, y1, x2, y2, line_width, Ink::text}, MarkKind::ending, group});
  };
  line(from, y, to, y);
  const double top = y - line_width / 2;
  if (closes) line(to, top, to, y + hook * scale);
  if (first.ending.empty()) return;  // goes on from the line before
  line(from, top, from, y + hook * scale);
  marks.push_back(text_at(from + 3.5 * scale, y + hook * scale, first.ending, {9 * scale, Face::bold}));
  marks.back().group = group;
}

}  // namespace

double form_signs_height(std::span<const ChartBar> bars) {
  return std::any_of(bars.begin(), bars.end(), has_sign) ? bracket_rise + 3 : 0;
}

void put_form_signs(std::vector<Mark>& marks, std::span<const ChartBar> bars, const std::vector<double>& edges,
                    double y, double scale) {
  for (std::size_t i = 0; i < bars.size(); ++i) {
    const ChartBar& bar = bars[i];
    const double baseline = y - 4 * scale;
    // Beside the number of an ending, if there is one.
    const double left = edges[i] + (bar.ending.empty() ? 2 : 24) * scale;
    double signs_end = put_place_sign(marks, bar, left, baseline + scale, scale);
    if (bar.tempo_bpm) {
      const std::string tempo = fmt::format("\u2669 = {}", *bar.tempo_bpm);
      marks.push_back(text_at(signs_end, baseline, tempo, {9.5 * scale, Face::bold}));
      signs_end += text_width(tempo, 9.5 * scale, Face::bold);
    }
    if (bar.doubtful) marks.push_back(text_at(signs_end + 6 * scale, baseline, "?", {11 * scale, Face::bold}));
    if (!bar.after.empty()) {
      marks.push_back(text_ending(edges[i + 1] - 6 * scale, baseline, bar.after, {9 * scale, Face::italic}));
    }
    const bool begins = !bar.ending.empty() || (i == 0 && bar.in_ending);
    if (!begins) continue;
    std::size_t end = i;
    while (!bars[end].ending_closes && end + 1 < bars.size() && bars[end + 1].in_ending && bars[end + 1].ending.empty())
      ++end;
    put_bracket(marks, edges[i] + 1.5 * scale, edges[end + 1] - 3 * scale, y - bracket_rise * scale, bar,
                bars[end].ending_closes, scale);
  }
}

void put_recall(PageFlow& flow, const ChartBar& bar, double scale) {
  const double name_size = 11.5 * scale;
  flow.keep(30 * scale);
  flow.down(20 * scale);
  flow.text(flow.left(), bar.section, {name_size, Face::bold, Ink::accent, TextRole::heading, MarkKind::text});
  const double x = flow.left() + text_width(bar.section, name_size, Face::bold) + 10 * scale;
  flow.text(x, bar.remark, {9.5 * scale, Face::italic});
  flow.down(8 * scale);
}

}  // namespace romanesca
