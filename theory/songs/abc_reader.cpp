#include "theory/songs/abc_reader.h"

#include <fmt/format.h>

#include <algorithm>

#include "theory/songs/abc_fields.h"
#include "theory/songs/chord_names.h"
#include "theory/songs/song_tune.h"
#include "theory/songs/tune_bars.h"
#include "theory/text/characters.h"
#include "theory/tunes/music_code.h"
#include "theory/tunes/syllables.h"
#include "theory/tunes/verses.h"
#include "theory/tunes/written_pitch.h"

namespace romanesca {
namespace {

/// Goes through the lines of the first tune.
class AbcReader {
 public:
  explicit AbcReader(const std::string& source) { fault_.source = source; }

  Parsed<SongReading> read(std::string_view text) {
    if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
    while (!text.empty() && !failed_ && !ended_) {
      const std::size_t end = std::min(text.find_first_of("\r\n"), text.size());
      line_ = text.substr(0, end);
      ++number_;
      read_line();
      text.remove_prefix(std::min(end + (text.substr(end).starts_with("\r\n") ? 2 : 1), text.size()));
    }
    if (!failed_) finish();
    if (failed_) return std::move(fault_);
    return std::move(reading_);
  }

 private:
  // Section 2.2 and 2.2.1: a tune ends with an empty line; "%" begins a comment, section 2.2.4.
  void read_line() {
    std::string_view plain = line_.substr(0, comment_at(line_));
    while (plain.ends_with(' ') || plain.ends_with('\t')) plain.remove_suffix(1);
    if (plain.empty()) {
      ended_ = line_.find('%') == std::string_view::npos && in_body_ && !measures_.empty();
      return;
    }
    if (const auto bad = first_bad_byte(line_))
      return fail(*bad, 1, "not plain text in UTF-8", "save the tune as plain text");
    if (plain.size() > 1 && plain[1] == ':' && (is_letter(plain[0]) || plain[0] == '+') && plain.substr(0, 2) != "|:") {
      return read_field(plain[0], trimmed(plain.substr(2)), false);
    }
    if (!in_body_) return;  // section 2.2.2: free text between tunes
    if (!other_voice_) read_music(plain);
  }

  /// Where a comment begins that no backslash and no quotation mark protects.
  static std::size_t comment_at(std::string_view line) {
    for (std::size_t at = line.find('%'); at != std::string_view::npos; at = line.find('%', at + 1)) {
      if (at == 0 || line[at - 1] != '\\') return at;
    }
    return line.size();
  }

  // Section 3.1: information fields; 3.2: the same inside the tune.
  void read_field(char name, std::string_view value, bool is_inside) {
    switch (name) {
      case 'X':
        ended_ = in_body_;
        if (ended_) tell_left_out("only the first tune of the text is read");
        return;
      case 'T':
        if (song().title.empty()) song().title = value;
        return;
      case 'M':
        return read_meter(value);
      case 'L':
        if (const auto unit = parse_unit_length(value)) unit_ = *unit;
        return;
      case 'Q':
        return read_tempo(value);
      case 'K':
        return read_key(value);
      case 'P':
        if (in_body_) next_.section = value;
        return;
      case 'V':
        return read_voice(value);
      case 'w':
        if (!is_inside && !other_voice_) read_words(value);
        return;
      case 'W':
        return tell_left_out("words that stand under the whole tune (W:)");
      case 'C':
        if (song().composer.empty()) {
          song().composer = value;
          return;
        }
        [[fallthrough]];
      case 'A':
      case 'O':
        if (!value.empty()) reading_.left_out.push_back({number_, std::string(value), false});
        return;
      default:
        return;  // history, notation, source, instructions for printing
    }
  }

  void read_meter(std::string_view value) {
    if (value == "none" || value.empty()) return;
    const auto meter = parse_any_meter(value);
    if (!meter) {
      return fail(at(value), value.size(), fmt::format("a song here cannot be in the meter {}", value),
                  "meters are 2/4, 3/4, 4/4, 5/4, 6/8, 9/8 and 12/8");
    }
    written_meter_ = *meter;
    if (meter->other) {
      reading_.decisions.push_back({number_, fmt::format("{} read as {}", value, to_string(meter->meter)), false});
    }
    next_.counts.meter = next_.meter = meter->meter;
    if (!in_body_) song().written_meter = meter->meter;
  }

  void read_tempo(std::string_view value) {
    tempo_text_ = value;
    const auto bpm = parse_abc_tempo(value, written_meter_);
    if (!bpm) return;
    next_.counts.tempo_bpm = *bpm;
    if (!in_body_) song().tempo_bpm = *bpm;
  }

