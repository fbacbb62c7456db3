#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/option_parser.h"
#include "cli/studio/progression_argument.h"
#include "theory/analysis/analysis.h"

namespace romanesca {

/// Options that several commands share; each adds the ones it needs.
struct CommonOptions {
  std::string progression;
  std::string key;
  std::vector<std::string> out;
  bool json = false;

  void add_progression(OptionParser& parser, bool required = true);
  void add_key(OptionParser& parser);
  void add_json(OptionParser& parser);
  /// @param endings what the files may be, for the help: ".txt or .json"
  void add_out(OptionParser& parser, const std::string& endings);

  /// The key given, or nothing. Throws Failure for one that does not exist.
  [[nodiscard]] std::optional<KeyText> key_given() const;
  /// The one output file, or nothing; its ending checked. Throws Failure for an ending not in the list.
  [[nodiscard]] std::optional<std::string> out_given(const std::vector<std::string>& endings) const;
};

/// The progression put into the key that was asked for: numerals and numbers realised in it, chords transposed to it
/// from their own. Without a key, numerals are realised in the key of their text or in C. Throws Failure where a major
/// song is asked for in minor or the other way round.
struct PlacedProgression {
  NamedProgression source;  ///< its progression as written; empty for absolute chords, which are in `progression`
  Progression progression;  ///< absolute chords
  Key key;                  ///< that they are in
  Analysis analysis;        ///< of them, with their numerals as written where there were any
};
[[nodiscard]] PlacedProgression place(NamedProgression source, const std::optional<KeyText>& key,
                                      MinorDegrees style = MinorDegrees::from_major);

/// Throws Failure (wrong_input) for a level that is not 1 to 8. @param option its name, for the message.
void check_level(const std::string& option, int level);

/// Checks the ending of a file to be written. Throws Failure (wrong_input) naming the endings that are known.
/// @param option the one that names it
void check_ending(const std::string& path, const std::vector<std::string>& endings,
                  const std::string& option = "--out");

}  // namespace romanesca
