#include "cli/formats/chart_musicxml.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <numeric>
#include <optional>
#include <pugixml.hpp>

#include "cli/formats/musicxml_harmony.h"
#include "cli/formats/musicxml_note.h"
#include "cli/formats/musicxml_score.h"
#include "cli/formats/musicxml_tune.h"
#include "cli/formats/written_rhythm.h"
#include "theory/analysis/regions.h"
#include "theory/chords/numeral_text.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

/// The most that a MIDI file can have.
constexpr std::int64_t most_divisions = 16383;

/// The passes that an ending is for, as MusicXML lists them: "1, 2".
std::string ending_numbers(const PrintedBar& bar) {
  std::string numbers;
  for (int pass = bar.ending; pass <= std::max(bar.ending, bar.ending_to); ++pass)
    numbers += (numbers.empty() ? "" : ", ") + std::to_string(pass);
  return numbers;
}

/// Makes the measures one after the other, each from its own small tree, so that a long song needs no tree of all.
class MeasureWriter {
 public:
  MeasureWriter(const Placement& placed, const Hands& hands, const Tune* tune, bool with_left)
      : placed_(placed),
        hands_(hands),
        tune_(tune),
        two_staves_(tune == nullptr || with_left),
        timeline_(placed.analysis.timeline),
        words_(words_by_chord(placed.progression)),
        form_(printed_form(placed.progression)),
        accidentals_{Accidentals(key().signature()), Accidentals(key().signature())} {
    std::int64_t common = 1;
    first_chord_.resize(static_cast<std::size_t>(timeline_.bars) + 1, timeline_.chords.size());
    for (std::size_t first = 0; first < timeline_.chords.size();) {
      const std::size_t end = end_of_bar(first);
      first_chord_[static_cast<std::size_t>(timeline_.chords[first].bar) - 1] = first;
      if (common <= most_divisions) common = std::lcm(common, divisions_for(rhythm_of(first, end)));
      first = end;
    }
    for (int bar = 0; tune_ != nullptr && bar <= timeline_.bars; ++bar) {
      if (common <= most_divisions)
        common = std::lcm(common, romanesca::divisions_for(written_tune_bar(*tune_, timeline_.meters, bar)));
    }
    if (common <= most_divisions) common_divisions_ = std::lcm(common, bar_denominator());
    for (const PrintedSection& section : form_.sections) bars_ += section.bars.size();
  }

  /// All measures, as they stand on paper. Recalled sections are written out, since a measure cannot stand for them.
  [[nodiscard]] std::string all() {
    std::string text = tune_ != nullptr && tune_->upbeat > Beats(0) ? upbeat() : "";
    for (const PrintedSection& section : form_.sections) {
      for (std::size_t i = 0; i < section.bars.size(); ++i) text += next(section, i);
    }
    return text;
  }

