#include "cli/formats/paper/page_flow.h"

#include <fmt/format.h>

#include <algorithm>

#include "cli/formats/paper/text_layout.h"

namespace romanesca {

void PageFlow::rule(double thickness) {
  marks().push_back({LineMark{left(), y_, right(), y_, thickness, Ink::text}, MarkKind::rule, 0});
}

void PageFlow::paragraph(double x, double width, const std::string& words, const TextStyle& style, double leading) {
  for (const std::string& line : lines_within(words, width, style.size, style.face)) {
    keep(leading);
    down(leading);
    text(x, line, style);
  }
}

void put_head(PageFlow& flow, const PageHead& head) {
  const double scale = flow.paper().scale();
  constexpr double value_column = 102;  // from the right edge
  constexpr double line = 13;
  double points = 25 * scale;
  const double room = PageFlow::block_width - (head.data.empty() ? 0 : value_column + 60);
  const double wide = text_width(head.title, points, Face::bold);
  constexpr double smallest = 14;
  if (wide > room) points = std::max(points * room / wide, smallest * scale);
  const double over_size = 10.5 * scale;
  flow.go_to(PageFlow::top + 30 * scale);
  if (!head.over.empty()) {
    flow.go_to(PageFlow::top - 5 * scale);
    flow.paragraph(flow.left(), room, head.over,
                   {over_size, Face::bold, Ink::accent, TextRole::heading, MarkKind::text}, 13.5 * scale);
    flow.down(29 * scale);
  }
  flow.text(flow.left(), shortened(head.title, room, points, Face::bold),
            {points, Face::bold, Ink::text, TextRole::title, MarkKind::text});
  double y = PageFlow::top + 9;
  const double x = flow.right() - value_column;
  for (const auto& [label, value] : head.data) {
    flow.marks().push_back(text_ending(x - 6, y, label, {8.5, Face::italic}));
    if (value.empty()) {
      flow.marks().push_back({LineMark{x, y + 1.5, flow.right(), y + 1.5, 0.5, Ink::text}, MarkKind::rule, 0});
    } else {
      flow.marks().push_back(text_at(x, y, shortened(value, value_column, 10, Face::roman), {10, Face::roman}));
    }
    y += line;
  }
  flow.down(17 * scale);
  double fact_size = 10 * scale;
  const auto facts_width = [&] {
    double width = -1.6 * fact_size;
    for (const std::string& fact : head.facts) width += text_width(fact, fact_size, Face::roman) + 1.6 * fact_size;
    return width;
  };
  if (const double wide_facts = facts_width(); wide_facts > PageFlow::block_width)
    fact_size *= PageFlow::block_width / wide_facts;
  double at = flow.left();
  for (const std::string& fact : head.facts) {
    flow.text(at, fact, {fact_size, Face::roman});
    at += text_width(fact, fact_size, Face::roman) + 1.6 * fact_size;
  }
  flow.down(9 * scale);
  flow.rule(1.2);
}

std::vector<std::pair<std::string, std::string>> data_of(const PaperSettings& paper) {
  std::vector<std::pair<std::string, std::string>> data;
  if (!paper.student.empty()) data.emplace_back(paper.words.student, paper.student);
  if (!paper.teacher.empty()) data.emplace_back(paper.words.teacher, paper.teacher);
  if (!paper.date.empty()) data.emplace_back(paper.words.date, paper.date);
  return data;
}

void put_feet(Drawing& drawing, std::size_t first, const std::string& words) {
  const std::size_t count = drawing.pages.size() - first;
  for (std::size_t i = 0; i < count; ++i) {
    Page& page = drawing.pages[first + i];
    const double left = (page.width - PageFlow::block_width) / 2;
    const double y = page.height - PageFlow::foot;
    const std::string number = fmt::format("{} / {}", i + 1, count);
    const double room = PageFlow::block_width - 40;
    if (i + 1 == count && !words.empty()) {
      page.marks.push_back(text_at(left, y, shortened(words, room, 8, Face::italic), {8, Face::italic}));
    }
    page.marks.push_back(text_ending(left + PageFlow::block_width, y, number, {8, Face::roman}));
  }
}

Drawing bound(const std::string& title, std::vector<Drawing> charts, const std::vector<std::string>& names,
              const PaperSettings& paper) {
  Drawing booklet;
  booklet.title = title;
  PageFlow flow(booklet, paper);
  booklet.pages.back().bookmark = "Contents";
  put_head(flow, {title, {}, data_of(paper)});
  const double scale = paper.scale();
  std::size_t page = 2;
  for (std::size_t i = 0; i < charts.size(); ++i) {
    flow.down(24 * scale);
    flow.text(flow.left(), sentence_with_signs(names[i]), {12 * scale, Face::roman});
    flow.marks().push_back(text_ending(flow.right(), flow.y(), std::to_string(page), {12 * scale, Face::roman}));
    page += charts[i].pages.size();
    booklet.description += names[i] + ": " + charts[i].description + " ";
  }
  for (std::size_t i = 0; i < charts.size(); ++i) {
    charts[i].pages.front().bookmark = names[i];
    for (Page& each : charts[i].pages) booklet.pages.push_back(std::move(each));
  }
  return booklet;
}

}  // namespace romanesca
