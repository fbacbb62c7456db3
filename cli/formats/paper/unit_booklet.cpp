#include "cli/formats/paper/unit_booklet.h"

#include <fmt/format.h>

#include <iterator>

#include "cli/formats/paper/exercise_answers.h"
#include "cli/formats/paper/exercise_drawing.h"
#include "cli/formats/paper/page_flow.h"
#include "cli/formats/paper/text_layout.h"

namespace romanesca {
namespace {

/// The first page, or the first ones in large print.
class UnitCover {
 public:
  UnitCover(Drawing& drawing, const Unit& unit, std::span<const Exercise> sheets, const PaperSettings& paper)
      : unit_(unit), sheets_(sheets), weeks_(weeks_of_sheets(unit)), flow_(drawing, paper), scale_(paper.scale()) {}

  /// @param pages on which the sheets begin
  void set(std::span<const std::size_t> pages) {
    put_head(flow_, {unit_.title, {unit_.whom}, {}});
    flow_.down(size(6));
    flow_.paragraph(flow_.left(), PageFlow::block_width, sentence_with_signs(unit_.says), {size(13), Face::italic},
                    size(17));
    line_to_write_on("This book belongs to", flow_.left(), 300);
    line_to_write_on("begun on", flow_.left() + 320, PageFlow::block_width - 320);
    flow_.down(size(14));
    heading("At the end I can");
    for (const std::string& each : unit_.learnt) learnt(each);
    heading(fmt::format("{} weeks, level {}", unit_.weeks.size(), unit_.level));
    for (std::size_t week = 1; week <= unit_.weeks.size(); ++week) put_week(static_cast<int>(week), pages);
  }

 private:
  [[nodiscard]] double size(double points) const { return points * scale_; }

  void heading(const std::string& words) {
    flow_.keep(size(60));
    flow_.down(size(26));
    flow_.text(flow_.left(), words, {size(13), Face::bold, Ink::accent, TextRole::heading, MarkKind::text});
    flow_.down(size(4));
  }

  /// The second one on a line begins where the first one did.
  void line_to_write_on(const std::string& label, double x, double width) {
    if (x == flow_.left()) flow_.down(size(36));
    const double wide = text_width(label, size(11), Face::roman) + 8;
    flow_.text(x, label, {size(11), Face::roman});
    flow_.marks().push_back(
        {LineMark{x + wide, flow_.y() + 2, x + width, flow_.y() + 2, 0.7, Ink::text}, MarkKind::rule, 0});
  }

  /// With a box to tick.
  void learnt(const std::string& words) {
    const double indent = size(24);
    const std::vector<std::string> lines =
        lines_within(sentence_with_signs(words), PageFlow::block_width - indent, size(12), Face::roman);
    flow_.keep(static_cast<double>(lines.size()) * size(16) + size(4));
    flow_.down(size(4));
    for (const std::string& line : lines) {
      flow_.down(size(16));
      if (&line == &lines.front()) {
        flow_.marks().push_back(
            {BoxMark{{flow_.left(), flow_.y() - size(9.5), size(11), size(11)}, Ink::paper, Ink::text, 0.8},
             MarkKind::box, 0});
      }
      flow_.text(flow_.left() + indent, line, {size(12), Face::roman});
    }
  }

  void put_week(int week, std::span<const std::size_t> pages) {
    std::string titles;
    std::size_t page = 0;
    for (std::size_t i = 0; i < sheets_.size(); ++i) {
      if (weeks_[i] != week) continue;
      if (titles.empty()) page = pages[i];
      titles += (titles.empty() ? "" : "; ") + sheets_[i].title;
    }
    const double x = flow_.left() + size(54);
    const double room = PageFlow::block_width - size(90);
    flow_.keep(size(64));
    flow_.down(size(5));
    const double top = flow_.y() + size(15);
    const Unit::Week& about = unit_.weeks[static_cast<std::size_t>(week) - 1];
    flow_.marks().push_back(text_at(flow_.left(), top, fmt::format("Week {}", week), {size(11.5), Face::bold}));
    flow_.paragraph(x, room, about.about, {size(12), Face::roman}, size(15));
    flow_.marks().push_back(text_ending(flow_.right(), top, std::to_string(page), {size(12), Face::roman}));
    flow_.paragraph(x, room, sentence_with_signs(fmt::format("{}: {}", to_string(about.key), titles)),
                    {size(10), Face::italic}, size(13));
  }

  const Unit& unit_;
  std::span<const Exercise> sheets_;
  std::vector<int> weeks_;
  PageFlow flow_;
  double scale_;
};

/// As large as fits on one page.
Drawing cover_of(const Unit& unit, std::span<const Exercise> sheets, std::span<const std::size_t> pages,
                 const PaperSettings& paper) {
  Drawing cover;
  const auto set = [&](const PaperSettings& settings) {
    cover.pages.clear();
    UnitCover(cover, unit, sheets, settings).set(pages);
    return cover.pages.size();
  };
  set(fitted(paper, {1.25, 1.15, 1.0, 0.9, 0.8}, set));
  cover.pages.front().bookmark = unit.title;
  return cover;
}

}  // namespace

Drawing unit_booklet(const Unit& unit, std::span<const Exercise> sheets, bool answers, const PaperSettings& paper) {
  const std::vector<int> weeks = weeks_of_sheets(unit);
  Drawing inside;
  std::vector<std::size_t> pages;
  std::vector<std::string> names;
  std::string description = unit.whom + ". " + unit.says + " ";
  for (std::size_t i = 0; i < sheets.size(); ++i) {
    const std::string heading = week_heading(unit, weeks[i]);
    const bool begins = i == 0 || weeks[i] != weeks[i - 1];
    pages.push_back(inside.pages.size());
    names.push_back(fmt::format("Week {}", weeks[i]));
    add_exercise_sheet(inside, sheets[i], "", heading, paper);
    inside.pages[pages.back()].bookmark = begins ? heading : sheets[i].title;
    if (begins) description += heading + ". ";
    description += sheets[i].title + ". " + sheets[i].goal + " ";
    for (const std::string& step : sheets[i].steps) description += step + " ";
  }
  if (answers) add_answer_page(inside, sheets, names, paper);

  const std::size_t before = cover_of(unit, sheets, pages, paper).pages.size();
  for (std::size_t& page : pages) page += before + 1;
  Drawing booklet = cover_of(unit, sheets, pages, paper);
  booklet.title = unit.title;
  booklet.description = std::move(description);
  std::move(inside.pages.begin(), inside.pages.end(), std::back_inserter(booklet.pages));
  put_feet(booklet, 0, "");
  return booklet;
}

}  // namespace romanesca
