#include "cli/options.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>

#include "cli/errors.h"
#include "cli/studio/file_io.h"
#include "cli/studio/kept_settings.h"
#include "cli/studio/own_settings.h"
#include "theory/text/errors.h"
#include "theory/text/nearest_word.h"
#include "theory/voicing/bass_line.h"

namespace romanesca {
namespace {

/// The value with this name. Throws Failure with the known names.
template <typename Value, std::size_t N>
Value named(const std::string& option, const std::string& word, const std::array<Value, N>& values) {
  std::vector<std::string_view> names;
  for (const Value value : values) {
    if (to_string(value) == word) return value;
    names.push_back(to_string(value));
  }
  throw Failure(ExitStatus::wrong_input, fmt::format("{}: unknown value \"{}\"", option, word),
                // cppcheck-suppress danglingTemporaryLifetime; the names are literals
                fmt::format("choose {}", fmt::join(names, ", ")));
}

void check_range(const char* option, double value, double lowest, double highest) {
  if (value >= lowest && value <= highest) return;
  throw Failure(ExitStatus::wrong_input, fmt::format("{}: {} is out of range", option, value),
                fmt::format("choose {} to {}", lowest, highest));
}

/// A line on standard error about a text that was read.
void tell(const SongNote& note, const Console& console) {
  console.err << "romanesca: " << (note.line > 0 ? fmt::format("line {}: ", note.line) : "") << note.text << "\n";
}

}  // namespace

void unknown_value(const char* option, const std::string& word, std::string_view choices) {
  throw Failure(ExitStatus::wrong_input, fmt::format("{}: unknown value \"{}\"", option, word),
                fmt::format("choose {}", choices));
}

void CommonOptions::add_progression(OptionParser& parser, bool required) {
  parser.add_option("progression", progression, "chords in quotes, a file, a library id, or - for standard input")
      .required(required)
      .value_name("PROGRESSION");
  parser.add_flag("--quiet", quiet, "do not tell what was decided about the text");
  parser.add_option("--names", names, "names of notes, read and written: english, german (H, Es) or solfege (Do Re Mi)")
      .value_name("NAMES");
}

void CommonOptions::add_key(OptionParser& parser) {
  parser.add_option("--key", key, "the key to put it in, like Eb, \"F# minor\" or \"D dorian\"").value_name("KEY");
}

void CommonOptions::add_from(OptionParser& parser) {
  parser.add_option("--from", from, "the key that the song is in, where it is not the one that the chords show")
      .value_name("KEY");
}

void CommonOptions::add_json(OptionParser& parser) { parser.add_flag("--json", json, "answer as one JSON object"); }

void CommonOptions::add_out(OptionParser& parser, const std::string& endings) {
  parser.add_option("--out", out, "write to this file: " + endings).value_name("FILE");
}

SongReadingSettings CommonOptions::reading(const Console& console) const {
  SongReadingSettings settings;
  settings.usual_names = value_or_throw(kept_settings(console.configuration)).names;
  if (!names.empty()) {
    settings.names = parse_note_names(names);
    if (!settings.names) unknown_value("--names", names, "english, german or solfege");
  }
  return settings;
}

std::optional<KeyText> CommonOptions::key_given(const Console& console) const {
  const SongReadingSettings settings = reading(console);
  return value_or_throw(romanesca::key_given(key, "--key", settings.names.value_or(settings.usual_names)));
}

NamedProgression CommonOptions::source(Console& console) const {
  const SongReadingSettings settings = reading(console);
  const NoteNames own_names = settings.names.value_or(settings.usual_names);
  NamedProgression song = value_or_throw(read_progression(progression, console.in, settings));
  if (const auto stated = value_or_throw(romanesca::key_given(from, "--from", own_names)); stated)
    song.progression.key = stated;
  if (!plays) {
    const auto own = value_or_throw(own_styles(console.configuration));
    if (const auto style = style_for(song.progression, "", own); !style) {
      const TextError& error = style.error().error();
      song.decisions.push_back({0, fmt::format("{}: {}", error.message, error.hint), true, {}});
    }
  }
  if (quiet) return song;
  for (const SongNote& note : song.decisions) {
    if (note.doubtful) tell(note, console);
  }
  for (const SongNote& note : song.left_out) {
    if (note.text.starts_with('#')) continue;  // a comment is left out on purpose
    tell({note.line, "left out: " + note.text, true}, console);
  }
  if (const auto goal = key_given(console); goal && moves) {
    if (const std::string note = note_of_move(song, *goal); !note.empty()) tell({0, note, true}, console);
  }
  return song;
}

Placement CommonOptions::placed(Console& console) const {
  const auto key_now = key_given(console);
  return value_or_throw(place(source(console), key_now));
}

void CadenceTermsOption::add(OptionParser& parser) {
  parser.add_option("--terms", terms, "what cadences are called: perfect (british) or authentic (american)")
      .value_name("british|american");
}

CadenceTerms CadenceTermsOption::checked(const Console& console) const {
  if (terms.empty()) return value_or_throw(kept_settings(console.configuration)).terms;
  const auto read = parse_cadence_terms(terms);
  if (!read) unknown_value("--terms", terms, "british or american");
  return *read;
}

namespace {

/// ".wav, .flac or .mid"
std::string choice_of(const std::vector<std::string>& endings) {
  std::string text;
  for (std::size_t i = 0; i < endings.size(); ++i) {
    const bool last = i + 1 == endings.size();
    text += (i == 0 ? "." : last ? " or ." : ", .") + endings[i];
  }
  return text;
}

}  // namespace

void check_ending(const std::string& path, const std::vector<std::string>& endings, const std::string& option) {
  const std::string ending = ending_of(path);
  if (std::find(endings.begin(), endings.end(), ending) != endings.end()) return;
  throw Failure(ExitStatus::wrong_input,
                ending.empty() ? fmt::format("{}: {} has no ending, so its format is not clear", option, path)
                               : fmt::format("{}: .{} files cannot be written here", option, ending),
                "end the name in " + choice_of(endings));
}

std::optional<std::string> CommonOptions::out_given(const std::vector<std::string>& endings) const {
  if (out.empty()) return std::nullopt;
  if (out.size() > 1) throw Failure(ExitStatus::wrong_input, "--out: one file at a time", "run it again for the other");
  check_ending(out.front(), endings);
  return out.front();
}

PaperSettings paper_named(const std::string& name) {
  PaperSettings paper;
  if (name == "letter") {
    paper.width = 612;
    paper.height = 792;
  } else if (name != "a4") {
    throw Failure(ExitStatus::wrong_input, fmt::format("--paper: unknown value \"{}\"", name), "choose a4 or letter");
  }
  return paper;
}

void check_span(const std::string& option, int span) {
  if (span >= narrowest_span && span <= widest_span) return;
  throw Failure(ExitStatus::wrong_input, fmt::format("{}: {} is out of range", option, span),
                fmt::format("a hand stretches {} to {} semitones", narrowest_span, widest_span));
}

void HandOptions::add(OptionParser& parser) {
  parser
      .add_option("--voicing", voicing,
                  "close (inversions that lie near), root, open (drop 2), shell, rootless (left hand), two-hand or "
                  "four-part")
      .value_name("KIND");
  parser.add_option("--left", left, "left hand: root, fifth, octave or broken").value_name("PATTERN");
  parser.add_option("--bass", bass, "stepwise: inversions for a bass that walks by step").value_name("stepwise");
  parser.add_option("--span", span, "widest stretch of a hand in semitones, 5 to 16; an octave is 12")
      .value_name("N")
      .refuse_zero("a hand stretches 5 to 16 semitones");
  parser.add_option("--level", level, "hands of a student of this level, 1 to 8")
      .value_name("N")
      .refuse_zero("levels are 1 to 8");
  parser.add_flag("--loop", loops, "the end leads back to the beginning");
  parser.add_flag("--strict-spelling", strict_spelling, "Abdim7 with Cb, Ebb and Gbb instead of B, D and F");
}

HandSettings HandOptions::settings(const Console& console) const {
  HandSettings result;
  if (level != 0) result = level_hands(value_or_throw(own_level("--level", level, console.configuration)));
  if (!voicing.empty()) result.voicing = named("--voicing", voicing, all_voicing_kinds);
  if (result.voicing != VoicingKind::close) result.one_place = false;
  if (result.voicing == VoicingKind::shell) result.left = LeftHand::root;  // a fifth would be no shell
  if (!left.empty()) {
    result.left = named("--left", left, all_left_hands);
    result.spare_doublings = false;
  }
  if (span != 0) {
    check_span("--span", span);
    result.span = span;
  }
  result.loops = loops;
  result.strict_spelling = strict_spelling;
  return result;
}

std::string HandOptions::advice(const Console& console) const {
  if (level == 0) return {};
  const Level of_student = value_or_throw(own_level("--level", level, console.configuration));
  return fmt::format("Level {}, {}: {}.", level, of_student.name, description(of_student.rhythm));
}

void HandOptions::lead_bass(Placement& placed) const {
  if (bass.empty()) return;
  if (bass != "stepwise") {
    throw Failure(ExitStatus::wrong_input, fmt::format("--bass: unknown value \"{}\"", bass), "choose stepwise");
  }
  placed.progression = with_stepwise_bass(placed.progression, placed.analysis);
  const double confidence = placed.analysis.keys.main.confidence;
  placed.analysis = analyse(placed.progression, KeyText{placed.key.tonic, placed.key.mode});
  placed.analysis.keys.main.confidence = confidence;
}

void BandOptions::add(OptionParser& parser) {
  parser.add_option("--style", request.style, "accompaniment style (romanesca styles)").value_name("STYLE");
  parser.add_option("--repeat", request.times, "how often through, 1 to 200").value_name("N");
  parser.add_option("--times", request.times).hidden();  // its older name
  parser.add_flag("--step-up", request.step_up, "with --repeat: each time in the next key of the circle of fifths");
  parser.add_option("--count-in", request.count_in_bars, "bars of clicks first, 0 to 8; then the end rings out")
      .value_name("BARS");
  parser
      .add_option("--intro", request.intro_bars,
                  "bars of intro, 0 to 8: the first section's last bars, softly; in some styles the drums begin")
      .value_name("BARS");
  parser.add_option("--ending", ending, "none, hold, slow (a ritardando), button, tag, fade or own (the style's)")
      .value_name("HOW");
  parser.add_option("--intensity", intensity, "soft, medium or full throughout; else as the sections' names ask")
      .value_name("HOW");
  parser.add_option("--trade", request.trade_bars, "so many bars of band, so many of drums alone, in turn")
      .value_name("BARS");
  parser.add_option("--guide", guide, "a soft guide part: chords, melody (chord tones) or tune (the song's own)")
      .value_name("KIND");
  parser.add_option("--tune", tune, "the song's tune with the band, on this instrument, like clarinet")
      .value_name("INSTRUMENT");
  parser.add_flag("--click", request.click, "a metronome throughout");
  parser.add_option("--mute", request.mute, "leave this part out, like drums, bass or pad").value_name("PART");
  parser.add_option("--only", request.only, "play this part alone").value_name("PART");
  parser.add_option("--with", request.with, "put this part in: keys, which are left to the student otherwise")
      .value_name("PART");
  parser.add_option("--swing", request.swing_percent, "where the second of two notes falls, 50 (even) to 75")
      .value_name("PERCENT");
  parser.add_option("--human", request.human_percent, "small unevenness in time and force, 0 (exact) to 100")
      .value_name("PERCENT");
  parser.add_option("--seed", request.seed, "another number gives another performance").value_name("N");
}

BandRequest BandOptions::checked() const {
  check_range("--repeat", request.times, 1, 200);
  check_range("--count-in", request.count_in_bars, 0, 8);
  check_range("--intro", request.intro_bars, 0, 8);
  check_range("--trade", request.trade_bars, 0, 32);
  if (request.swing_percent != 0) check_range("--swing", request.swing_percent, 50, 75);
  check_range("--human", request.human_percent, 0, 100);
  if (request.step_up && request.times == 1) {
    throw Failure(ExitStatus::wrong_input, "--step-up changes the key each time round, and it goes round once",
                  "add --repeat 12 for all keys");
  }
  BandRequest checked = request;
  const auto known_ending = parse_ending(ending);
  if (!known_ending) unknown_value("--ending", ending, "none, hold, slow, button, tag, fade or own");
  checked.ending = known_ending.value_or(Ending::none);
  checked.intensity = parse_intensity(intensity);
  if (!intensity.empty() && !checked.intensity) unknown_value("--intensity", intensity, "soft, medium or full");
  checked.guide = parse_guide(guide);
  if (!guide.empty() && !checked.guide) unknown_value("--guide", guide, "chords, melody or tune");
  if (!tune.empty()) {
    std::vector<std::string_view> names;
    for (const InstrumentRow& each : instruments()) {
      if (!each.drums && each.id != InstrumentId::click) names.push_back(each.name);
      if (!each.drums && each.name == tune) checked.tune = each.id;
    }
    if (!checked.tune) unknown_value("--tune", tune, fmt::format("one of {}", fmt::join(names, ", ")));
  }
  return checked;
}

bool BandOptions::only_chooses_parts() const {
  return request.style.empty() && request.tempo_bpm == 0 && request.times == 1 && !request.step_up &&
         request.count_in_bars == 0 && request.intro_bars == 0 && request.trade_bars == 0 &&
         request.swing_percent == 0 && !request.click && ending == "none" && intensity.empty() && guide.empty() &&
         tune.empty();
}

}  // namespace romanesca
