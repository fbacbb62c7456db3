#pragma once

#include <filesystem>

#include "theory/analysis/cadence.h"
#include "theory/chords/note_names.h"
#include "theory/text/errors.h"

namespace romanesca {

/// What a user has chosen once for every command, in the file settings.toml of the folder of settings.
struct KeptSettings {
  NoteNames names = NoteNames::english;        ///< of texts that do not show their own, and of what is written
  CadenceTerms terms = CadenceTerms::british;  ///< in which cadences are named
};

/// The settings of the file; the usual ones where there is none. @param configuration the folder; empty for none.
/// An error has the place in a file that is wrong, or is file_refused for one that cannot be read.
[[nodiscard]] Result<KeptSettings> kept_settings(const std::filesystem::path& configuration);

/// Writes the file whole; makes its folder. File_refused where it cannot be.
[[nodiscard]] Status keep_settings(const KeptSettings& settings, const std::filesystem::path& configuration);

/// Where they are kept.
[[nodiscard]] std::filesystem::path settings_file(const std::filesystem::path& configuration);

}  // namespace romanesca