 private:
  /// The key that the bar is heard in.
  [[nodiscard]] const Key& key() const {
    const std::vector<Key>& keys = placed_.analysis.keys.by_bar;
    const auto bar = static_cast<std::size_t>(bar_ - 1);
    return bar < keys.size() ? keys[bar] : placed_.analysis.keys.main.key;
  }
  [[nodiscard]] std::int64_t bar_denominator() const {
    std::int64_t common = 1;
    for (const MeterChange& change : timeline_.meters.changes())
      common = std::lcm(common, change.meter.bar_length().denominator());
    return common;
  }
  /// The measure of a section's bar. @param index of the bar in the section
  [[nodiscard]] std::string next(const PrintedSection& section, std::size_t index);
  [[nodiscard]] Meter meter() const { return timeline_.meters.at(bar_); }
  [[nodiscard]] Beats bar_length() const {
    return tune_ == nullptr ? meter().bar_length() : tune_bar_end(*tune_, timeline_.meters, bar_);
  }
  /// Pulses a minute that count in the bar; nothing where none is stated.
  [[nodiscard]] std::optional<double> tempo() const;
  /// Behind the last chord of the bar that @p first begins.
  [[nodiscard]] std::size_t end_of_bar(std::size_t first) const;
  [[nodiscard]] std::vector<WrittenNote> rhythm_of(std::size_t first, std::size_t end) const;
  [[nodiscard]] static std::int64_t divisions_for(const std::vector<WrittenNote>& rhythm);
  /// Where the measure begins in another key than the one before on paper.
  [[nodiscard]] bool enters_key();
  /// What a measure states anew: divisions, key, meter, and in the first one all the rest.
  struct Attributes {
    bool divisions = false, key = false, time = false, rest = false;
  };
  void add_attributes(pugi::xml_node measure, const Attributes& which) const;
  void add_tempo(pugi::xml_node measure);
  static void add_section(pugi::xml_node measure, const PrintedSection& section);
  void add_staff(pugi::xml_node measure, int staff, const std::vector<WrittenNote>& rhythm);
  /// The tune's bar in place of the right hand. @param bar 0 for the upbeat
  void add_tune(pugi::xml_node measure, int bar);
  [[nodiscard]] std::string upbeat();
  /// The chord symbol over the first staff, the numeral under the second.
  void add_signs(pugi::xml_node measure, int staff, std::size_t chord);
  void add_numeral(pugi::xml_node measure, const AnalysedChord& chord);
  void add_left_barline(pugi::xml_node measure, const PrintedBar& bar);
  void add_right_barline(pugi::xml_node measure, const PrintedBar& bar, bool section_ends) const;
  [[nodiscard]] std::vector<WrittenChord::Note> notes_of(std::size_t chord, int staff, bool from, bool to) const;
  [[nodiscard]] bool held_into(std::size_t chord, const Pitch& pitch, int staff) const;
  [[nodiscard]] std::int64_t in_divisions(Beats length) const { return (length * divisions_).numerator(); }
  [[nodiscard]] const Voicing& hand(std::size_t chord, int staff) const {
    return staff == 1 ? hands_.chords[chord].right : hands_.chords[chord].left;
  }

  const Placement& placed_;
  const Hands& hands_;
  const Tune* tune_;
  bool two_staves_;
  const Timeline& timeline_;
  std::vector<std::string> words_;  // of each chord; empty for a song without words
  PrintedForm form_;
  int bar_ = 1;                             // of the measure, as played, from 1
  std::vector<std::size_t> first_chord_;    // of each bar as played
  std::size_t bars_ = 0;                    // on paper
  std::array<Accidentals, 2> accidentals_;  // of each staff
  std::optional<std::int64_t> common_divisions_;
  std::int64_t divisions_ = 0;  // as last written; 0 before the first
  std::size_t chord_ = 0;       // the first of the bar
  int number_ = 0;              // of the measure, from 1
  std::optional<Key> written_key_;
  std::optional<Meter> meter_;  // as last written
  std::string ending_;          // the passes of the one that is open
  std::optional<double> tempo_;
  std::optional<Key> key_;  // that the numerals before were read in
};

std::size_t MeasureWriter::end_of_bar(std::size_t first) const {
  std::size_t end = first;
  while (end < timeline_.chords.size() && timeline_.chords[end].bar == timeline_.chords[first].bar) ++end;
  return end;
}

std::vector<WrittenNote> MeasureWriter::rhythm_of(std::size_t first, std::size_t end) const {
  std::vector<Beats> lengths;
  for (std::size_t i = first; i < end; ++i) lengths.push_back(timeline_.chords[i].length);
  return written_bar(lengths, timeline_.meters.at(timeline_.chords[first].bar));
}

std::int64_t MeasureWriter::divisions_for(const std::vector<WrittenNote>& rhythm) {
  std::int64_t divisions = 1;
  for (const WrittenNote& note : rhythm) divisions = std::lcm(divisions, note.length.denominator());
  return divisions;
}

bool MeasureWriter::enters_key() {
  if (written_key_ == key()) return false;
  written_key_ = key();
  for (Accidentals& staff : accidentals_) staff.change_signature(key().signature());
  return true;
}

void MeasureWriter::add_attributes(pugi::xml_node measure, const Attributes& which) const {
  if (!which.divisions && !which.key && !which.time) return;
  pugi::xml_node attributes = measure.append_child("attributes");
  if (which.divisions) attributes.append_child("divisions").text() = static_cast<long long>(divisions_);
  if (which.key) {
    pugi::xml_node written = attributes.append_child("key");
    written.append_child("fifths").text() = key().signature();
    written.append_child("mode").text() = std::string(to_string(key().mode)).c_str();
  }
  if (which.time) {
    pugi::xml_node time = attributes.append_child("time");
    time.append_child("beats").text() = meter().upper;
    time.append_child("beat-type").text() = meter().lower;
  }
  if (!which.rest) return;
  if (two_staves_) attributes.append_child("staves").text() = 2;
  for (const int staff : {1, 2}) {
    if (staff == 2 && !two_staves_) break;
    pugi::xml_node clef = attributes.append_child("clef");
    clef.append_attribute("number") = staff;
    clef.append_child("sign").text() = staff == 1 ? "G" : "F";
    clef.append_child("line").text() = staff == 1 ? 2 : 4;
  }
}

