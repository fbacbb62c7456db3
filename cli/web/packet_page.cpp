#include "cli/web/packet_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "cli/formats/exercise_json.h"
#include "cli/formats/html_text.h"
#include "cli/formats/keyboard_text.h"
#include "cli/web/page_data.h"
#include "cli/web/page_html.h"
#include "cli/web/page_paper.h"
#include "cli/web/page_tune.h"
#include "theory/songs/song_tune.h"

namespace romanesca {
namespace {

using OrderedJson = nlohmann::ordered_json;

std::string paragraphs(const std::vector<std::string>& texts) {
  std::string html;
  for (const std::string& text : texts) html += "<p>" + html_text(text) + "</p>\n";
  return html;
}

std::string list(const std::string& heading, const std::vector<std::string>& texts, const char* tag) {
  if (texts.empty()) return {};
  std::string html = heading.empty() ? "" : "<h2>" + html_text(heading) + "</h2>\n";
  html += fmt::format("<{}>", tag);
  for (const std::string& text : texts) html += "<li>" + html_text(text) + "</li>\n";
  return html + fmt::format("</{}>\n", tag);
}

std::string exercise_html(const Exercise& exercise) {
  std::string html = "<h2>" + html_text(exercise.title) + "</h2>\n" + paragraphs({exercise.goal});
  html += list("", exercise.steps, "ol");
  for (const auto& [label, text] : {std::pair<std::string, std::string>{"Easier: ", exercise.easier},
                                    {"Harder: ", exercise.harder},
                                    {"Listen: ", exercise.listen}}) {
    if (!text.empty()) html += paragraphs({label + text});
  }
  for (const ExplainedWord& word : exercise.words) html += paragraphs({word.word + ": " + word.meaning});
  if (!exercise.caution.empty()) html += paragraphs({exercise.caution});
  return html;
}

/// The chart in words, for browsers without script and until the script has run.
std::string chart_in_words(const Packet& packet) {
  std::string html = "<ol>";
  const auto& chords = packet.placed.analysis.chords;
  for (std::size_t i = 0; i < chords.size(); ++i) {
    const TimedChord& timed = chords[i].timed;
    const bool hidden =
        packet.exercise && std::binary_search(packet.exercise->hidden.begin(), packet.exercise->hidden.end(), i);
    const std::string symbol = hidden ? "an empty box: to be found" : timed.chord ? to_string(*timed.chord) : "N.C.";
    html += fmt::format("<li>bar {}: {}{}</li>\n", timed.bar, html_text(symbol),
                        timed.chord ? ": " + hands_in_words(packet.hands.chords[i]) : "");
  }
  return html + "</ol>";
}

}  // namespace

std::string packet_page(const Packet& packet) {
  PageContent page;
  page.title = packet.title;
  page.microphone = packet.microphone;
  page.plain_html = fmt::format("<main><h1>{}</h1>\n<p id=\"song\">{}</p>\n{}", html_text(packet.title),
                                html_text(packet.song_title), paragraphs(packet.greeting));
  page.plain_html += list("While you were away", packet.missed, "ul") + list("Day by day", packet.days, "ul");
  if (packet.exercise) page.plain_html += exercise_html(*packet.exercise);
  page.plain_html += chart_in_words(packet) +
                     "<p>To hear it and play along, open this file with JavaScript in a browser of "
                     "2023 or later.</p></main>";
  OrderedJson data{{"kind", "packet"}, {"text", packet.text}, {"key", to_string(packet.placed.key)}};
  if (!packet.sung.empty()) data["sung"] = packet.sung;
  if (const PrintedForm form = printed_form(packet.placed.progression); !form.is_plain())
    data["form"] = form_json(form);
  if (has_tune(packet.placed.progression)) {
    data["tune"] = tune_json(tune_of(packet.placed.progression, packet.placed.key));
  }
  data["style"] = packet.style;
  data["tempo"] = packet.tempo_bpm;
  data["hands"] = hand_settings_json(packet.hand_settings);
  data["title"] = packet.title;
  data["song"] = packet.song_title;
  data["words"] = packet.greeting;
  data["missed"] = packet.missed;
  data["days"] = OrderedJson::array();
  for (const std::string& day : packet.days) {
    const std::size_t colon = day.find(": ");
    const bool named = colon != std::string::npos;
    data["days"].push_back({{"day", named ? day.substr(0, colon) : day}, {"work", named ? day.substr(colon + 2) : ""}});
  }
  if (packet.exercise) {
    data["exercise"] = exercise_json(*packet.exercise, "A", false);
    data["task"] = task_json(*packet.exercise);
  }
  page.data_json = data.dump(-1, ' ', false, OrderedJson::error_handler_t::replace);
  return page_html(page);
}

std::string lesson_page(const std::string& text, std::span<const Level> levels) {
  PageContent page;
  page.title = "Lesson";
  page.plain_html =
      "<main id=\"lesson\"><h1>Lesson</h1><p>This page needs JavaScript and a browser of 2023 or later.</p></main>";
  page.lesson = page.microphone = true;
  OrderedJson data{{"kind", "lesson"}, {"text", text}};
  for (const Level& each : levels) data["levels"].push_back(hand_settings_json(level_hands(each)));
  page.data_json = data.dump(-1, ' ', false, OrderedJson::error_handler_t::replace);
  return page_html(page);
}

}  // namespace romanesca
