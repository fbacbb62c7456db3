// Runs every command in the teachers' guide. A "text" block with a file's name is that file; the commands of an "sh"
// block must succeed; a "console" block has "$ COMMAND" and its output, where a line "..." stands for any lines. A
// heading with a weekday sets today. ROMANESCA_UPDATE_GOLDEN=1 rewrites the outputs, except those with "...".
#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "tests/cli/in_process.h"
#include "tests/cli/play/fake_environment.h"

namespace romanesca {
namespace {

namespace fs = std::filesystem;

struct Block {
  std::string kind, file;
  std::string heading;             ///< the last heading before the block
  std::vector<std::string> lines;  ///< between the fences
  std::size_t line = 0;            ///< of the first of `lines`, from 0
};

std::vector<std::string> lines_of(const fs::path& path) {
  std::vector<std::string> lines;
  std::ifstream file(path);
  for (std::string line; std::getline(file, line);) lines.push_back(line);
  return lines;
}

std::vector<Block> blocks_of(const std::vector<std::string>& guide) {
  std::vector<Block> blocks;
  std::string heading;
  bool inside = false;
  for (std::size_t i = 0; i < guide.size(); ++i) {
    const std::string& line = guide[i];
    if (line.starts_with("```")) {
      inside = !inside;
      if (!inside) continue;
      std::istringstream words(line.substr(3));
      Block block;
      words >> block.kind >> block.file;
      block.heading = heading;
      block.line = i + 1;
      blocks.push_back(block);
    } else if (inside) {
      blocks.back().lines.push_back(line);
    } else if (line.starts_with("## ")) {
      heading = line;
    }
  }
  EXPECT_FALSE(inside);
  return blocks;
}

/// Splits a command line like a shell: at blanks, with double quotes around words that have blanks.
std::vector<std::string> words_of(const std::string& command) {
  std::vector<std::string> words;
  bool quoted = false, open = false;
  for (const char c : command) {
    if (c == '"') {
      quoted = !quoted;
      if (!open) words.emplace_back();
      open = true;
    } else if (c == ' ' && !quoted) {
      open = false;
    } else {
      if (!open) words.emplace_back();
      open = true;
      words.back() += c;
    }
  }
  EXPECT_FALSE(quoted) << command;
  return words;
}

/// Whether the output is as shown; "..." stands for any lines.
bool matches(const std::vector<std::string>& shown, const std::vector<std::string>& lines, std::size_t s = 0,
             std::size_t l = 0) {
  if (s == shown.size()) return l == lines.size();
  if (shown[s] != "...") return l < lines.size() && shown[s] == lines[l] && matches(shown, lines, s + 1, l + 1);
  for (; l <= lines.size(); ++l) {
    if (matches(shown, lines, s + 1, l)) return true;
  }
  return false;
}

/// A teacher's computer in a folder of its own, for one week.
class Week : public testing::Test {
 protected:
  void SetUp() override {
    fs::remove_all(folder_);
    fs::create_directories(folder_);
    fs::current_path(folder_);
    for (const char* song : {"lantern-walk.txt", "paper-boats.txt"}) {
      fs::copy_file(fs::path(SOURCE_ROOT) / "demo" / song, folder_ / song);
    }
  }
  void TearDown() override {
    fs::current_path("/");
    fs::remove_all(folder_);
  }

  void day(const std::string& heading) {
    constexpr std::array<std::string_view, 7> days{"Monday", "Tuesday",  "Wednesday", "Thursday",
                                                   "Friday", "Saturday", "Sunday"};
    for (unsigned i = 0; i < days.size(); ++i) {
      if (heading.find(days[i]) != std::string::npos) today_ += (i + 7 - (today_ + 5) % 7) % 7;  // the 23rd is a Monday
    }
  }

