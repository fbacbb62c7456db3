#pragma once

#include <initializer_list>
#include <string>
#include <utility>
#include <vector>

#include "cli/formats/engraving/marks.h"
#include "cli/formats/paper/paper_settings.h"
#include "cli/formats/paper/text_layout.h"

namespace romanesca {

/// Sets things one under another in the text block and begins a new page where they do not fit. Lengths are points.
class PageFlow {
 public:
  static constexpr double block_width = 505;  ///< the same on A4 and Letter, centred
  static constexpr double top = 34;           ///< where ink begins
  static constexpr double bottom = 44;        ///< kept free under the content, for the foot
  static constexpr double foot = 30;          ///< from the page's end up to the baseline of the foot

  PageFlow(Drawing& drawing, PaperSettings paper) : drawing_(&drawing), paper_(std::move(paper)) { new_page(); }

  std::vector<Mark>& marks() { return drawing_->pages.back().marks; }
  [[nodiscard]] double y() const { return y_; }
  [[nodiscard]] double left() const { return (paper_.width - block_width) / 2; }
  [[nodiscard]] double right() const { return left() + block_width; }
  /// Room left on this page.
  [[nodiscard]] double room() const { return paper_.height - bottom - y_; }
  /// All the room of a page.
  [[nodiscard]] double whole_page() const { return paper_.height - bottom - top; }
  [[nodiscard]] const PaperSettings& paper() const { return paper_; }
  void down(double points) { y_ += points; }
  void go_to(double y) { y_ = y; }
  /// Begins a new page unless so much room is left. @return whether it did
  bool keep(double height) {
    if (height <= room() || y_ <= top) return false;
    new_page();
    return true;
  }
  /// A rule over the whole width, here.
  void rule(double thickness);
  /// A text from the left edge of the block, here.
  void text(double x, const std::string& words, const TextStyle& style) {
    marks().push_back(text_at(x, y_, words, style));
  }
  /// A text broken into lines from here down, @p leading points apart; the first baseline is that far below.
  void paragraph(double x, double width, const std::string& words, const TextStyle& style, double leading);

 private:
  void new_page() {
    drawing_->pages.push_back({paper_.width, paper_.height, {}, {}});
    y_ = top;
  }

  Drawing* drawing_;
  PaperSettings paper_;
  double y_ = top;
};

/// What stands at the head of a page.
struct PageHead {
  std::string title;
  std::vector<std::string> facts;  ///< key, meter, tempo, manner
  /// Label and value, at the right; an empty value is a line to write on.
  std::vector<std::pair<std::string, std::string>> data;
  std::string over{};  ///< over the title; empty for nothing
};

/// Sets it at the top of the page, with a rule under it.
void put_head(PageFlow& flow, const PageHead& head);

/// Student, teacher and date as far as the settings name them.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> data_of(const PaperSettings& paper);

/// The paper with the first of the zooms, in their order, for which @p pages counts the fewest pages.
template <typename Count>
[[nodiscard]] PaperSettings fitted(PaperSettings paper, std::initializer_list<double> zooms, Count pages) {
  PaperSettings best = paper;
  std::size_t fewest = 0;
  for (const double zoom : zooms) {
    paper.zoom = zoom;
    const std::size_t count = pages(paper);
    if (fewest == 0 || count < fewest) {
      best = paper;
      fewest = count;
    }
    if (fewest == 1) break;
  }
  return best;
}

/// A line at the foot of the pages from @p first on, and their numbers: "2 / 3".
void put_feet(Drawing& drawing, std::size_t first, const std::string& words);

/// A chart of its own for each key, in one booklet with a page of contents before it.
[[nodiscard]] Drawing bound(const std::string& title, std::vector<Drawing> charts,
                            const std::vector<std::string>& names, const PaperSettings& paper);

}  // namespace romanesca
