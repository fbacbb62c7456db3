#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/console.h"
#include "cli/formats/paper/paper_settings.h"
#include "cli/option_parser.h"
#include "cli/studio/backing_track.h"
#include "cli/studio/progression_source.h"
#include "theory/analysis/cadence.h"
#include "theory/voicing/hands.h"

namespace romanesca {

/// Throws Failure (wrong_input) for a word that an option does not know. @param choices "british or american"
[[noreturn]] void unknown_value(const char* option, const std::string& word, std::string_view choices);

/// Options that several commands share; each adds the ones it needs.
struct CommonOptions {
  std::string progression;
  std::string key, from;
  std::vector<std::string> out;
  bool json = false;
  bool quiet = false;
  bool moves = true;   ///< --key moves the song; else it says what key the song is in
  bool plays = false;  ///< the band plays the song, and refuses a style that it does not know; else that is told
  std::string names;

  void add_progression(OptionParser& parser, bool required = true);
  void add_key(OptionParser& parser);
  /// --from, for commands that move a song to --key.
  void add_from(OptionParser& parser);
  void add_json(OptionParser& parser);
  /// @param endings what the files may be, for the help: ".txt or .json"
  void add_out(OptionParser& parser, const std::string& endings);

  /// How a text is to be read: the names of notes given, and those that the user has set. Throws Failure for others.
  [[nodiscard]] SongReadingSettings reading(const Console& console) const;
  /// The key given, or nothing. Throws Failure for one that does not exist.
  [[nodiscard]] std::optional<KeyText> key_given(const Console& console) const;
  /// The progression that was named; what was decided about a text that can be doubted goes to standard error, unless
  /// quiet, and so does a move from a key that is not sure. With --from the song is in that key. Throws Failure as
  /// read_progression.
  [[nodiscard]] NamedProgression source(Console& console) const;
  /// The progression in the key given. Throws Failure as place.
  [[nodiscard]] Placement placed(Console& console) const;
  /// The one output file, or nothing; its ending checked. Throws Failure for an ending not in the list.
  [[nodiscard]] std::optional<std::string> out_given(const std::vector<std::string>& endings) const;
};

/// Checks the ending of a file to be written. Throws Failure (wrong_input) naming the endings that are known.
/// @param option the one that names it
void check_ending(const std::string& path, const std::vector<std::string>& endings,
                  const std::string& option = "--out");

/// The paper of that name, "a4" or "letter". Throws Failure (wrong_input) for another word.
[[nodiscard]] PaperSettings paper_named(const std::string& name);

/// Throws Failure (wrong_input) for a stretch outside of narrowest_span to widest_span. @param option its name, for the
/// message.
void check_span(const std::string& option, int span);

/// The option --terms of commands that name cadences.
struct CadenceTermsOption {
  std::string terms;

  void add(OptionParser& parser);
  /// As kept by the command settings where it is left open. Throws Failure for an unknown word.
  [[nodiscard]] CadenceTerms checked(const Console& console) const;
};

/// Options of commands that show what hands play.
struct HandOptions {
  std::string voicing, left, bass;
  int span = 0, level = 0;
  bool loops = false, strict_spelling = false;

  void add(OptionParser& parser);
  /// What was asked for; what was left open comes from the level, if one was given. Throws Failure for an unknown word
  /// or a number out of range.
  [[nodiscard]] HandSettings settings(const Console& console) const;
  /// What a student of the level is to do with the chart, a sentence; empty without a level.
  [[nodiscard]] std::string advice(const Console& console) const;
  /// The piece with the bass line that was asked for, read again where it changed.
  void lead_bass(Placement& placed) const;
};

/// Options of commands that let the band play.
struct BandOptions {
  BandRequest request;
  std::string ending = "none", intensity, guide, tune;

  void add(OptionParser& parser);
  /// Throws Failure for a number out of range or an unknown word.
  [[nodiscard]] BandRequest checked() const;
  /// Nothing is asked for but which parts play.
  [[nodiscard]] bool only_chooses_parts() const;
};

}  // namespace romanesca