std::optional<double> MeasureWriter::tempo() const {
  std::optional<double> bpm = placed_.progression.tempo_bpm;
  for (const StatedTempo& stated : timeline_.tempos) {
    if (stated.bar <= bar_) bpm = stated.bpm;
  }
  const std::optional<double> own = chord_ < timeline_.chords.size()
                                        ? placed_.progression.sections[timeline_.chords[chord_].section].tempo_bpm
                                        : std::nullopt;
  return own ? own : bpm;
}

void MeasureWriter::add_tempo(pugi::xml_node measure) {
  const std::optional<double> now = tempo();
  if (!now || now == tempo_) return;
  tempo_ = now;
  const Beats pulse = meter().pulse_length();
  pugi::xml_node direction = measure.append_child("direction");
  direction.append_attribute("placement") = "above";
  pugi::xml_node metronome = direction.append_child("direction-type").append_child("metronome");
  const NoteValue felt = meter().is_compound() ? NoteValue{0, true} : NoteValue{0, false};
  metronome.append_child("beat-unit").text() = std::string(type_name(felt)).c_str();
  if (felt.dotted) metronome.append_child("beat-unit-dot");
  metronome.append_child("per-minute").text() = fmt::format("{}", *now).c_str();
  direction.append_child("staff").text() = 1;
  direction.append_child("sound").append_attribute("tempo") = fmt::format("{}", *now * pulse.quarters()).c_str();
}

void MeasureWriter::add_section(pugi::xml_node measure, const PrintedSection& section) {
  if (section.name.empty()) return;
  const std::string name = section.times > 1 ? fmt::format("{} x{}", section.name, section.times) : section.name;
  pugi::xml_node direction = measure.append_child("direction");
  direction.append_attribute("placement") = "above";
  direction.append_child("direction-type").append_child("rehearsal").text() = xml_text(name).c_str();
  direction.append_child("staff").text() = 1;
}

void MeasureWriter::add_numeral(pugi::xml_node measure, const AnalysedChord& chord) {
  if (!chord.reading) return;
  const bool elsewhere = key_ && *key_ != chord.key;
  key_ = chord.key;
  const std::string numeral = to_string(chord.reading->numeral);
  pugi::xml_node direction = measure.append_child("direction");
  direction.append_attribute("placement") = "below";
  direction.append_child("direction-type").append_child("words").text() =
      (elsewhere ? to_string(chord.key) + ": " + numeral : numeral).c_str();
  direction.append_child("staff").text() = 2;
}

bool MeasureWriter::held_into(std::size_t chord, const Pitch& pitch, int staff) const {
  if (chord == 0 || chord >= timeline_.chords.size() || !timeline_.chords[chord].held) return false;
  for (const std::size_t side : {chord - 1, chord}) {
    const Voicing& notes = hand(side, staff);
    if (std::find(notes.begin(), notes.end(), pitch) == notes.end()) return false;
  }
  return true;
}

/// @param from @param to whether the chord itself goes on from or into another note of the same bar.
std::vector<WrittenChord::Note> MeasureWriter::notes_of(std::size_t chord, int staff, bool from, bool to) const {
  const Voicing& pitches = hand(chord, staff);
  const HandsChord& both = hands_.chords[chord];
  const std::vector<int>& fingers = staff == 1 ? both.right_fingers : both.left_fingers;
  std::vector<WrittenChord::Note> notes;
  for (std::size_t i = 0; i < pitches.size(); ++i) {
    notes.push_back({pitches[i], i < fingers.size() ? fingers[i] : 0, from || held_into(chord, pitches[i], staff),
                     to || held_into(chord + 1, pitches[i], staff)});
  }
  return notes;
}

