#include "cli/formats/paper/page_flow.h"

#include <fmt/format.h>

#include "cli/formats/paper/text_layout.h"

namespace romanesca {

Drawing bound(const std::string& title, std::vector<Drawing> charts, const std::vector<std::string>& names,
              const PaperSettings& paper) {
  Drawing booklet;
  booklet.title = title;
  Page contents{paper.width, paper.height, {}, "Contents"};
  double y = margin + 20;
  const double scale = paper.large ? 1.5 : 1.0;
  contents.marks.emplace_back(text_at(margin, y, title, 22 * scale, Weight::bold, Ink::text, TextRole::title));
  y += 12 * scale;
  contents.marks.emplace_back(LineMark{margin, y, paper.width - margin, y, 1.6, Ink::accent});
  std::size_t page = 2;
  for (std::size_t i = 0; i < charts.size(); ++i) {
    y += 24 * scale;
    contents.marks.emplace_back(text_at(margin, y, names[i], 12 * scale, Weight::regular, Ink::text, TextRole::note));
    contents.marks.emplace_back(text_centred(paper.width - margin - 12 * scale, y, std::to_string(page), 12 * scale,
                                             Weight::regular, Ink::quiet, TextRole::note));
    page += charts[i].pages.size();
    booklet.description += names[i] + ": " + charts[i].description + " ";
  }
  booklet.pages.push_back(std::move(contents));
  for (std::size_t i = 0; i < charts.size(); ++i) {
    charts[i].pages.front().bookmark = names[i];
    for (Page& each : charts[i].pages) booklet.pages.push_back(std::move(each));
  }
  return booklet;
}

}  // namespace romanesca
