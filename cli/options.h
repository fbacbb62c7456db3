#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/console.h"
#include "cli/option_parser.h"
#include "cli/studio/progression_source.h"

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
  /// The progression that was named. Throws Failure as read_progression.
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

}  // namespace romanesca