void MeasureWriter::add_signs(pugi::xml_node measure, int staff, std::size_t chord) {
  if (timeline_.chords[chord].held) return;
  if (staff == 1) add_harmony(measure, timeline_.chords[chord].chord);
  if (staff == 2 && tune_ == nullptr) add_numeral(measure, placed_.analysis.chords[chord]);
}

void MeasureWriter::add_staff(pugi::xml_node measure, int staff, const std::vector<WrittenNote>& rhythm) {
  Accidentals& accidentals = accidentals_[static_cast<std::size_t>(staff - 1)];
  accidentals.start_bar();
  if (rhythm.back().event == 0 && hand(chord_, staff).empty()) {
    add_signs(measure, staff, chord_);
    add_bar_rest(measure, in_divisions(bar_length()), staff);
    return;
  }
  for (std::size_t i = 0; i < rhythm.size(); ++i) {
    const std::size_t chord = chord_ + rhythm[i].event;
    const bool from = i > 0 && rhythm[i - 1].event == rhythm[i].event;
    const bool to = i + 1 < rhythm.size() && rhythm[i + 1].event == rhythm[i].event;
    if (!from) add_signs(measure, staff, chord);
    WrittenChord written{notes_of(chord, staff, from, to), rhythm[i], in_divisions(rhythm[i].length), staff};
    const std::string words = staff == 1 && !from && chord < words_.size() ? xml_text(words_[chord]) : std::string();
    if (!trimmed(words).empty()) written.lyrics.push_back({std::string(trimmed(words))});
    add_notes(measure, written, accidentals);
  }
}

void MeasureWriter::add_tune(pugi::xml_node measure, int bar) {
  accidentals_[0].start_bar();
  std::vector<TimedChord> chords;
  if (bar > 0) {
    for (std::size_t i = chord_; i < end_of_bar(chord_); ++i) chords.push_back(timeline_.chords[i]);
  }
  add_tune_notes(measure, *tune_, written_tune_bar(*tune_, timeline_.meters, bar), chords,
                 bar > 0 ? timeline_.meters.start_of(bar) : Beats(0), divisions_, accidentals_[0]);
}

std::string MeasureWriter::upbeat() {
  pugi::xml_document tree;
  pugi::xml_node measure = tree.append_child("measure");
  measure.append_attribute("number") = 0;
  measure.append_attribute("implicit") = "yes";
  divisions_ = common_divisions_.value_or(romanesca::divisions_for(written_tune_bar(*tune_, timeline_.meters, 0)));
  if (tune_->repeats_upbeat) add_left_barline(measure, {1, false, true});
  const bool key_begins = enters_key();
  meter_ = meter();
  add_attributes(measure, {true, key_begins, true, true});
  add_tempo(measure);
  add_tune(measure, 0);
  if (two_staves_) {
    const Beats length = meter().bar_length() - tune_bar_begin(*tune_, timeline_.meters, 0);
    measure.append_child("backup").append_child("duration").text() = static_cast<long long>(in_divisions(length));
    add_bar_rest(measure, in_divisions(length), 2);
  }
  return text_of_measure(measure);
}

void MeasureWriter::add_left_barline(pugi::xml_node measure, const PrintedBar& bar) {
  // Where the upbeat is repeated, its own measure has the sign.
  const bool before_upbeat = number_ == 1 && tune_ != nullptr && tune_->repeats_upbeat;
  const bool opens = (bar.opens || (number_ == 1 && hands_.loops)) && !before_upbeat;
  if (!opens && bar.ending == 0) return;
  pugi::xml_node line = measure.append_child("barline");
  line.append_attribute("location") = "left";
  if (opens) line.append_child("bar-style").text() = "heavy-light";
  if (bar.ending > 0) {
    ending_ = ending_numbers(bar);
    pugi::xml_node ending = line.append_child("ending");
    ending.append_attribute("number") = ending_.c_str();
    ending.append_attribute("type") = "start";
  }
  if (opens) line.append_child("repeat").append_attribute("direction") = "forward";
}

