#include "cli/analysis_json.h"
#include "cli/chart_json.h"
#include "cli/style_json.h"
#include "cli/web/chart_markup.h"
#include "cli/web/page_answer.h"
#include "cli/web/page_song.h"
#include "progressions/level.h"
#include "progressions/library.h"
#include "theory/progression_text.h"
#include "theory/remarks.h"

namespace romanesca {
namespace {

std::string analysed(const PlacedProgression& placed, const PageRequest& request) {
  const Analysis& analysis = placed.analysis;
  AnalysisAnswer answer{placed.progression,
                        analysis,
                        match_patterns(analysis),
                        remarks_on(analysis),
                        request.has("level") ? request.whole("level", 1, 1, 8) : level_of(analysis),
                        {},
                        {}};
  answer.ideas = ideas_for(analysis, level(answer.level));
  return analysis_json(answer);
}

/// The twelve keys of a mode, rising by semitones from C.
OrderedJson keys_of(Mode mode) {
  OrderedJson keys = OrderedJson::array();
  for (int semitone = 0; semitone < 12; ++semitone) {
    keys.push_back(to_string(simplest_spelling({PitchClass(semitone * 7 % 12), mode})));
  }
  return keys;
}

}  // namespace

Parsed<PageAnswer> song_answer(const PageRequest& request) {
  Parsed<PlacedProgression> placed = page_song(request);
  if (!placed) return placed.error();
  const Analysis& analysis = placed->analysis;
  const Hands hands = hands_for(analysis.timeline, page_hands(request), analysis.keys.by_bar);
  PageAnswer answer;
  // A song without a title of its own is called by the name that it has in the library, if any.
  answer.json["title"] = placed->progression.title.empty() ? placed->source.name : placed->progression.title;
  answer.json["key"] = to_string(placed->key);
  answer.json["keys"] = keys_of(placed->key.mode);
  answer.json["meter"] = to_string(analysis.timeline.meter);
  answer.json["bars"] = analysis.timeline.bars;
  answer.json["text"] = write_progression(placed->progression);
  answer.json["style"] = placed->progression.style;
  answer.json["tempo"] = placed->progression.tempo_bpm.value_or(0);
  answer.json["styles"] = OrderedJson::array();
  for (const Style& style : styles()) {
    if (style.meter == analysis.timeline.meter) answer.json["styles"].push_back(style.id);
  }
  answer.json["chart"] = OrderedJson::parse(chart_json(*placed, hands), nullptr, false);
  answer.json["markup"] = chart_markup(*placed, hands, "");
  if (request.yes("analyse")) answer.json["analysis"] = OrderedJson::parse(analysed(*placed, request), nullptr, false);
  return answer;
}

Parsed<PageAnswer> library_answer(const PageRequest& /*request*/) {
  PageAnswer answer;
  answer.json["progressions"] = OrderedJson::array();
  for (const Pattern& pattern : library()) {
    answer.json["progressions"].push_back({{"id", pattern.id},
                                           {"chords", pattern.chords},
                                           {"mode", to_string(pattern.mode)},
                                           {"level", pattern.level},
                                           {"says", pattern.says}});
  }
  return answer;
}

Parsed<PageAnswer> styles_answer(const PageRequest& /*request*/) {
  PageAnswer answer;
  answer.json["styles"] = OrderedJson::array();
  for (const Style& style : styles()) answer.json["styles"].push_back(style_json(style));
  return answer;
}

}  // namespace romanesca
