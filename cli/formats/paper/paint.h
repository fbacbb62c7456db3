#pragma once

#include <string>
#include <vector>

#include "cli/formats/engraving/marks.h"

namespace romanesca {

/// The drawing as a PDF file: a page each, with title, tags for headings and paragraphs, and bookmarks.
[[nodiscard]] std::string paint_pdf(const Drawing& drawing);

/// The pages one below another as a picture, @p scale pixels to a point. Throws Failure (wrong_input) for more pages
/// than a picture can be tall.
[[nodiscard]] std::string paint_png(const Drawing& drawing, double scale = 2);

/// The pages one below another as SVG: text as text, with title and description.
[[nodiscard]] std::string paint_svg(const Drawing& drawing);

/// Each page as an SVG by itself, for a document that brings paper and margins: cut to the text block, with its ink.
[[nodiscard]] std::vector<std::string> paint_svg_pages(const Drawing& drawing);

/// The drawing in the format of a file's ending: "pdf", "svg" or "png".
[[nodiscard]] inline std::string painted(const Drawing& drawing, const std::string& ending) {
  if (ending == "pdf") return paint_pdf(drawing);
  return ending == "svg" ? paint_svg(drawing) : paint_png(drawing);
}

}  // namespace romanesca