void MeasureWriter::add_right_barline(pugi::xml_node measure, const PrintedBar& bar, bool section_ends) const {
  const bool last = static_cast<std::size_t>(number_) == bars_;
  const bool closes = bar.closes > 0 || (last && hands_.loops);
  if (!last && !section_ends && !closes && !bar.ending_ends) return;
  pugi::xml_node line = measure.append_child("barline");
  line.append_attribute("location") = "right";
  if (last || closes || section_ends)
    line.append_child("bar-style").text() = last || closes ? "light-heavy" : "light-light";
  if (bar.ending_ends) {
    pugi::xml_node ending = line.append_child("ending");
    ending.append_attribute("number") = ending_.c_str();
    ending.append_attribute("type") = bar.closes > 0 ? "stop" : "discontinue";
  }
  if (!closes) return;
  pugi::xml_node repeat = line.append_child("repeat");
  repeat.append_attribute("direction") = "backward";
  if (bar.closes > 2) repeat.append_attribute("times") = bar.closes;
}

/// The sign or words at a place of the form, and what they do in playback.
void add_form_sign(pugi::xml_node measure, const char* sign, const char* words, const char* sound, const char* value) {
  pugi::xml_node direction = measure.append_child("direction");
  direction.append_attribute("placement") = "above";
  pugi::xml_node type = direction.append_child("direction-type");
  if (sign != nullptr) {
    type.append_child(sign);
  } else {
    type.append_child("words").text() = words;
  }
  direction.append_child("staff").text() = 1;
  direction.append_child("sound").append_attribute(sound) = value;
}

void add_signs_after(pugi::xml_node measure, const PrintedBar& bar, Jump jump) {
  if (bar.fine) add_form_sign(measure, nullptr, "Fine", "fine", "yes");
  if (bar.to_coda) add_form_sign(measure, nullptr, "To Coda", "tocoda", "coda");
  if (jump == Jump::none) return;
  const std::string words(to_string(jump));
  const bool segno = words.starts_with("D.S.");
  add_form_sign(measure, nullptr, words.c_str(), segno ? "dalsegno" : "dacapo", segno ? "segno" : "yes");
}

std::string MeasureWriter::next(const PrintedSection& section, std::size_t index) {
  const PrintedBar& bar = section.bars[index];
  pugi::xml_document tree;
  pugi::xml_node measure = tree.append_child("measure");
  measure.append_attribute("number") = ++number_;
  bar_ = bar.bar;
  chord_ = first_chord_[static_cast<std::size_t>(bar_) - 1];
  const std::vector<WrittenNote> rhythm = rhythm_of(chord_, end_of_bar(chord_));
  const std::int64_t before = divisions_;
  add_left_barline(measure, bar);
  divisions_ = common_divisions_ ? *common_divisions_ : std::lcm(divisions_for(rhythm), bar_denominator());
  if (!common_divisions_ && tune_ != nullptr)
    divisions_ = std::lcm(divisions_, romanesca::divisions_for(written_tune_bar(*tune_, timeline_.meters, bar_)));
  const bool first = before == 0;
  add_attributes(measure, {divisions_ != before, enters_key() || first, meter_ != meter(), first});
  meter_ = meter();
  if (index == 0) add_section(measure, section);
  if (bar.segno) add_form_sign(measure, "segno", nullptr, "segno", "segno");
  if (bar.coda) add_form_sign(measure, "coda", nullptr, "coda", "coda");
  add_tempo(measure);
  tune_ == nullptr ? add_staff(measure, 1, rhythm) : add_tune(measure, bar_);
  if (two_staves_) {
    measure.append_child("backup").append_child("duration").text() = static_cast<long long>(in_divisions(bar_length()));
    add_staff(measure, 2, rhythm);
  }
  const bool section_ends = index + 1 == section.bars.size();
  add_signs_after(measure, bar, section_ends ? section.jump : Jump::none);
  add_right_barline(measure, bar, section_ends);
  return text_of_measure(measure);
}

std::string title_of(const Placement& placed) {
  const std::string& title = placed.progression.title;
  return title.empty() ? placed.name : title;
}

}  // namespace

std::string chart_musicxml(const Placement& placed, const Hands& hands) {
  MeasureWriter measures(placed, hands, nullptr, true);
  return musicxml_score(title_of(placed), placed.progression.composer, "Piano", measures.all());
}

std::string lead_sheet_musicxml(const Placement& song, const Tune& tune, const Hands& hands,
                                const std::string& composer, bool with_left) {
  Placement placed = song;
  shorten_chords(placed.analysis.timeline, tune);
  MeasureWriter measures(placed, hands, &tune, with_left);
  return musicxml_score(title_of(placed), composer, with_left ? "Piano" : "Voice", measures.all());
}

}  // namespace romanesca
