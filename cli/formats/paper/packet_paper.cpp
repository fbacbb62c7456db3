#include "cli/formats/paper/packet_paper.h"

#include "cli/formats/paper/exercise_drawing.h"
#include "cli/formats/paper/page_flow.h"
#include "cli/formats/paper/paint.h"
#include "cli/formats/paper/text_layout.h"

namespace romanesca {
namespace {

void write_lines(PageFlow& flow, const std::string& text, double size, Weight weight, TextRole role) {
  for (const std::string& line : lines_within(text, flow.width(), size, weight)) {
    flow.keep(size * 1.5);
    flow.down(size * 1.4);
    flow.marks().emplace_back(text_at(margin, flow.y(), line, size, weight, Ink::text, role));
  }
}

void write_part(PageFlow& flow, const std::string& heading, const std::vector<std::string>& texts) {
  if (texts.empty()) return;
  flow.down(14);
  flow.keep(60);  // a heading stays with what it heads
  if (!heading.empty()) write_lines(flow, heading, 13, Weight::bold, TextRole::heading);
  for (const std::string& text : texts) {
    flow.down(4);
    write_lines(flow, text, 11, Weight::regular, TextRole::note);
  }
}

Drawing cover(const Packet& packet, const PaperSettings& paper) {
  Drawing drawing;
  drawing.title = packet.title;
  PageFlow flow(drawing, paper);
  flow.down(10);
  write_lines(flow, packet.title, 22, Weight::bold, TextRole::title);
  if (!packet.song_title.empty()) write_lines(flow, packet.song_title, 15, Weight::regular, TextRole::heading);
  write_part(flow, "", packet.greeting);
  write_part(flow, "While you were away", packet.missed);
  write_part(flow, "Day by day", packet.days);
  for (const auto* texts : {&packet.greeting, &packet.missed, &packet.days}) {
    for (const std::string& text : *texts) drawing.description += text + " ";
  }
  return drawing;
}

}  // namespace

std::string packet_pdf(const Packet& packet, const PaperSettings& paper) {
  Drawing all = cover(packet, paper);
  std::vector<Drawing> rest;
  if (packet.exercise) rest.push_back(exercise_drawing({&*packet.exercise, 1}, false, paper));
  // Where every chord is to be found by ear, the lines of the exercise's own sheet are there to write on.
  const std::size_t hidden = packet.exercise ? packet.exercise->hidden.size() : 0;
  if (hidden < packet.placed.analysis.chords.size()) {
    PaperSettings chart = paper;
    if (hidden > 0) chart.open_chords = packet.exercise->hidden;
    rest.push_back(chart_drawing(packet.placed, packet.hands, chart));
  }
  all.pages.front().bookmark = packet.title;
  for (Drawing& each : rest) {
    all.description += each.description + " ";
    if (!each.pages.empty()) each.pages.front().bookmark = each.title;
    for (Page& page : each.pages) all.pages.push_back(std::move(page));
  }
  return paint_pdf(all);
}

}  // namespace romanesca
