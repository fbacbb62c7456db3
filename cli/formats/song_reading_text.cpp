#include "cli/formats/song_reading_text.h"

#include <fmt/format.h>

#include "cli/formats/chords_json.h"
#include "cli/formats/wrapped_text.h"
#include "theory/songs/progression_writer.h"
#include "theory/songs/song_tune.h"
#include "theory/songs/symbol_text.h"

namespace romanesca {
namespace {

std::string notes_text(const std::string& heading, const std::vector<SongNote>& notes, int width) {
  if (notes.empty()) return {};
  std::string text = heading + ":\n";
  for (const SongNote& note : notes) {
    text += wrapped(note.line > 0 ? fmt::format("  line {}: ", note.line) : "  ", note.text, width);
  }
  return text;
}

std::string content_text(const Slot& slot) {
  if (const auto* chord = std::get_if<Chord>(&slot.content)) return to_string(*chord);
  if (const auto* numeral = std::get_if<Numeral>(&slot.content)) return to_string(Symbol{*numeral});
  return "N.C.";
}

/// The words of a row from one of its chords to another.
std::string words_between(const Row& row, std::size_t from, std::size_t to) {
  std::string words;
  for (std::size_t i = from; i < std::min(to, row.words.size()); ++i) words += row.words[i];
  const std::size_t first = words.find_first_not_of(' ');
  if (first == std::string_view::npos) return {};
  return words.substr(first, words.find_last_not_of(' ') - first + 1);
}

/// One object for each bar of a row. @param bar the number of bars before it, counted on
void add_bars(OrderedJson& bars, const Section& section, const Row& row, const Meter& meter, int& bar,
              std::vector<Slot>& last) {
  std::size_t chords = 0;
  for (const Bar& each : row.bars) {
    if (!each.repeats_last) last = each.slots;
    OrderedJson list = OrderedJson::array();
    const auto count = static_cast<std::int64_t>(last.size());
    const Beats share = count > 0 ? Beats(meter.upper) / count : Beats(0);
    const std::size_t first = chords;
    for (std::int64_t i = 0; i < count; ++i) {
      const Slot& slot = last[static_cast<std::size_t>(i)];
      if (std::holds_alternative<Hold>(slot.content)) {
        if (!list.empty()) list.back()["beats"] = list.back()["beats"].get<double>() + share.quarters();
        continue;
      }
      if (!each.repeats_last) ++chords;
      list.push_back(
          {{"symbol", content_text(slot)}, {"beat", 1 + (share * i).quarters()}, {"beats", share.quarters()}});
    }
    OrderedJson object{{"section", section.name}, {"bar", ++bar}, {"chords", std::move(list)}};
    if (!row.words.empty()) object["words"] = words_between(row, first == 0 ? 0 : first + 1, chords + 1);
    bars.push_back(std::move(object));
  }
}

OrderedJson notes_json(const std::vector<SongNote>& notes) {
  OrderedJson list = OrderedJson::array();
  for (const SongNote& note : notes) list.push_back({{"line", note.line}, {"text", note.text}});
  return list;
}

/// Times in quarter notes from the first beat of bar 1.
void add_tune(OrderedJson& json, const Tune& tune) {
  json["upbeat"] = tune.upbeat.quarters();
  json["notes"] = OrderedJson::array();
  for (const TuneNote& note : tune.notes) {
    OrderedJson object{{"start", note.start.quarters()},
                       {"length", note.length.quarters()},
                       {"note", to_string(note.pitch)},
                       {"midi", note.pitch.midi()}};
    if (!note.syllable.empty()) object["syllable"] = note.syllable;
    for (const Syllable& later : note.later_verses) object["later_verses"].push_back(later.text);
    json["notes"].push_back(std::move(object));
  }
}

}  // namespace

std::string song_notes_text(const NamedProgression& song, int width) {
  return notes_text("Decided", song.decisions, width) + notes_text("Left out", song.left_out, width);
}

std::string song_reading_text(const NamedProgression& song, int width) {
  const std::string notes = song_notes_text(song, width);
  return write_progression(song.progression) + (notes.empty() ? "" : "\n") + notes;
}

std::string song_reading_json(const NamedProgression& song) {
  const Progression& progression = song.progression;
  OrderedJson json{{"schema", 1}, {"title", progression.title}, {"composer", progression.composer}, {"key", nullptr}};
  if (progression.key) {
    const auto& mode = progression.key->mode;
    json["key"] = to_string(progression.key->tonic) + (mode ? " " + std::string(to_string(*mode)) : "");
  }
  json["meter"] = to_string(progression.meter());
  json["tempo"] = nullptr;
  if (progression.tempo_bpm) json["tempo"] = *progression.tempo_bpm;
  json["capo"] = progression.capo;
  json["sections"] = OrderedJson::array();
  for (const SectionReading& section : song.sections) {
    json["sections"].push_back(
        {{"name", section.name}, {"bars", section.bars}, {"recalls", nullptr}, {"times", section.times}});
    if (!section.recalls.empty()) json["sections"].back()["recalls"] = section.recalls;
  }
  json["bars"] = OrderedJson::array();
  int bar = 0;
  std::vector<Slot> last;
  for (const Section& section : progression.sections) {
    for (const Row& row : section.rows) add_bars(json["bars"], section, row, progression.meter(), bar, last);
  }
  if (has_tune(progression)) add_tune(json, tune_of(progression, key_of_numerals(progression, std::nullopt)));
  json["decisions"] = notes_json(song.decisions);
  json["left_out"] = notes_json(song.left_out);
  return json.dump() + "\n";
}

}  // namespace romanesca
