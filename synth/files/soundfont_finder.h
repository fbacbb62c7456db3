#pragma once

#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace romanesca {

/// Where a computer keeps SoundFonts: the folders sounds/sf2, sounds/sf3 and soundfonts of the user's and the system's
/// data (XDG Base Directory Specification 0.8), the user's first. They need not exist.
[[nodiscard]] std::vector<std::filesystem::path> soundfont_folders();

/// The best font in the folders, links followed: one whose name says General MIDI ("gm") before others, since a band
/// needs many instruments, then the largest, since it has the most samples, then the first by name. Nothing if there is
/// none; folders that cannot be read are passed over.
[[nodiscard]] std::optional<std::string> find_soundfont(std::span<const std::filesystem::path> folders);

}  // namespace romanesca
