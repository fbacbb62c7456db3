#include "cli/studio/musicxml_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <pugixml.hpp>
#include <utility>

#include "theory/songs/chord_names.h"
#include "theory/songs/song_form.h"
#include "theory/songs/tune_bars.h"
#include "theory/text/characters.h"
#include "theory/tunes/verses.h"

namespace romanesca {
namespace {

/// The line of a byte, from 1.
int line_at(std::string_view text, std::ptrdiff_t offset) {
  const auto until = text.substr(0, static_cast<std::size_t>(std::max<std::ptrdiff_t>(0, offset)));
  return static_cast<int>(std::count(until.begin(), until.end(), '\n')) + 1;
}

/// The suffix of a chord symbol for a value of the element "kind" (MusicXML 4.0, data type kind-value).
std::optional<std::string_view> suffix_of(std::string_view kind) {
  constexpr std::array<std::pair<std::string_view, std::string_view>, 25> kinds{{{"major", ""},
                                                                                 {"minor", "m"},
                                                                                 {"augmented", "aug"},
                                                                                 {"diminished", "dim"},
                                                                                 {"dominant", "7"},
                                                                                 {"major-seventh", "maj7"},
                                                                                 {"minor-seventh", "m7"},
                                                                                 {"diminished-seventh", "dim7"},
                                                                                 {"augmented-seventh", "7#5"},
                                                                                 {"half-diminished", "m7b5"},
                                                                                 {"major-minor", "m(maj7)"},
                                                                                 {"major-sixth", "6"},
                                                                                 {"minor-sixth", "m6"},
                                                                                 {"dominant-ninth", "9"},
                                                                                 {"major-ninth", "maj9"},
                                                                                 {"minor-ninth", "m9"},
                                                                                 {"dominant-11th", "11"},
                                                                                 {"major-11th", "maj11"},
                                                                                 {"minor-11th", "m11"},
                                                                                 {"dominant-13th", "13"},
                                                                                 {"major-13th", "maj13"},
                                                                                 {"minor-13th", "m13"},
                                                                                 {"suspended-second", "sus2"},
                                                                                 {"suspended-fourth", "sus4"},
                                                                                 {"power", "5"}}};
  for (const auto& [name, suffix] : kinds) {
    if (name == kind) return suffix;
  }
  return std::nullopt;
}

std::string accidentals(int alter) {
  return alter == 0 ? "" : std::string(static_cast<std::size_t>(std::min(2, std::abs(alter))), alter > 0 ? '#' : 'b');
}

class ScoreReader {
 public:
  ScoreReader(std::string_view bytes, const std::string& source) : bytes_(bytes) { fault_.source = source; }

  Parsed<SongReading> read() {
    pugi::xml_document document;
    const pugi::xml_parse_result parsed = document.load_buffer(bytes_.data(), bytes_.size());
    if (!parsed) {
      fail(line_at(bytes_, parsed.offset), "this is no whole XML", "export the MusicXML file again");
      return std::move(fault_);
    }
    const pugi::xml_node score = document.child("score-partwise");
    if (!score) {
      fail(1, "this is no MusicXML score with parts one after the other (score-partwise)",
           "export it as MusicXML from the notation program");
      return std::move(fault_);
    }
    read_title(score);
    int others = 0;
    for (const pugi::xml_node& part : score.children("part")) {
      if (has_notes_) {
        ++others;
      } else {
        read_part(part);
      }
    }
    if (others > 0)
      leave_out(others == 1 ? "the other part of the score" : fmt::format("{} other parts of the score", others));
    if (!failed_ && !has_notes_) fail(1, "no notes in the score", "write the melody into its first part");
    if (!failed_) finish();
    if (failed_) return std::move(fault_);
    return std::move(reading_);
  }

 private:
  void read_title(const pugi::xml_node& score) {
    std::string_view title = trimmed(score.child("work").child("work-title").text().get());
    if (title.empty()) title = trimmed(score.child("movement-title").text().get());
    if (!first_bad_byte(title)) song().title = title;
    for (const pugi::xml_node& creator : score.child("identification").children("creator")) {
      const std::string_view name = trimmed(creator.text().get());
      const bool is_composer = std::string_view(creator.attribute("type").value()) == "composer";
      if (is_composer && song().composer.empty() && !first_bad_byte(name)) song().composer = name;
    }
  }

