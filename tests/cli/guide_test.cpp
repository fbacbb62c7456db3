// Every command in the teachers' guide, the reference and the README does what they say. A "text" block with a file's
// name is that file; an "sh" block holds commands that must succeed; a "console" block holds "$ COMMAND" and all that
// it prints, where a line "..." stands for any lines. In the README, commands stand in tables. A day's heading is
// today. ROMANESCA_UPDATE_GOLDEN=1 writes the answers anew, but for those with "...".
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
  std::string heading;             ///< the last before it
  std::vector<std::string> lines;  ///< between the fences
  std::size_t line = 0;            ///< of the guide, from 0, where the first of them stands
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

/// The words of a command as a shell would part them: blanks, and double quotes round words with blanks.
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

/// Whether the text is what is shown; "..." stands for any lines.
bool shown_as(const std::vector<std::string>& shown, const std::vector<std::string>& lines, std::size_t s = 0,
              std::size_t l = 0) {
  if (s == shown.size()) return l == lines.size();
  if (shown[s] != "...") return l < lines.size() && shown[s] == lines[l] && shown_as(shown, lines, s + 1, l + 1);
  for (; l <= lines.size(); ++l) {
    if (shown_as(shown, lines, s + 1, l)) return true;
  }
  return false;
}

/// A teacher's computer in a folder of its own, through one week.
class Week : public testing::Test {
 protected:
  void SetUp() override {
    fs::remove_all(folder_);
    fs::create_directories(folder_);
    fs::current_path(folder_);
    fs::create_directories(folder_ / "demo");
    for (const char* song : {"lantern-walk.txt", "paper-boats.txt", "seven-small-boats.txt"}) {
      fs::copy_file(fs::path(SOURCE_ROOT) / "demo" / song, folder_ / song);
      fs::copy_file(fs::path(SOURCE_ROOT) / "demo" / song, folder_ / "demo" / song);
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

  void write_file_of(const Block& block) const {
    if (block.kind != "text" || block.file.empty()) return;
    std::ofstream file(folder_ / block.file);
    for (const std::string& line : block.lines) file << line << "\n";
  }

  /// Does what a "console" block says, and compares. @return the block as it would be right
  std::vector<std::string> compare(const Block& block) {
    std::vector<std::string> anew;
    for (std::size_t i = 0; i < block.lines.size();) {
      const std::string& command = block.lines[i];
      EXPECT_TRUE(command.starts_with("$ ")) << "line " << block.line + i + 1;
      std::vector<std::string> shown;
      for (++i; i < block.lines.size() && !block.lines[i].starts_with("$ "); ++i) shown.push_back(block.lines[i]);
      const std::vector<std::string> printed = run(command.substr(2));
      std::string all;
      for (const std::string& line : printed) all += line + "\n";
      EXPECT_TRUE(shown_as(shown, printed)) << "line " << block.line + 1 << ": " << command << " says\n" << all;
      anew.push_back(command);
      const bool with_gap = std::find(shown.begin(), shown.end(), "...") != shown.end();
      const auto& now = with_gap ? shown : printed;
      anew.insert(anew.end(), now.begin(), now.end());
    }
    return anew;
  }

  /// Does all that a document says. @param name from the root of the sources
  void follow(const std::string& name) {
    SCOPED_TRACE(name);
    const fs::path path = fs::path(SOURCE_ROOT) / name;
    const std::vector<std::string> guide = lines_of(path);
    std::vector<std::string> anew;
    std::size_t copied = 0;
    for (const Block& block : blocks_of(guide)) {
      day(block.heading);
      anew.insert(anew.end(), guide.begin() + static_cast<std::ptrdiff_t>(copied),
                  guide.begin() + static_cast<std::ptrdiff_t>(block.line));
      copied = block.line + block.lines.size();
      write_file_of(block);
      if (block.kind == "sh") {
        for (const std::string& line : block.lines) run(line.substr(0, line.find("  #")));
      }
      const std::vector<std::string> right = block.kind == "console" ? compare(block) : block.lines;
      anew.insert(anew.end(), right.begin(), right.end());
    }
    anew.insert(anew.end(), guide.begin() + static_cast<std::ptrdiff_t>(copied), guide.end());
    if (std::getenv("ROMANESCA_UPDATE_GOLDEN") == nullptr) return;
    std::ofstream file(path);
    for (const std::string& line : anew) file << line << "\n";
  }

  /// @return what it prints, line by line
  std::vector<std::string> run(const std::string& command) {
    SCOPED_TRACE(command);
    ++commands_;
    std::vector<std::string> words = words_of(command);
    EXPECT_EQ(words.front(), "romanesca");
    words.erase(words.begin());
    test::FakeEnvironment world;  // whose teacher stops after half a minute
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
  int commands_ = 0;     ///< that were run
  fs::path folder_ = fs::temp_directory_path() / ("romanesca-week-" + std::to_string(getpid()));
};

/// The words of a drawing, in order; where they stand depends on the fonts of the computer.
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

TEST_F(Week, ThePicturesInTheReadmeAreWhatTheProgramDraws) {
  run("romanesca chart lantern-walk.txt --level 3 --out chart.svg");
  run("romanesca exercise --key Eb --level 3 --kind improvise --seed 2 --choice A --out exercise.svg");
  for (const char* name : {"chart.svg", "exercise.svg"}) {
    const auto drawn = words_drawn(folder_ / name);
    EXPECT_GT(drawn.size(), 20U);
    EXPECT_EQ(drawn, words_drawn(fs::path(SOURCE_ROOT) / "demo/pictures" / name));
  }
}

TEST_F(Week, EveryCommandOfTheGuideDoesWhatItSays) {
  follow("demo/TEACHERS.md");
  EXPECT_GE(commands_, 30);
}

TEST_F(Week, EveryCommandOfTheReferenceSucceeds) {
  follow("demo/REFERENCE.md");
  EXPECT_GE(commands_, 30);
}

TEST_F(Week, EveryCommandOfTheReadmeSucceeds) {
  const std::vector<std::string> readme = lines_of(fs::path(SOURCE_ROOT) / "README.md");
  for (const Block& block : blocks_of(readme)) write_file_of(block);
  run("romanesca render song.txt --only keys --out take.wav");  // in place of the reader's own recording
  for (const std::string& line : readme) {
    if (!line.starts_with("| ")) continue;
    for (std::size_t at = line.find("`romanesca "); at != line.npos; at = line.find("`romanesca ", at + 1)) {
      run(line.substr(at + 1, line.find('`', at + 1) - at - 1));
    }
  }
  EXPECT_GE(commands_, 20);
}

/// The references of live playing stand in its manual page.
TEST_F(Week, TheManualPageOfPlayNamesEveryKeyAndChannel) {
  const std::string page = test::run_in_process({"--man", "play"}).out;
  for (const char* text :
       {"[start\\-stop]", "a fifth down", "silence all notes", "keys 1, ", "drums and metronome 10"}) {
    EXPECT_NE(page.find(text), page.npos) << text;
  }
}

}  // namespace
}  // namespace romanesca
