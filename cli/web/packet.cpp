#include "cli/web/packet.h"

#include <fmt/format.h>

#include "cli/web/chart_markup.h"
#include "cli/web/exercise_markup.h"
#include "cli/web/html_text.h"
#include "theory/progression_text.h"

namespace romanesca {
namespace {

std::string list(const std::string& id, const std::string& heading, const std::vector<std::string>& lines) {
  if (lines.empty()) return {};
  std::string text = fmt::format(R"(<section id="{0}" aria-labelledby="{0}-heading"><h2 id="{0}-heading">{1}</h2><ul>)",
                                 id, html_text(heading));
  for (const std::string& line : lines) text += "<li>" + html_text(line) + "</li>";
  return text + "</ul></section>";
}

std::string paragraphs(const std::string& words) {
  std::string text;
  for (std::size_t from = 0; from < words.size();) {
    const std::size_t end = std::min(words.find('\n', from), words.size());
    if (end > from) text += fmt::format("<p>{}</p>", html_text(words.substr(from, end - from)));
    from = end + 1;
  }
  return text;
}

std::string section(const std::string& id, const std::string& heading, const std::string& markup) {
  return fmt::format(R"(<section id="{0}" aria-labelledby="{0}-heading"><h2 id="{0}-heading">{1}</h2>{2}</section>)",
                     id, html_text(heading), markup);
}

}  // namespace

std::string packet_title(const Packet& packet) {
  if (packet.exercise) return packet.exercise->title;
  const std::string& title = packet.song.progression.title;
  if (!title.empty()) return title;
  const std::string& name = packet.song.source.name;
  return name.empty() || name == "progression" ? "Chords" : name;  // typed chords have no name
}

std::string packet_markup(const Packet& packet) {
  std::string text = "<header>";
  if (!packet.student.empty()) text += fmt::format(R"(<p class="to">For {}</p>)", html_text(packet.student));
  text += fmt::format("<h1>{}</h1>", html_text(packet_title(packet)));
  if (!packet.greeting.empty()) text += fmt::format(R"(<div id="greeting">{}</div>)", paragraphs(packet.greeting));
  text += "</header>";
  text += list("done", "Last time", packet.done);
  text += list("missed", "What was planned", packet.missed);
  text += list("days", "Day by day", packet.days);
  const bool ear = packet.exercise && packet.exercise->family == ExerciseFamily::ear;
  if (packet.exercise) text += section("exercise", "What to do", exercise_markup(*packet.exercise));
  text += R"(<div id="player-place"></div>)";
  // The chords of an ear exercise are its answer.
  text += fmt::format(R"(<div id="chart-place">{}</div>)",
                      ear ? "" : section("chart", "Chart", chart_markup(packet.song, packet.hands, packet.advice)));
  return text;
}

OrderedJson packet_json(const Packet& packet) {
  const bool ear = packet.exercise && packet.exercise->family == ExerciseFamily::ear;
  OrderedJson json{{"use", "packet"},
                   {"title", packet_title(packet)},
                   {"student", packet.student},
                   {"song",
                    {{"text", ear ? "" : write_progression(packet.song.progression)},
                     {"style", packet.style},
                     {"tempo", packet.tempo_bpm},
                     {"voicing", to_string(packet.hands.kind)}}}};
  if (packet.exercise) {
    json["exercise"] = packet.exercise_request;
    json["ear"] = ear;
    json["asks"] = packet.exercise->answer.has_value();
  }
  return json;
}

}  // namespace romanesca
