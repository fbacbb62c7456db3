#include "cli/formats/paper/chart_hands.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "cli/formats/paper/chord_lettering.h"
#include "cli/formats/paper/text_layout.h"

namespace romanesca {
namespace {

constexpr double name_size = 11.5;
constexpr double name_height = 11;  // down to the room of the fingers
constexpr double narrowest_key = 6.5;
constexpr double widest_key = 13;

std::string notes_of(const HandsChord& chord) {
  std::string names = "L";
  for (const Pitch& note : chord.left) names += " " + to_string(note);
  names += " R";
  for (const Pitch& note : chord.right) names += " " + to_string(note);
  return names;
}

/// "bars 1, 5, 9": all, or as many as fit in the width.
std::string bars_text(const std::vector<int>& bars, double width, double size, const PaperWords& words) {
  std::string text = fmt::format("{} ", bars.size() == 1 ? words.bar : words.bars);
  for (std::size_t i = 0; i < bars.size(); ++i) {
    const std::string longer = text + (i > 0 ? ", " : "") + std::to_string(bars[i]);
    const std::string ended = i + 1 < bars.size() ? longer + " \u2026" : longer;
    if (i > 0 && text_width(ended, size, Face::italic) > width) return text + " \u2026";
    text = longer;
  }
  return text;
}

Lettering name_of(const ChartShape& shape, double size) {
  return shape.name.empty() ? Lettering::chord(shape.chord, size, shape.names) : Lettering::words(shape.name, size);
}

}  // namespace

std::vector<ChartShape> chart_shapes(const Placement& placed, const Hands& hands, const std::vector<std::size_t>& open,
                                     const std::vector<int>& numbers) {
  std::vector<ChartShape> result;
  std::map<std::string, std::size_t> places;
  for (std::size_t i = 0; i < hands.chords.size(); ++i) {
    const TimedChord& timed = placed.analysis.chords[i].timed;
    if (!timed.chord || timed.held || std::binary_search(open.begin(), open.end(), i)) continue;
    const int number = numbers[static_cast<std::size_t>(timed.bar) - 1];
    if (number == 0) continue;  // a repeat, which paper does not show
    const std::string name = to_string(*timed.chord) + " " + notes_of(hands.chords[i]);
    const auto [place, is_new] = places.try_emplace(name, result.size());
    if (is_new) result.push_back({*timed.chord, &hands.chords[i], {}, {}, {}, placed.progression.names});
    std::vector<int>& bars = result[place->second].bars;
    if (bars.empty() || bars.back() != number) bars.push_back(number);
  }
  return result;
}

HandsGrid::HandsGrid(const PageFlow& flow, std::vector<ChartShape> shapes, double room)
    : shapes_(std::move(shapes)), size_(flow.paper().scale()) {
  gap_ *= size_;
  std::vector<const HandsChord*> hands;
  double widest_name = 0;
  for (const ChartShape& shape : shapes_) {
    hands.push_back(shape.hands);
    widest_name = std::max(widest_name, name_of(shape, name_size * size_).width() + 40 * size_);
  }
  scale_ = KeyboardScale::around(hands, false);
  scale_.figure = 8 * size_;
  const auto key_for = [&](std::size_t columns) {
    const double width =
        (PageFlow::block_width - gap_ * static_cast<double>(columns - 1)) / static_cast<double>(columns);
    return std::min(width / scale_.white_keys(), widest_key * size_);
  };
  // As many as keep the keys wide enough; fewer and larger ones where they have room.
  columns_ = 4;
  while (columns_ > 1 && (key_for(columns_) < narrowest_key * size_ ||
                          (PageFlow::block_width / static_cast<double>(columns_)) < widest_name + gap_)) {
    --columns_;
  }
  const std::size_t most = columns_;
  for (columns_ = std::min<std::size_t>(most, flow.paper().large ? 1 : 2); columns_ < most; ++columns_) {
    scale_.key = key_for(columns_);
    if (height() <= room) return;
  }
  scale_.key = key_for(columns_);
}

double HandsGrid::row_height() const {
  return name_height * size_ + scale_.above() + scale_.height() + scale_.below() + 3 * size_;
}

double HandsGrid::height() const {
  const std::size_t rows = (shapes_.size() + columns_ - 1) / columns_;
  return static_cast<double>(rows) * row_height();
}

void HandsGrid::put(PageFlow& flow) const {
  const double step = (PageFlow::block_width + gap_) / static_cast<double>(columns_);
  for (std::size_t i = 0; i < shapes_.size(); ++i) {
    const std::size_t column = i % columns_;
    if (column == 0) flow.keep(row_height());
    put_shape(flow, flow.left() + static_cast<double>(column) * step, shapes_[i]);
    if (column + 1 == columns_ || i + 1 == shapes_.size()) flow.down(row_height());
  }
}

void HandsGrid::put_shape(PageFlow& flow, double x, const ChartShape& shape) const {
  const double size = name_size * size_;
  const double baseline = flow.y() + 0.8 * size;
  const Lettering name = name_of(shape, size);
  name.put(flow.marks(), x, baseline);
  const double room = scale_.width() - name.width() - 8 * size_;
  const std::string caption = shape.bars.empty()
                                  ? shortened(shape.caption, std::max(room, 20.0), 8 * size_, Face::italic)
                                  : bars_text(shape.bars, room, 8 * size_, flow.paper().words);
  flow.marks().push_back(text_ending(x + std::max(scale_.width(), name.width() + 40 * size_), baseline, caption,
                                     {8 * size_, Face::italic}));
  add_keyboard(flow.marks(), x, flow.y() + name_height * size_ + scale_.above(), scale_, *shape.hands);
}

void put_hands(PageFlow& flow, std::vector<ChartShape> shapes, double kept_free) {
  if (shapes.empty()) return;
  const double scale = flow.paper().scale();
  const double heading = 29 * scale;
  const HandsGrid grid(flow, std::move(shapes), flow.room() - heading - kept_free);
  flow.keep(heading + 80 * scale);
  flow.down(18 * scale);
  const PaperWords& words = flow.paper().words;
  flow.text(flow.left(), words.hands, {12.5 * scale, Face::bold, Ink::accent, TextRole::heading, MarkKind::text});
  const double legend = 8.5 * std::min(scale, 1.2);
  add_hands_legend(flow.marks(), flow.left() + 68 * scale, flow.y(), legend, words);
  flow.down(9 * scale);
  grid.put(flow);
}

}  // namespace romanesca
