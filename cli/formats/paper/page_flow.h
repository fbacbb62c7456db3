#pragma once

#include <utility>

#include "cli/formats/paper/chart_drawing.h"

namespace romanesca {

inline constexpr double margin = 42;
inline constexpr double footer = 20;  ///< kept free for page numbers

/// Sets things one under another and begins a new page where they do not fit.
class PageFlow {
 public:
  PageFlow(Drawing& drawing, PaperSettings paper) : drawing_(drawing), paper_(std::move(paper)) { new_page(); }

  std::vector<Mark>& marks() { return drawing_.pages.back().marks; }
  [[nodiscard]] double y() const { return y_; }
  [[nodiscard]] double width() const { return paper_.width - 2 * margin; }
  /// Points left on this page.
  [[nodiscard]] double left() const { return paper_.height - margin - footer - y_; }
  void down(double points) { y_ += points; }
  /// Begins a new page unless so much room is left.
  void keep(double height) {
    if (y_ + height > paper_.height - margin - footer && y_ > margin) new_page();
  }

 private:
  void new_page() {
    drawing_.pages.push_back({paper_.width, paper_.height, {}, {}});
    y_ = margin;
  }

  Drawing& drawing_;
  PaperSettings paper_;
  double y_ = margin;
};

/// A chart of its own for each key, in one booklet with a page of contents before it.
[[nodiscard]] Drawing bound(const std::string& title, std::vector<Drawing> charts,
                            const std::vector<std::string>& names, const PaperSettings& paper);

}  // namespace romanesca
