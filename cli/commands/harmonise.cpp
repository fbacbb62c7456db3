#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "cli/commands/command_table.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/formats/harmony_text.h"
#include "cli/options.h"
#include "cli/studio/file_io.h"
#include "cli/studio/own_settings.h"
#include "progressions/harmony_level.h"
#include "theory/songs/progression_writer.h"
#include "theory/songs/song_reading.h"
#include "theory/songs/song_tune.h"

namespace romanesca {
namespace {

constexpr int usual_level = 5;

struct HarmoniseOptions {
  CommonOptions common;
  CadenceTermsOption terms;
  std::string with, choice;
  int level = usual_level;

  void add(OptionParser& parser) {
    parser.add_option("tune", common.progression, "a song with a tune, a file, or - for standard input")
        .required(true)
        .value_name("TUNE");
    parser.add_flag("--quiet", common.quiet, "do not tell what was decided about the text");
    parser
        .add_option("--names", common.names,
                    "names of notes, read and written: english, german (H, Es) or solfege (Do Re Mi)")
        .value_name("NAMES");
    parser.add_option("--level", level, "chords for a student of this level, 1 to 8 (else 5)").value_name("N");
    parser.add_option("--with", with, "the student's own chords, to use these alone: \"C Am F G\"")
        .value_name("CHORDS");
    parser.add_option("--key", common.key, "the key that the tune is in, where it is not the one that is heard")
        .value_name("KEY");
    parser.add_option("--choice", choice, "which of the choices --out writes: A, B or C (else A)").value_name("LETTER");
    common.add_out(parser, ".txt for the song with its chords, or .json");
    common.add_json(parser);
    terms.add(parser);
    common.moves = false;
  }
};

/// The student's own chords, and what was decided about them.
struct OwnChords {
  std::vector<Chord> chords;
  std::string decided;  ///< empty where nothing was
};

/// Each chord of --with in its order; numerals are realised in the key. Whoever writes I, IV and V in capitals alone
/// means the degrees: in a minor key the tonic and the fourth degree have minor triads there.
OwnChords own_chords(const std::string& text, const Key& key, const SongReadingSettings& settings) {
  const SongReading read = value_or_throw(read_song(text, "--with", settings));
  OwnChords own;
  for (const TimedChord& timed : timeline(read.progression, key).chords) {
    if (timed.chord) own.chords.push_back(*timed.chord);
  }
  if (own.chords.empty()) {
    throw Failure(ExitStatus::wrong_input, "--with: there is no chord", "give some, like --with \"C Am F G\"");
  }
  const bool capitals = read.progression.notation == Notation::roman &&
                        std::all_of(own.chords.begin(), own.chords.end(),
                                    [](const Chord& chord) { return chord.type == chord_types::major; });
  if (!capitals || !is_minorish(key.mode)) return own;
  for (Chord& chord : own.chords) {
    const bool minor = chord.root == key.tonic || chord.root == key.tonic + intervals::perfect_fourth;
    if (!minor) continue;
    chord.type = chord_types::minor;
    own.decided = fmt::format("in {} I and IV are read as i and iv; for major triads write the chords: {}, {}",
                              to_string(key), to_string(key.tonic), to_string(key.tonic + intervals::perfect_fourth));
  }
  return own;
}

std::size_t choice_given(const std::string& letter, std::size_t choices) {
  if (letter.empty()) return 0;
  for (std::size_t i = 0; i < choices; ++i) {
    if (letter == choice_letter(i) || letter == std::string(1, static_cast<char>('a' + i))) return i;
  }
  throw Failure(ExitStatus::wrong_input, fmt::format("--choice: there is no choice \"{}\"", letter),
                choices == 1 ? "there is only A" : fmt::format("choose A to {}", choice_letter(choices - 1)));
}

bool has_chords(const Timeline& timeline) {
  for (const TimedChord& timed : timeline.chords) {
    if (timed.chord) return true;
  }
  return false;
}

}  // namespace

std::function<void()> set_up_harmonise(OptionParser& parser, Console& console) {
  auto options = std::make_shared<HarmoniseOptions>();
  options->add(parser);
  return [options, &console] {
    const auto file = options->common.out_given({"txt", "json"});
    const Level level_here = value_or_throw(own_level("--level", options->level, console.configuration));
    const auto stated = options->common.key_given(console);
    const NamedProgression source = options->common.source(console);
    const Progression& song = source.progression;
    if (!has_tune(song)) {
      throw Failure(ExitStatus::wrong_input, "there is no tune in that song",
                    "write one under its bars, like \"tune: C2 D2 E4 | G8 |\", or give a MIDI, MusicXML or ABC file");
    }
    HarmonyRequest request;
    request.key = stated ? stated : source.key_found ? std::nullopt : song.key;
    request.limits = harmony_limits(level_here);
    request.terms = options->terms.checked(console);
    const Key written = request.key ? Key{request.key->tonic, request.key->mode.value_or(Mode::major)} : Key{};
    const Tune tune = tune_of(song, written);
    const Timeline before = timeline(song, written);
    if (!options->with.empty()) {
      const Key key = request.key ? written : find_tune_key(tune, before.meters).front().key;
      OwnChords own = own_chords(options->with, key, options->common.reading(console));
      if (!own.decided.empty() && !options->common.quiet) console.err << "romanesca: --with: " << own.decided << "\n";
      request.own = std::move(own.chords);
    }
    HarmonyReport report{song.title, &tune, before.meters, level_here.number, harmonise(tune, before.meters, request),
                         {},         false};
    if (report.harmony.choices.empty()) {
      throw Failure(ExitStatus::wrong_input, "the tune has no whole bar", "write more of it");
    }
    report.had_chords = has_chords(before);
    report.bars_before = source.bars_before;
    if (report.had_chords) report.outside = notes_outside_chords(tune, before, report.harmony.keys.front().key);
    const std::size_t chosen = choice_given(options->choice, report.harmony.choices.size());
    const bool json_file = file && ending_of(*file) == "json";
    if (options->common.json) write_output(harmony_json(report).dump() + "\n", std::nullopt, console);
    if (json_file) write_output(harmony_json(report).dump() + "\n", file, console);
    if (file && !json_file) {
      write_output(write_progression(with_harmony(song, report.harmony.choices[chosen])), file, console);
    }
    if (!file && !options->common.json) write_output(harmony_text(report, console.width), std::nullopt, console);
  };
}

}  // namespace romanesca