  void read_part(const pugi::xml_node& part) {
    measures_.clear();
    next_ = Measure();
    voice_.clear();
    for (const pugi::xml_node& measure : part.children("measure")) {
      if (failed_) return;
      read_measure(measure);
    }
  }

  void read_measure(const pugi::xml_node& measure) {
    now_ = longest_ = last_start_ = Beats();
    bool closes = false, ends_part = false;
    if (in_row_ >= 4 || measure.child("print").attribute("new-system").as_bool()) {
      next_.begins_row = true;
      in_row_ = 0;
    }
    ++in_row_;
    for (const pugi::xml_node& element : measure.children()) {
      const std::string_view name = element.name();
      if (name == "attributes") read_attributes(element);
      if (name == "note") read_note(element);
      if (name == "harmony") read_harmony(element);
      if (name == "backup") move(element, -1);
      if (name == "forward") move(element, 1);
      if (name == "direction") read_tempo(element.child("sound"));
      if (name == "sound") read_tempo(element);
      if (name == "barline") read_barline(element, closes, ends_part);
      if (failed_) return;
    }
    next_.length = longest_;
    next_.closes = closes;
    Measure following;
    following.counts = next_.counts;
    following.meter = next_.meter;
    following.after_double = ends_part;
    if (longest_ > Beats(0)) measures_.push_back(std::move(next_));
    next_ = std::move(following);
    if (measures_.size() > 10'000) fail(1, "the score has more than 10,000 bars", "read it in parts");
  }

  void read_attributes(const pugi::xml_node& attributes) {
    if (const auto divisions = attributes.child("divisions")) {
      const int parts = divisions.text().as_int();
      int odd = std::max(1, parts);
      while (odd % 2 == 0) odd /= 2;
      if (parts < 1 || parts > 30'240 || 945 % odd != 0) {
        return fail(line_of(divisions), "the notes of the score have lengths that are not written in music",
                    "export it again from the notation program");
      }
      divisions_ = parts;
    }
    if (const auto key = attributes.child("key"); key && key.child("fifths")) {
      const int fifths = std::clamp(key.child("fifths").text().as_int(), -7, 7);
      const bool minor = std::string_view(key.child("mode").text().get()) == "minor";
      next_.counts.key = KeyText{PitchClass(fifths + (minor ? 3 : 0)), minor ? Mode::minor : Mode::major};
      if (measures_.empty()) song().key = next_.counts.key;
    }
    if (const auto time = attributes.child("time"); time && time.child("beats")) {
      const std::string text =
          fmt::format("{}/{}", time.child("beats").text().get(), time.child("beat-type").text().get());
      const auto meter = parse_any_meter(text);
      if (!meter) {
        return fail(line_of(time), fmt::format("a song here cannot be in the meter {}", text),
                    "meters are 2/4, 3/4, 4/4, 5/4, 6/8, 9/8 and 12/8");
      }
      if (meter->other) decide(fmt::format("{} read as {}", text, to_string(meter->meter)));
      written_meter_ = *meter;
      next_.counts.meter = next_.meter = meter->meter;
      if (measures_.empty()) song().written_meter = meter->meter;
    }
  }

  /// A length in quarter notes; nothing for one that is damaged.
  std::optional<Beats> duration_of(const pugi::xml_node& element) {
    const int duration = element.child("duration").text().as_int();
    if (duration < 0 || duration > 4096 * divisions_) {
      fail(line_of(element), "a note without an end", "export the file again");
      return std::nullopt;
    }
    return written_meter_.read(Beats(duration, divisions_));
  }

  void move(const pugi::xml_node& element, int direction) {
    const auto length = duration_of(element);
    if (!length) return;
    now_ = std::max(Beats(0), now_ + *length * direction);
    check_length(element);
  }

  void check_length(const pugi::xml_node& element) {
    longest_ = std::max(longest_, now_);
    if (longest_ > Beats(4096)) fail(line_of(element), "a bar without an end", "export the file again");
  }

  void read_note(const pugi::xml_node& note) {
    if (note.child("grace") || note.child("cue")) return;
    const auto length = duration_of(note);
    if (!length) return;
    const bool together = static_cast<bool>(note.child("chord"));
    const Beats start = together ? last_start_ : now_;
    last_start_ = start;
    if (!together) now_ += *length;
    check_length(note);
    const pugi::xml_node pitch = note.child("pitch");
    if (!pitch || *length == Beats(0) || failed_) return;
    const std::string voice = note.child("voice").text().get();
    if (voice_.empty()) voice_ = voice;
    if (note.child("staff").text().as_int(1) != 1) return leave_out("the lower staff of the first part");
    if (voice != voice_) return leave_out("other voices of the first part");
    const auto read = pitch_of(pitch);
    if (!read) return fail(line_of(note), "a note without a pitch", "export the file again");
    has_notes_ = true;
    BarNote placed{start, *length, *read};
    for (const pugi::xml_node& tie : note.children("tie")) {
      placed.tied = placed.tied || std::string_view(tie.attribute("type").value()) == "start";
    }
    for (const pugi::xml_node& lyric : note.children("lyric")) read_lyric(lyric, placed);
    add(std::move(placed));
  }

  static std::optional<Pitch> pitch_of(const pugi::xml_node& pitch) {
    const std::string_view step = pitch.child("step").text().get();
    constexpr std::string_view letters = "CDEFGAB";
    const std::size_t letter = step.size() == 1 ? letters.find(step.front()) : std::string_view::npos;
    const int octave = pitch.child("octave").text().as_int(-1);
    if (letter == std::string_view::npos || octave < 0 || octave > 9) return std::nullopt;
    const int alter =
        std::clamp(static_cast<int>(std::clamp(pitch.child("alter").text().as_double(), -2.0, 2.0)), -2, 2);
    return Pitch(PitchClass::of(static_cast<int>(letter), alter), octave);
  }

  void read_lyric(const pugi::xml_node& lyric, BarNote& note) {
    std::string_view text = trimmed(lyric.child("text").text().get());
    if (text.empty() || first_bad_byte(text)) return;
    const std::size_t verse = verse_of(lyric.attribute("number").value());
    if (verse >= most_verses) return leave_out(fmt::format("verses after the {}th", most_verses));
    // The verse's number, which many files have as a part of its first syllable.
    const std::string number = std::to_string(verse + 1) + ".";
    for (const std::string_view blank : {" ", "\u00A0"}) {
      if (text.starts_with(number + std::string(blank))) text = trimmed(text.substr(number.size() + blank.size()));
    }
    const std::string_view syllabic = lyric.child("syllabic").text().get();
    const SyllableEnd end = syllabic == "begin" || syllabic == "middle" ? SyllableEnd::hyphen
                            : lyric.child("extend")                     ? SyllableEnd::held
                                                                        : SyllableEnd::word;
    set_syllable(note, verse, {std::string(text), end});
  }

  /// From 0. A number that is a name ("chorus") is the next free line of words.
  std::size_t verse_of(std::string_view number) {
    if (number.empty()) return 0;
    if (number.size() <= 2 && number.find_first_not_of("0123456789") == std::string_view::npos && number != "0") {
      return static_cast<std::size_t>(std::stoi(std::string(number))) - 1;
    }
    const auto known = std::find(named_verses_.begin(), named_verses_.end(), number);
    const auto verse = static_cast<std::size_t>(known - named_verses_.begin());
    if (verse == named_verses_.size() && verse < most_verses) named_verses_.emplace_back(number);
    return verse;
  }

  /// Of notes that begin together the highest; one that begins while another sounds ends that one.
  void add(BarNote note) {
    BarNotes& notes = next_.notes;
    if (!notes.empty() && notes.back().start == note.start) {
      if (note.pitch.midi() <= notes.back().pitch.midi()) return;
      for (std::size_t verse = 0; verse < count_verses(notes); ++verse) {
        if (syllable_of(note, verse).text.empty()) set_syllable(note, verse, syllable_of(notes.back(), verse));
      }
      notes.back() = std::move(note);
      return;
    }
    if (!notes.empty() && note.start < notes.back().start) return;
    if (!notes.empty() && notes.back().start + notes.back().length > note.start) {
      notes.back().length = note.start - notes.back().start;
    }
    notes.push_back(std::move(note));
  }

  void read_harmony(const pugi::xml_node& harmony) {
    const std::string kind = harmony.child("kind").text().get();
    MeasureChord chord{now_, {NoChord{}, {}}};
    if (kind != "none") {
      const pugi::xml_node root = harmony.child("root");
      const auto suffix = suffix_of(kind);
      if (!root || !suffix) return leave_out(fmt::format("a chord of the kind \"{}\"", kind));
      std::string text = root.child("root-step").text().get() + accidentals(root.child("root-alter").text().as_int());
      text += *suffix;
      for (const pugi::xml_node& degree : harmony.children("degree")) text += degree_text(degree, kind);
      if (const auto bass = harmony.child("bass")) {
        text += std::string("/") + bass.child("bass-step").text().get() +
                accidentals(bass.child("bass-alter").text().as_int());
      }
      const auto symbol = read_typed_chord(text, {});
      const Chord* const read = symbol ? std::get_if<Chord>(&*symbol) : nullptr;
      if (read == nullptr) return leave_out(fmt::format("the chord \"{}\"", text));
      chord.slot.content = *read;
    }
    if (!next_.chords.empty() && next_.chords.back().start >= now_) next_.chords.pop_back();
    next_.chords.push_back(chord);
  }

  static std::string degree_text(const pugi::xml_node& degree, std::string_view kind) {
    const int value = std::clamp(degree.child("degree-value").text().as_int(), 1, 13);
    const int alter = degree.child("degree-alter").text().as_int();
    const std::string_view type = degree.child("degree-type").text().get();
    if (type == "subtract") return fmt::format("(no{})", value);
    const bool plain = alter == 0 && (kind == "major" || kind == "minor");
    return plain ? fmt::format("(add{})", value) : fmt::format("({}{})", accidentals(alter), value);
  }

  void read_tempo(const pugi::xml_node& sound) {
    const double quarters = sound.attribute("tempo").as_double();
    const double bpm = quarters * written_meter_.longer.quarters() / next_.meter.pulse_length().quarters();
    if (!(bpm >= slowest_bpm && bpm <= fastest_bpm)) return;
    next_.counts.tempo_bpm = bpm;
    if (measures_.empty()) song().tempo_bpm = bpm;
  }

  void read_barline(const pugi::xml_node& barline, bool& closes, bool& ends_part) {
    const std::string_view repeat = barline.child("repeat").attribute("direction").value();
    if (repeat == "forward") next_.opens = true;
    if (repeat == "backward") closes = true;
    const std::string_view style = barline.child("bar-style").text().get();
    const bool left = std::string_view(barline.attribute("location").value()) == "left";
    if (!left && (style == "light-light" || style == "light-heavy")) ends_part = true;
    const pugi::xml_node ending = barline.child("ending");
    if (std::string_view(ending.attribute("type").value()) != "start") return;
    const std::string_view numbers = ending.attribute("number").value();
    const auto is_number = [](char c) { return c >= '1' && c <= '9'; };
    const auto first = std::find_if(numbers.begin(), numbers.end(), is_number);
    if (first == numbers.end()) return;
    const auto last = std::find_if(numbers.rbegin(), numbers.rend(), is_number);
    next_.ending = *first - '0';
    next_.ending_to = std::max(next_.ending, *last - '0');
  }

  void finish() {
    std::vector<std::string> remarks;
    if (!play_into(sections_of(std::move(measures_), remarks), reading_)) {
      return fail(1, "the song has too many bars with its repeats", "repeat less often");
    }
    for (std::string& remark : remarks) reading_.decisions.push_back({0, std::move(remark), true});
  }

  Progression& song() { return reading_.progression; }
  void leave_out(std::string text) { add_note(reading_.left_out, {0, std::move(text), false}); }
  void decide(std::string text) { add_note(reading_.decisions, {0, std::move(text), false}); }
  /// Each text once.
  static void add_note(std::vector<SongNote>& notes, SongNote note) {
    const auto same = [&](const SongNote& each) { return each.text == note.text; };
    if (notes.size() < 100 && std::none_of(notes.begin(), notes.end(), same)) notes.push_back(std::move(note));
  }
  [[nodiscard]] int line_of(const pugi::xml_node& node) const { return line_at(bytes_, node.offset_debug()); }
  void fail(int line, std::string message, std::string hint) {
    if (failed_) return;
    failed_ = true;
    fault_.message = std::move(message);
    fault_.hint = std::move(hint);
    fault_.place = {line, 1, 1};
  }

  std::string_view bytes_;
  SongReading reading_;
  TextError fault_;
  bool failed_ = false, has_notes_ = false;
  std::vector<Measure> measures_;
  Measure next_;
  Beats now_, longest_, last_start_;
  ReadMeter written_meter_;  // bars of the same length as its meter's, from longer or shorter notes
  int divisions_ = 1, in_row_ = 0;
  std::string voice_;
  std::vector<std::string> named_verses_;
};

}  // namespace

Parsed<SongReading> read_musicxml(std::string_view bytes, const std::string& source) {
  return ScoreReader(bytes, source).read();
}

}  // namespace romanesca
