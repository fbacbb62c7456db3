// DEVELOPERS.md and README.md: every path in them exists, and they stay short.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>
#include <vector>

namespace {

namespace fs = std::filesystem;

std::vector<std::string> lines_in(const std::string& document) {
  std::vector<std::string> lines;
  std::ifstream file(fs::path(SOURCE_ROOT) / document);
  for (std::string line; std::getline(file, line);) lines.push_back(line);
  return lines;
}

/// The paths from the root of the sources in one line: words between backticks, and targets of links, that begin with a
/// folder of the sources. Of "tests/fuzz/run SECONDS" the first word counts.
std::vector<std::string> paths_in(const std::string& line) {
  constexpr std::array<std::string_view, 6> roots{"theory/", "progressions/", "synth/", "cli/", "tests/", "demo/"};
  std::vector<std::string> paths;
  for (std::size_t at = 1; at < line.size(); ++at) {
    const bool link = line[at - 1] == '(' && at > 1 && line[at - 2] == ']';
    if (line[at - 1] != '`' && !link) continue;
    const std::string word = line.substr(at, line.find_first_of("` )#", at) - at);
    const bool path = std::any_of(roots.begin(), roots.end(), [&](auto root) { return word.starts_with(root); });
    if (path && !word.starts_with("demo/out")) paths.push_back(word);
  }
  return paths;
}

void expect_paths_exist(const std::string& document, std::size_t fewest) {
  const std::vector<std::string> lines = lines_in(document);
  std::size_t found = 0;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    for (const std::string& path : paths_in(lines[i])) {
      ++found;
      EXPECT_TRUE(fs::exists(fs::path(SOURCE_ROOT) / path)) << document << ":" << i + 1 << ": there is no " << path;
    }
  }
  EXPECT_GE(found, fewest) << document;
}

TEST(Documents, PathsInThemAreFound) {
  EXPECT_EQ(paths_in("see `tests/web/run`, [a](demo/x.md#y) and `tests/fuzz/run SECONDS [NAME]`; not `theory` or a(b)"),
            (std::vector<std::string>{"tests/web/run", "demo/x.md", "tests/fuzz/run"}));
}

TEST(Documents, NameNoPathThatDoesNotExist) {
  expect_paths_exist("DEVELOPERS.md", 50);
  expect_paths_exist("README.md", 6);
}

TEST(Documents, AreShort) {
  EXPECT_LE(lines_in("README.md").size(), 150U);
  EXPECT_LE(lines_in("DEVELOPERS.md").size(), 250U);
  EXPECT_GE(lines_in("README.md").size(), 50U);
}

/// Each folder with sources has its row in the map.
TEST(Documents, TheMapHasEveryFolder) {
  std::string map;
  for (const std::string& line : lines_in("DEVELOPERS.md")) map += line + "\n";
  for (const char* library : {"theory", "synth", "cli"}) {
    for (const auto& entry : fs::directory_iterator(fs::path(SOURCE_ROOT) / library)) {
      if (!entry.is_directory()) continue;
      const std::string row = "| `" + fs::relative(entry.path(), SOURCE_ROOT).string() + "/` |";
      EXPECT_NE(map.find(row), map.npos) << "DEVELOPERS.md has no row " << row;
    }
  }
}

TEST(Documents, EveryFuzzerHasItsCorpus) {
  int fuzzers = 0;
  for (const auto& entry : fs::directory_iterator(fs::path(SOURCE_ROOT) / "tests/fuzz")) {
    if (entry.path().extension() != ".cpp") continue;
    ++fuzzers;
    EXPECT_TRUE(fs::exists(fs::path(entry.path()).replace_extension(".tar.gz"))) << entry.path();
  }
  EXPECT_GE(fuzzers, 10);
}

}  // namespace
