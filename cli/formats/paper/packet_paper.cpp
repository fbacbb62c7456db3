#include "cli/formats/paper/packet_paper.h"

#include <algorithm>
#include <array>

#include "cli/formats/paper/chart_drawing.h"
#include "cli/formats/paper/chart_form.h"
#include "cli/formats/paper/chart_hands.h"
#include "cli/formats/paper/chart_rows.h"
#include "cli/formats/paper/exercise_sheet.h"
#include "cli/formats/paper/lead_sheet.h"
#include "cli/formats/paper/page_flow.h"
#include "cli/formats/paper/paint.h"
#include "cli/formats/paper/text_layout.h"
#include "theory/songs/paper_tune.h"
#include "theory/songs/song_tune.h"

namespace romanesca {
namespace {

/// Headings of days that can be ticked, Monday first.
constexpr std::array<const char*, 7> weekdays{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};

class PacketSetter {
 public:
  PacketSetter(Drawing& drawing, const Packet& packet, const PaperSettings& paper)
      : packet_(packet), flow_(drawing, paper), scale_(paper.scale()) {}

  void set() {
    head();
    for (const std::string& text : packet_.greeting) paragraph(text, 11.5, 15.5);
    part("While you were away", packet_.missed);
    part("Day by day", packet_.days);
    ticks();
    if (!packet_.exercise) {
      chart();
      return;
    }
    ExerciseSheet sheet(flow_, *packet_.exercise, "");
    sheet.short_head();
    if (packet_.exercise->family != ExerciseFamily::ear) sheet.chords();
    sheet.steps();
    sheet.safe_notes();
    sheet.answer();
    if (!packet_.exercise->shapes.empty()) {
      sheet.hands();
    } else {
      hands();
    }
    sheet.advice();
    sheet.staves_to_write_on(packet_.exercise->answer ? 0 : 2);
  }

 private:
  [[nodiscard]] double size(double points) const { return points * scale_; }

  void head() {
    PageHead head;
    head.title = packet_.title;
    if (!packet_.song_title.empty()) head.facts.push_back(packet_.song_title);
    for (const std::string& fact : chart_facts(packet_.placed.progression, packet_.placed.key))
      head.facts.push_back(fact);
    head.data = {{"teacher", flow_.paper().teacher}, {"week of", flow_.paper().date}, {"next lesson", ""}};
    put_head(flow_, head);
    flow_.down(size(4));
  }

  void paragraph(const std::string& text, double points, double leading) {
    flow_.paragraph(flow_.left(), PageFlow::block_width, sentence_with_signs(text), {size(points), Face::roman},
                    size(leading));
  }

  void part(const std::string& heading, const std::vector<std::string>& texts) {
    if (texts.empty()) return;
    flow_.keep(size(44));
    flow_.down(size(19));
    flow_.text(flow_.left(), heading, {size(11.5), Face::bold, Ink::accent, TextRole::heading, MarkKind::text});
    for (const std::string& text : texts) paragraph(text, 11, 14.5);
  }

  /// A box to tick for every day of the week.
  void ticks() {
    constexpr double column = 36;
    constexpr double box = 12;
    flow_.keep(size(40));
    flow_.down(size(22));
    const double first = flow_.right() - 6 * size(column) - size(box);
    flow_.text(flow_.left(), "I played on", {size(11), Face::roman});
    for (std::size_t day = 0; day < weekdays.size(); ++day) {
      const double x = first + static_cast<double>(day) * size(column);
      flow_.marks().push_back(
          {BoxMark{{x, flow_.y() - size(10), size(box), size(box)}, Ink::paper, Ink::text, 0.8}, MarkKind::box, 0});
      flow_.marks().push_back(
          text_centred(x + size(box) / 2, flow_.y() - size(13), weekdays[day], {size(8.5), Face::italic}));
    }
    flow_.down(size(8));
  }

  void chart() {
    flow_.down(size(6));
    flow_.rule(0.5);
    flow_.down(size(16));
    ChartRowSetter(flow_, packet_.placed, chart_bars(packet_.placed, packet_.hands, flow_.paper()), {}).set();
    hands();
  }

  void hands() {
    std::vector<std::size_t> open;
    if (packet_.exercise) open = packet_.exercise->hidden;
    if (open.size() >= packet_.placed.analysis.chords.size()) return;
    const std::vector<ChartBar> bars = chart_bars(packet_.placed, packet_.hands, flow_.paper());
    const std::vector<int> numbers =
        printed_numbers(bars, static_cast<std::size_t>(packet_.placed.analysis.timeline.bars));
    put_hands(flow_, chart_shapes(packet_.placed, packet_.hands, open, numbers), size(packet_.exercise ? 70 : 0));
  }

  const Packet& packet_;
  PageFlow flow_;
  double scale_;
};

}  // namespace

Drawing packet_drawing(const Packet& packet, const PaperSettings& paper) {
  Drawing drawing;
  drawing.title = packet.title;
  const auto set = [&](const PaperSettings& settings) {
    drawing.pages.clear();
    PacketSetter(drawing, packet, settings).set();
    return drawing.pages.size();
  };
  set(fitted(paper, {1.0, 0.94, 0.88}, set));
  drawing.pages.front().bookmark = packet.title;
  for (const auto* texts : {&packet.greeting, &packet.missed, &packet.days}) {
    for (const std::string& text : *texts) drawing.description += text + " ";
  }
  PaperSettings settings = paper;
  if (packet.exercise) {
    settings.open_chords = packet.exercise->hidden;
    drawing.description += packet.exercise->title + ". " + packet.exercise->goal + " ";
    for (const std::string& step : packet.exercise->steps) drawing.description += step + " ";
  }
  drawing.description += chart_in_words(packet.placed, settings);
  if (has_tune(packet.placed.progression)) {
    const Tune tune = tune_on_paper(packet.placed.progression, packet.placed.key);
    Hands once = packet.hands;
    once.loops = false;  // the chart goes round for practice, the song does not
    Drawing sheet = lead_sheet_drawing(packet.placed, tune, once, paper, packet.placed.progression.composer);
    sheet.pages.front().bookmark = sheet.title;
    std::move(sheet.pages.begin(), sheet.pages.end(), std::back_inserter(drawing.pages));
  }
  put_feet(drawing, 0, paper.words.stop);
  return drawing;
}

std::string packet_pdf(const Packet& packet, const PaperSettings& paper) {
  return paint_pdf(packet_drawing(packet, paper));
}

}  // namespace romanesca
