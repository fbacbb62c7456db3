#include "synth/files/soundfont_finder.h"

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <string_view>
#include <system_error>
#include <tuple>

namespace romanesca {
namespace {

std::string variable_or(const char* name, const std::string& usual) {
  const char* const value = std::getenv(name);
  return value != nullptr && *value != '\0' ? value : usual;
}

std::string in_lower_case(std::string text) {
  for (char& letter : text) {
    if (letter >= 'A' && letter <= 'Z') letter = static_cast<char>(letter - 'A' + 'a');
  }
  return text;
}

/// What fonts are chosen by: the smallest is the best.
using Rank = std::tuple<bool, std::uintmax_t, std::string>;

Rank rank_of(const std::filesystem::path& font) {
  std::error_code unreadable;
  const std::uintmax_t size = std::filesystem::file_size(font, unreadable);
  const bool general = in_lower_case(font.filename().string()).find("gm") != std::string::npos;
  return {!general, ~(unreadable ? std::uintmax_t{0} : size), font.string()};
}

}  // namespace

std::vector<std::filesystem::path> soundfont_folders() {
  std::vector<std::filesystem::path> folders;
  const auto add = [&](const std::filesystem::path& data) {
    if (data.is_absolute()) {
      for (const char* below : {"sounds/sf2", "sounds/sf3", "soundfonts"}) folders.push_back(data / below);
    }
  };
  const std::string home = variable_or("HOME", "");
  add(variable_or("XDG_DATA_HOME", home.empty() ? "" : home + "/.local/share"));
  const std::string system = variable_or("XDG_DATA_DIRS", "/usr/local/share:/usr/share");
  for (std::size_t from = 0; from <= system.size();) {
    const std::size_t colon = std::min(system.find(':', from), system.size());
    add(system.substr(from, colon - from));
    from = colon + 1;
  }
  return folders;
}

std::optional<std::string> find_soundfont(std::span<const std::filesystem::path> folders) {
  std::optional<Rank> best;
  for (const std::filesystem::path& folder : folders) {
    std::error_code failed;
    for (std::filesystem::directory_iterator each(folder, failed), end; !failed && each != end;
         each.increment(failed)) {
      const std::string ending = in_lower_case(each->path().extension().string());
      std::error_code unreadable;
      if ((ending != ".sf2" && ending != ".sf3") || !each->is_regular_file(unreadable)) continue;
      const std::filesystem::path font = std::filesystem::canonical(each->path(), unreadable);
      if (unreadable) continue;
      Rank rank = rank_of(font);
      if (!best || rank < *best) best = std::move(rank);
    }
  }
  if (!best) return std::nullopt;
  return std::get<std::string>(*best);
}

}  // namespace romanesca
