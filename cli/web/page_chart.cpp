#include "cli/web/page_chart.h"

#include "cli/formats/chords_json.h"
#include "cli/studio/backing_track.h"
#include "cli/web/page_data.h"
#include "theory/chords/chord_naming.h"
#include "theory/songs/header_text.h"
#include "theory/songs/song_tune.h"
#include "theory/voicing/hands.h"
#ifndef ROMANESCA_PACKET
#include "cli/web/page_lesson.h"
#include "theory/songs/doubtful_bars.h"
#include "theory/songs/song_reading.h"
#endif

namespace romanesca {
namespace {

OrderedJson sections_json(const Placement& song) {
  OrderedJson list = OrderedJson::array();
  std::size_t last = song.progression.sections.size();
  for (const TimedChord& timed : song.analysis.timeline.chords) {
    if (timed.section != last) {
      list.push_back({{"name", song.progression.sections[timed.section].name}, {"bar", timed.bar}, {"bars", 0}});
      last = timed.section;
    }
    list.back()["bars"] = timed.bar - list.back()["bar"].get<int>() + 1;
  }
  return list;
}

#ifndef ROMANESCA_PACKET
constexpr std::size_t most_alternatives = 8;  // each is read once more

/// What was told about a text; with "otherwise", the text that is read the other way, where there is one that can be
/// read.
OrderedJson notes_json(const std::vector<SongNote>& notes, const std::string& text) {
  OrderedJson list = OrderedJson::array();
  std::size_t alternatives = 0;
  for (const SongNote& note : notes) {
    list.push_back({{"line", note.line}, {"text", note.text}});
    if (!note.doubtful) continue;
    list.back()["doubtful"] = true;
    if (note.otherwise.empty() || ++alternatives > most_alternatives) continue;
    const std::string other = edited(text, note.otherwise);
    if (read_song(other, "song")) list.back()["otherwise"] = other;
  }
  return list;
}
#endif

/// The twelve keys to choose from, and the names of the piano's keys in the song's key, both from C up: white keys by
/// their letter, black keys as the song's key spells them.
void add_keys(const Key& key, OrderedJson& json) {
  for (int semitone = 0; semitone < 12; ++semitone) {
    json["keys"].push_back(to_string(simplest_spelling({spelled_in(semitone, Key{}), key.mode})));
    const PitchClass letter = spelled_in(semitone, Key{});
    json["names"].push_back(to_string(letter.alteration() == 0 ? letter : spelled_in(semitone, key)));
  }
}

}  // namespace

OrderedJson song_answer(const OrderedJson& request) {
  const auto song = song_of(request);
  if (!song) return error_json(song.error());
  const auto hands_member = request.find("hands");
  const HandSettings settings = read_hand_settings(hands_member == request.end() ? OrderedJson() : *hands_member);
  const Hands hands = hands_for(song->analysis.timeline, settings, song->analysis.keys.by_bar);
  OrderedJson json = chart_json(song->progression, song->analysis, hands).object();
  const std::vector<std::string> words = words_by_chord(song->progression);
  for (std::size_t i = 0; i < song->analysis.timeline.chords.size(); ++i) {
    const TextPlace& place = song->analysis.timeline.chords[i].place;
    json["chords"][i].update({{"line", place.line}, {"column", place.column}, {"width", place.width}});
    if (i < words.size() && !words[i].empty()) json["chords"][i]["words"] = words[i];
  }
  json["bars"] = song->analysis.timeline.bars;
  json["has_tune"] = has_tune(song->progression);
  json["sections"] = sections_json(*song);
  json["placed_key"] = to_string(song->key);
  json["meter"] = to_string(song->progression.meter());
  json["pulses"] = song->progression.meter().pulses();
  add_keys(song->key, json);
  for (const Style& style : styles()) {
    if (style.meter == song->progression.meter()) json["styles"].push_back({{"id", style.id}, {"feel", style.feel}});
  }
  const auto own = style_for(song->progression, "");
  const Style& style = own ? **own : usual_style(song->progression.meter());
  json["style"] = style.id;
  json["tempo"] = song->progression.tempo_bpm.value_or(style.usual_bpm);
#ifndef ROMANESCA_PACKET
  const auto typed = typed_song(request);
  json["decisions"] = notes_json(typed->decisions, text_in(request, "text"));
  json["left_out"] = notes_json(typed->left_out, {});
  json["doubtful"] = doubtful_bars(song->progression);
  json["analysis"] = lesson_analysis(*song, request);
#endif
  return json;
}

}  // namespace romanesca