  void read_key(std::string_view value) {
    const auto key = parse_abc_key(value);
    if (key || !in_body_) next_.counts.key = key;
    accidentals_ = BarAccidentals(tune_signature(next_.counts.key));
    if (in_body_) return;
    // The meter, which the tempo needs, may stand after it: the key is the last field of the head.
    song().key = key;
    if (!tempo_text_.empty()) read_tempo(tempo_text_);
    in_body_ = true;
    if (!unit_) unit_ = usual_abc_unit(written_meter_);
  }

  // Section 7: of several voices the first is read.
  void read_voice(std::string_view value) {
    const std::string voice(value.substr(0, value.find(' ')));
    if (voice_.empty()) voice_ = voice;
    other_voice_ = in_body_ && voice != voice_;
    if (other_voice_) tell_left_out("only the first voice is read");
  }

  // Section 4: the body of a tune.
  void read_music(std::string_view text) {
    MusicCode code = read_music_code(text, {unit_.value_or(Beats(1, 2)), next_.meter, true});
    if (code.fault) return fail(code.fault->at, code.fault->length, code.fault->message, code.fault->hint);
    next_.begins_row = true;
    verses_read_ = 0;
    line_from_ = measures_.size();
    line_notes_from_ = next_.notes.size();
    tied_before_line_ = tied_.has_value();
    for (MusicSign& sign : code.signs) {
      sign.duration = written_meter_.read(sign.duration);
      if (!failed_) add(sign);
    }
  }

  void add(const MusicSign& sign) {
    using Kind = MusicSign::Kind;
    if (next_.line == 0) next_.line = number_;
    switch (sign.kind) {
      case Kind::note:
        return add_note(sign);
      case Kind::rest:
        tied_.reset();
        next_.length += sign.duration;
        return;
      case Kind::bar_rest:
        tied_.reset();
        finish_measure();  // where no bar line stands before it
        for (int i = 0; i < sign.number; ++i) {
          next_.length = next_.meter.bar_length();
          if (i + 1 < sign.number) finish_measure();
        }
        return;
      case Kind::bar_line:
        return add_bar_line(sign);
      case Kind::chord_symbol:
        return add_chord(sign);
      case Kind::field:
        read_field(sign.text.front(), trimmed(std::string_view(sign.text).substr(2)), true);
        return;
    }
  }

  void add_note(const MusicSign& sign) {
    const bool same = tied_ && tied_->name().letter() == sign.letter && tied_->octave() == sign.octave;
    const Pitch pitch =
        same && !sign.accidental ? *tied_ : accidentals_.read(sign.letter, sign.octave, sign.accidental);
    if (tied_ && pitch != *tied_) untie();
    next_.notes.push_back({next_.length, sign.duration, pitch, sign.tied});
    next_.length += sign.duration;
    tied_ = sign.tied ? std::optional(pitch) : std::nullopt;
    if (next_.length > Beats(4096)) fail(sign.at, sign.length, "a bar without an end", "put bar lines | in");
  }

  /// A tie to another pitch is a slur.
  void untie() {
    if (!next_.notes.empty()) {
      next_.notes.back().tied = false;
    } else if (!measures_.empty() && !measures_.back().notes.empty()) {
      measures_.back().notes.back().tied = false;
    }
    tied_.reset();
  }

  void add_bar_line(const MusicSign& sign) {
    finish_measure();
    if (sign.closes && !measures_.empty()) measures_.back().closes = true;
    next_.opens = next_.opens || sign.opens;
    next_.after_double = next_.after_double || sign.double_bar;
    if (sign.ending > 0) {
      next_.ending = sign.ending;
      next_.ending_to = sign.ending_to;
    }
    accidentals_.begin_bar();
  }

  /// A measure without any time is only a place for signs.
  void finish_measure() {
    if (next_.length == Beats(0)) return;
    Measure following;
    following.counts = next_.counts;
    following.meter = next_.meter;
    measures_.push_back(std::move(next_));
    next_ = std::move(following);
    if (measures_.size() > most_bars_played) fail(0, 1, "too many bars", "read it in parts");
  }

  // Section 4.18.
  void add_chord(const MusicSign& sign) {
    std::string_view name = sign.text;
    name = trimmed(name.substr(0, name.find('(', 1)));
    if (is_no_chord(name)) {
      next_.chords.push_back({next_.length, {NoChord{}, place_of(sign.at, sign.length)}});
      return;
    }
    const auto symbol = read_typed_chord(name, {});
    const Chord* const chord = symbol ? std::get_if<Chord>(&*symbol) : nullptr;
    if (chord == nullptr) {
      reading_.left_out.push_back({number_, fmt::format("\"{}\", which is no chord", sign.text), false});
      return;
    }
    if (!next_.chords.empty() && next_.chords.back().start == next_.length) next_.chords.pop_back();
    next_.chords.push_back({next_.length, {*chord, place_of(sign.at, sign.length)}});
  }