  /// @return what it prints, line by line
  std::vector<std::string> run(const std::string& command) {
    SCOPED_TRACE(command);
    std::vector<std::string> words = words_of(command);
    EXPECT_EQ(words.front(), "romanesca");
    words.erase(words.begin());
    test::FakeWorld world;  // ends after 30 s
    world.keys.insert({30'000, 'q'});
    world.plays(5'000, 900, {60, 64, 67});
    std::istringstream in;
    std::ostringstream out, err;
    const Date today{std::chrono::year(2026), std::chrono::month(11), std::chrono::day(today_)};
    Console console{in,    out,   err,   false, false, false, 80, folder_ / "settings", folder_ / "data",
                    today, false, &world};
    const ExitStatus status = run_program(words, console);
    EXPECT_EQ(static_cast<int>(status), 0) << err.str();
    std::vector<std::string> lines;
    std::istringstream text(out.str());
    for (std::string line; std::getline(text, line);) lines.push_back(line);
    return lines;
  }

  unsigned today_ = 22;  ///< of November 2026
  fs::path folder_ = fs::temp_directory_path() / ("romanesca-week-" + std::to_string(getpid()));
};

/// The words of a drawing, in order; their positions depend on the computer's fonts.
std::vector<std::string> words_drawn(const fs::path& svg) {
  std::vector<std::string> words;
  std::string all;
  for (const std::string& line : lines_of(svg)) all += line;
  for (std::size_t at = all.find('>'); at != std::string::npos; at = all.find('>', at + 1)) {
    const std::size_t end = std::min(all.find('<', at), all.size());
    if (end > at + 1) words.push_back(all.substr(at + 1, end - at - 1));
  }
  return words;
}

TEST_F(Week, ThePictureInTheReadmeIsUpToDate) {
  run("romanesca chart lantern-walk.txt --level 3 --out lantern-walk.svg");
  const auto drawn = words_drawn(folder_ / "lantern-walk.svg");
  EXPECT_GT(drawn.size(), 60U);
  EXPECT_EQ(drawn, words_drawn(fs::path(SOURCE_ROOT) / "demo/lantern-walk.svg"));
}

TEST_F(Week, EveryCommandOfTheGuideWorksAsShown) {
  const fs::path path = fs::path(SOURCE_ROOT) / "demo/TEACHERS.md";
  const std::vector<std::string> guide = lines_of(path);
  std::vector<std::string> anew;
  std::size_t copied = 0;
  int commands = 0;
  for (const Block& block : blocks_of(guide)) {
    day(block.heading);
    anew.insert(anew.end(), guide.begin() + static_cast<std::ptrdiff_t>(copied),
                guide.begin() + static_cast<std::ptrdiff_t>(block.line));
    copied = block.line + block.lines.size();
    if (block.kind == "text" && !block.file.empty()) {
      std::ofstream file(folder_ / block.file);
      for (const std::string& line : block.lines) file << line << "\n";
    }
    if (block.kind != "console") {
      anew.insert(anew.end(), block.lines.begin(), block.lines.end());
      if (block.kind != "sh") continue;
      for (const std::string& line : block.lines) run(line.substr(0, line.find("  #"))), ++commands;
      continue;
    }
    for (std::size_t i = 0; i < block.lines.size();) {
      const std::string& command = block.lines[i];
      ASSERT_TRUE(command.starts_with("$ ")) << path << ":" << block.line + i + 1;
      std::vector<std::string> shown;
      for (++i; i < block.lines.size() && !block.lines[i].starts_with("$ "); ++i) shown.push_back(block.lines[i]);
      const std::vector<std::string> output = run(command.substr(2));
      ++commands;
      const bool with_gap = std::find(shown.begin(), shown.end(), "...") != shown.end();
      std::string all;
      for (const std::string& line : output) all += line + "\n";
      const bool right = matches(shown, output);
      EXPECT_TRUE(right) << path.string() << ":" << block.line + 1 << ": " << command << " prints\n" << all;
      anew.push_back(command);
      const auto& now = with_gap ? shown : output;
      anew.insert(anew.end(), now.begin(), now.end());
    }
  }
  anew.insert(anew.end(), guide.begin() + static_cast<std::ptrdiff_t>(copied), guide.end());
  if (std::getenv("ROMANESCA_UPDATE_GOLDEN") != nullptr) {
    std::ofstream file(path);
    for (const std::string& line : anew) file << line << "\n";
  }
  EXPECT_GE(commands, 30);
}

}  // namespace
}  // namespace romanesca
