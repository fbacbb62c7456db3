#include "theory/songs/song_reading.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "theory/songs/abc_reader.h"
#include "theory/songs/header_text.h"
#include "theory/songs/progression_text.h"
#include "theory/songs/song_assembly.h"
#include "theory/songs/song_form.h"
#include "theory/songs/song_lines.h"
#include "theory/songs/song_tune_lines.h"
#include "theory/text/characters.h"
#include "theory/text/nearest_word.h"

namespace romanesca {
namespace {

/// Whether a line is one letter only, which may be a chord or the name of a part: then the strict format is not sure.
bool has_lone_letter(std::string_view text) {
  std::size_t lines = 0;
  bool lone = false;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    const std::string_view line = trimmed(text.substr(0, end));
    lines += line.empty() ? 0 : 1;
    lone = lone || (line.size() == 1 && is_letter(line.front()));
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return lone && lines > 1;
}

bool has_empty_section(const Progression& progression) {
  return std::any_of(progression.sections.begin(), progression.sections.end(), [](const Section& section) {
    return std::all_of(section.rows.begin(), section.rows.end(), [](const Row& row) { return row.bars.empty(); });
  });
}

/// An error about a chord after "3/4", which was no chord but the meter.
bool began_with_meter(std::string_view message) {
  constexpr std::string_view words = "the progression began with ";
  const std::size_t at = message.find(words);
  return at != std::string_view::npos && parse_meter(message.substr(at + words.size()));
}

/// Bytes that are no text; line ends of all kinds may stand between the lines.
bool has_bad_bytes(std::string_view text) {
  while (!text.empty()) {
    const std::size_t end = std::min(text.find_first_of("\r\n\f"), text.size());
    if (first_bad_byte(text.substr(0, end))) return true;
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return false;
}

/// A line "keyy: C" that was left out: a header with a letter wrong.
bool is_misspelt_header(const TextError& error, const SongReading& reading) {
  if (!error.message.starts_with("unknown header")) return false;
  const std::string name = small_letters(error.line_text.substr(0, error.line_text.find(':')));
  constexpr std::array<std::string_view, 5> names{"title", "key", "tempo", "meter", "style"};
  const bool near = std::any_of(names.begin(), names.end(),
                                [&](std::string_view each) { return edit_distance(trimmed(name), each) == 1; });
  return near && std::any_of(reading.left_out.begin(), reading.left_out.end(),
                             [&](const SongNote& note) { return note.line == error.place.line; });
}

/// In the strict format everything is said, so that nothing has to be decided.
SongReading as_written(Progression progression) {
  SongReading reading;
  for (const Section& section : progression.sections) {
    SectionReading played{section.name, 0, {}, 1};
    for (const Row& row : section.rows) played.bars += static_cast<int>(row.bars.size());
    if (played.bars > 0) reading.sections.push_back(std::move(played));
  }
  reading.progression = std::move(progression);
  return reading;
}

/// The numerals of a song with their places, in order.
template <typename Change>
void for_each_numeral(Progression& song, Change change) {
  for (Section& section : song.sections) {
    for (Row& row : section.rows) {
      for (Bar& bar : row.bars) {
        for (Slot& slot : bar.slots) {
          if (auto* numeral = std::get_if<Numeral>(&slot.content)) change(*numeral, slot.place);
        }
      }
    }
  }
}

/// A degree of the scale without any word for its chord: "6".
bool is_plain_number(const Numeral& numeral) {
  return numeral.type == chord_types::major && numeral.root.accidental == 0 && numeral.applied_to.empty();
}

/// Numbers without a word for the quality: 1 5 6 4 are the scale's own chords, 6 a minor one.
void read_numbers_as_scale(SongReading& reading) {
  Progression& song = reading.progression;
  const bool in_minor = song.key && song.key->mode && is_minorish(*song.key->mode);
  if (song.notation != Notation::number || in_minor) return;
  bool tells_quality = false;
  int first_line = 0;
  for_each_numeral(song, [&](const Numeral& numeral, const TextPlace& place) {
    tells_quality = tells_quality || numeral.type.is_minor() || numeral.type == chord_types::diminished;
    constexpr std::string_view own_quality = "2367";
    const bool changes = own_quality.find(static_cast<char>('0' + numeral.root.number)) != std::string_view::npos;
    if (first_line == 0 && changes && is_plain_number(numeral)) first_line = std::max(1, place.line);
  });
  if (tells_quality || first_line == 0) return;
  const Key key{PitchClass(0), Mode::major};
  for_each_numeral(song, [&](Numeral& numeral, const TextPlace& place) {
    const bool plain = place.width == 1 && is_plain_number(numeral);  // "6maj" and "6M" say that they are major
    if (plain) numeral.type = key.diatonic_chord(numeral.root.number).type;
  });
  reading.decisions.push_back(
      {first_line, "plain numbers read as the scale's own chords: 2, 3 and 6 are minor (6M is major)", true});
}

/// Tells that with a capo the shapes that are written sound higher.
void tell_capo(SongReading& reading, int line) {
  const Progression& song = reading.progression;
  if (song.capo == 0 || song.notation != Notation::absolute) return;
  const int capo = song.capo;
  reading.decisions.push_back(
      {line,
       fmt::format("capo {}: everything sounds {} semitone{} higher than the shapes that are written", capo, capo,
                   capo == 1 ? "" : "s"),
       true});
}

}  // namespace

std::string edited(std::string_view text, const std::vector<LineEdit>& edits) {
  std::string result;
  const auto put = [&](int line) {
    const auto found =
        std::find_if(edits.begin(), edits.end(), [&](const LineEdit& edit) { return edit.line == line; });
    if (found == edits.end()) return false;
    if (!found->text.empty()) result += found->text + "\n";
    return true;
  };
  put(0);
  for (int line = 1; !text.empty(); ++line) {
    const std::size_t end = std::min(text.find('\n'), text.size() - 1) + 1;
    if (!put(line)) result += text.substr(0, end);
    text.remove_prefix(end);
  }
  return result;
}

Parsed<SongReading> read_song(std::string_view text, const std::string& source, const SongReadingSettings& settings) {
  if (looks_like_abc(text) && text.size() <= longest_typed_song) return read_abc(text, source);
  Parsed<Progression> strict = parse_progression(text, source);
  const bool other_names = settings.names.value_or(settings.usual_names) != NoteNames::english;
  if (strict && !other_names && !has_lone_letter(text) && !has_empty_section(*strict)) {
    SongReading reading = as_written(std::move(*strict));
    read_numbers_as_scale(reading);
    tell_capo(reading, 0);
    return reading;
  }
  if (text.size() > longest_typed_song) {
    if (!strict) return strict.error();
    return as_written(std::move(*strict));
  }
  if (has_bad_bytes(text) && !strict) return strict.error();
  AssembledSong song = assemble_song(text, source, settings);
  if (song.fault) {
    if (strict) return *song.fault;
    // The error of the reading that went further; of a single line, which may be a chord with a slip, the exact one.
    const bool one_line = trimmed(text).find('\n') == std::string_view::npos;
    const bool further = song.fault->place.line > strict.error().place.line;
    const std::string& what = strict.error().message;
    const bool same = what == song.fault->message;
    if (song.nothing_found) return one_line || same ? strict.error() : *song.fault;
    const std::string& line = strict.error().line_text;
    const bool vague = what.starts_with("unknown header") || is_tune_line(line) || is_words_line(line) ||
                       began_with_meter(what) ||
                       (what.starts_with("unknown chord") && !song.fault->message.starts_with("unknown chord"));
    return further || vague ? *song.fault : strict.error();
  }
  if (!strict && is_misspelt_header(strict.error(), song.reading)) return strict.error();
  read_numbers_as_scale(song.reading);
  song.reading.progression = sounding_with_capo(song.reading.progression);
  tell_capo(song.reading, song.capo_line);
  const auto by_line = [](const SongNote& a, const SongNote& b) { return a.line < b.line; };
  std::stable_sort(song.reading.decisions.begin(), song.reading.decisions.end(), by_line);
  std::stable_sort(song.reading.left_out.begin(), song.reading.left_out.end(), by_line);
  return std::move(song.reading);
}

}  // namespace romanesca
