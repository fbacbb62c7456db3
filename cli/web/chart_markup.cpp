#include "cli/web/chart_markup.h"

#include <fmt/format.h>

#include <map>

#include "cli/chart_grid.h"
#include "cli/chart_text.h"
#include "cli/web/html_text.h"
#include "cli/web/keyboard_svg.h"
#include "theory/numeral_text.h"

namespace romanesca {
namespace {

/// A chord in its bar; a chord that sounds on is a slash.
std::string chord_markup(const PlacedProgression& placed, std::size_t index) {
  const AnalysedChord& each = placed.analysis.chords[index];
  const TimedChord& timed = each.timed;
  const std::string symbol = timed.held ? "/" : timed.chord ? to_string(*timed.chord) : "N.C.";
  const bool named = each.reading && !timed.held;
  return fmt::format(R"(<span class="chord" data-chord="{}"><b>{}</b><i>{}</i></span>)", index, html_text(symbol),
                     named ? html_text(to_string(each.reading->numeral)) : "");
}

std::string bars_markup(const PlacedProgression& placed) {
  const Progression& progression = placed.progression;
  const std::vector<AnalysedChord>& chords = placed.analysis.chords;
  std::string text;
  for (std::size_t i = 0; i < chords.size();) {
    const std::uint32_t section = chords[i].timed.section;
    const std::string& name = progression.sections[section].name;
    if (!name.empty()) text += fmt::format("<h3>{}</h3>", html_text(name));
    text += fmt::format(R"(<ol class="bars" start="{}">)", chords[i].timed.bar);
    while (i < chords.size() && chords[i].timed.section == section) {
      const int bar = chords[i].timed.bar;
      text += fmt::format(R"(<li class="bar" data-bar="{}">)", bar);
      for (; i < chords.size() && chords[i].timed.bar == bar; ++i) text += chord_markup(placed, i);
      text += "</li>";
    }
    text += "</ol>";
  }
  return text;
}

/// A chord with the hands that play it, each different one once.
struct Shape {
  std::size_t first = 0;  ///< index of a chord that is played so
  std::string symbol, chords;
  std::vector<int> bars;
};

std::vector<Shape> shapes_of(const PlacedProgression& placed, const Hands& hands) {
  std::vector<Shape> result;
  std::map<std::string, std::size_t> places;
  for (std::size_t i = 0; i < hands.chords.size(); ++i) {
    const TimedChord& timed = placed.analysis.chords[i].timed;
    if (!timed.chord) continue;
    const std::string symbol = to_string(*timed.chord);
    const auto [place, is_new] = places.try_emplace(symbol + " " + hands_in_words(hands.chords[i]), result.size());
    if (is_new) result.push_back({i, symbol, "", {}});
    Shape& shape = result[place->second];
    shape.chords += fmt::format("{}{}", shape.chords.empty() ? "" : " ", i);
    if (!timed.held && (shape.bars.empty() || shape.bars.back() != timed.bar)) shape.bars.push_back(timed.bar);
  }
  return result;
}

std::string notes_of(const Voicing& notes) {
  std::string text;
  for (const Pitch& note : notes) text += (text.empty() ? "" : " ") + to_string(note);
  return text;
}

std::string shape_markup(const Shape& shape, const Hands& hands) {
  const HandsChord& chord = hands.chords[shape.first];
  std::string where = shape_name(hands.kind, chord.inversion);
  if (!shape.bars.empty()) {
    where += fmt::format(", {} {}", shape.bars.size() > 1 ? "bars" : "bar", fmt::join(shape.bars, ", "));
  }
  std::string notes;
  if (!chord.left.empty()) notes += "left " + notes_of(chord.left);
  if (!chord.right.empty()) notes += (notes.empty() ? "right " : "   right ") + notes_of(chord.right);
  const std::string symbol = html_text(shape.symbol);
  return fmt::format(R"(<li class="shape" data-chords="{}"><h4>{} <small>{}</small></h4>{}<p>{}</p>)"
                     R"(<button type="button" class="hear" data-hear="{}">Hear {}</button></li>)",
                     shape.chords, symbol, html_text(where),
                     keyboard_svg(chord, shape.symbol + ": " + hands_in_words(chord)), html_text(notes), shape.first,
                     symbol);
}

}  // namespace

std::string chart_markup(const PlacedProgression& placed, const Hands& hands, const std::string& advice) {
  std::string text = fmt::format(R"(<p class="heading">{}</p><div class="song">{}</div>)",
                                 html_text(heading_line(placed.progression, placed.key)), bars_markup(placed));
  text += R"(<h3>Hands</h3><p class="legend"><span class="left-sign"></span> left hand )"
          R"(<span class="right-sign"></span> right hand; figures are fingers, 1 is the thumb.</p><ul class="shapes">)";
  for (const Shape& shape : shapes_of(placed, hands)) text += shape_markup(shape, hands);
  text += "</ul>";
  for (const GaveWay& each : hands.gave_way) {
    text += fmt::format("<p>Bar {}: {}</p>", placed.analysis.chords[each.chord].timed.bar, html_text(each.text));
  }
  return text + fmt::format(R"(<p class="care">{}{}Stop if a stretch hurts.</p>)", html_text(advice),
                            advice.empty() ? "" : " ");
}

}  // namespace romanesca