  // Section 5.1: words under the line of notes before, each line of words one more verse.
  void read_words(std::string_view value) {
    const std::size_t verse = verses_read_;
    if (verse == most_verses) return tell_left_out(fmt::format("verses after the {}th", most_verses));
    ++verses_read_;
    std::vector<SungNote> every, sung;
    bool tied = tied_before_line_;
    const auto add = [&](Measure& measure, std::size_t from, std::size_t bar) {
      for (std::size_t i = from; i < measure.notes.size(); ++i) {
        every.push_back({&measure.notes[i], bar});
        if (!tied) sung.push_back(every.back());
        tied = measure.notes[i].tied;
      }
    };
    for (std::size_t i = line_from_; i < measures_.size(); ++i) {
      add(measures_[i], i == line_from_ ? line_notes_from_ : 0, i - line_from_);
    }
    add(next_, line_from_ == measures_.size() ? line_notes_from_ : 0, measures_.size() - line_from_);
    // A tied note counts for itself, but many writers leave it out: then a syllable would fall on one.
    const auto place = [&](const std::vector<SungNote>& notes) {
      for (const SungNote& each : every) set_syllable(*each.note, verse, {});
      return put_syllables(value, notes, verse).fault;
    };
    auto fault = place(count_syllables(value) == sung.size() ? sung : every);
    tied = tied_before_line_;
    bool lost = false;
    for (const SungNote& each : every) {
      lost = lost || (tied && !syllable_of(*each.note, verse).text.empty());
      tied = each.note->tied;
    }
    if (lost) fault = place(sung);
    if (fault) {
      reading_.left_out.push_back({number_, std::string(value.substr(std::min(fault->at, value.size()))), false});
    }
  }

  void finish() {
    finish_measure();
    if (failed_) return;
    const bool any =
        std::any_of(measures_.begin(), measures_.end(), [](const Measure& each) { return !each.notes.empty(); });
    if (!any) {
      line_ = {};
      number_ = 0;
      return fail(0, 1, "no notes in the tune", "write them under the line that begins with K:");
    }
    if (tied_) untie();
    std::vector<std::string> remarks;
    const std::vector<WrittenSection> sections = sections_of(std::move(measures_), remarks);
    for (std::string& remark : remarks) reading_.decisions.push_back({0, std::move(remark), true});
    if (!play_into(sections, reading_)) {
      line_ = {};
      fail(0, 1, "the tune has too many bars with its repeats", "repeat less often");
    }
  }

  Progression& song() { return reading_.progression; }

  void tell_left_out(std::string text) {
    for (const SongNote& note : reading_.left_out) {
      if (note.text == text) return;
    }
    reading_.left_out.push_back({number_, std::move(text), false});
  }

  [[nodiscard]] std::size_t at(std::string_view part) const {
    return static_cast<std::size_t>(part.data() - line_.data());
  }
  [[nodiscard]] TextPlace place_of(std::size_t position, std::size_t bytes) const {
    return {number_, static_cast<int>(code_points(line_.substr(0, position))) + 1,
            std::max(1, static_cast<int>(code_points(line_.substr(std::min(position, line_.size()), bytes))))};
  }
  void fail(std::size_t position, std::size_t bytes, std::string message, std::string hint) {
    if (failed_) return;
    failed_ = true;
    fault_.message = std::move(message);
    fault_.hint = std::move(hint);
    fault_.place = place_of(std::min(position, line_.size()), bytes);
    fault_.line_text = line_;
  }

  SongReading reading_;
  TextError fault_;
  bool failed_ = false, ended_ = false, in_body_ = false, other_voice_ = false;
  std::string_view line_;
  int number_ = 0;
  ReadMeter written_meter_;  // bars of the same length as its meter's, from longer or shorter notes
  std::optional<Beats> unit_;
  std::string tempo_text_, voice_;
  BarAccidentals accidentals_;
  std::optional<Pitch> tied_;
  std::vector<Measure> measures_;
  Measure next_;
  // The line of notes that words may stand under.
  std::size_t line_from_ = 0, line_notes_from_ = 0, verses_read_ = 0;
  bool tied_before_line_ = false;
};

}  // namespace

bool looks_like_abc(std::string_view text) {
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  if (text.starts_with("%abc")) return true;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find_first_of("\r\n"), text.size());
    const std::string_view line = trimmed(text.substr(0, end));
    if (!line.empty() && !line.starts_with('%')) {
      return line.starts_with("X:") &&
             trimmed(line.substr(2)).find_first_not_of("0123456789") == std::string_view::npos;
    }
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return false;
}

Parsed<SongReading> read_abc(std::string_view text, const std::string& source) { return AbcReader(source).read(text); }

}  // namespace romanesca
