// Manual pages and completion scripts: they have all commands and options, groff, mandoc and the shells accept them,
// and bash completes with them.
#include <gtest/gtest.h>
#include <unistd.h>

#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>

#include "cli/commands/command_table.h"
#include "cli/shell/completion.h"
#include "tests/cli/in_process.h"
#include "tests/sweep.h"

namespace romanesca {
namespace {

namespace fs = std::filesystem;

std::vector<CommandDescription> described() {
  std::istringstream in;
  std::ostringstream out;
  Console console{in, out, out, false, false, false, 80, {}, {}, {}, false};
  return describe_commands(console);
}

/// Standard output and error of a shell command.
std::string printed(const std::string& command) {
  std::FILE* pipe = popen(("( " + command + " ) 2>&1").c_str(), "r");
  std::string all;
  std::array<char, 4096> block{};
  while (const std::size_t count = std::fread(block.data(), 1, block.size(), pipe)) all.append(block.data(), count);
  pclose(pipe);
  return all;
}

bool is_installed(const std::string& tool) { return !printed("command -v " + tool).empty(); }

class Shell : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = fs::temp_directory_path() / ("romanesca-shell-" + std::to_string(getpid()));
    fs::create_directories(folder_ / "songs");
    std::ofstream(folder_ / "song.txt") << "| C | G |\n";
  }
  void TearDown() override { fs::remove_all(folder_); }
  [[nodiscard]] std::string put(const std::string& name, const std::string& text) const {
    std::ofstream(folder_ / name) << text;
    return (folder_ / name).string();
  }
  /// Bash's completions, one per line. @param words the command line split as bash does, quoted
  [[nodiscard]] std::string offered(const std::string& words) const {
    const std::string script = put("romanesca.bash", test::run_in_process({"--completion", "bash"}).out);
    (void)put("try.bash",
              "cd " + folder_.string() + "; . " + script + "; COMP_WORDS=(" + words +
                  ")\nCOMP_CWORD=$((${#COMP_WORDS[@]}-1)); _romanesca; printf '%s\\n' \"${COMPREPLY[@]}\"\n");
    return printed("XDG_DATA_HOME=" + folder_.string() + " bash --norc " + (folder_ / "try.bash").string());
  }

  fs::path folder_;
};

/// The text without the markup of man(7).
std::string read_page(const std::string& page) {
  std::string text;
  for (std::size_t i = 0; i < page.size(); ++i) {
    if (page.compare(i, 2, "\\f") == 0) {
      i += 2;
    } else if (page.compare(i, 4, "\\(aq") == 0) {
      text += '\'';
      i += 3;
    } else if (page[i] == '\\') {
      text += page[++i] == 'e' ? '\\' : page[i];
    } else {
      text += page[i];
    }
  }
  return text;
}

void expect_options(const std::string& page, const CommandDescription& command) {
  EXPECT_FALSE(command.options.empty()) << command.name;
  for (const OptionDescription& option : command.options) {
    const std::string named = option.value.empty() || option.is_word() ? option.name : option.name + " " + option.value;
    EXPECT_NE(page.find(named), std::string::npos) << command.name << " " << named;
    EXPECT_NE(page.find(option.description), std::string::npos) << command.name << " " << named;
  }
}

TEST_F(Shell, ManualPagesHaveEveryCommandAndOption) {
  const std::string whole = read_page(test::run_in_process({"--man"}).out);
  for (const CommandDescription& command : described()) {
    EXPECT_NE(whole.find("romanesca-" + command.name + " (1)"), std::string::npos);
    const test::Outcome outcome = test::run_in_process({"--man", command.name});
    EXPECT_EQ(outcome.status, 0) << outcome.err;
    const std::string page = read_page(outcome.out);
    expect_options(page, command);
    for (const CommandDescription& action : command.actions) expect_options(page, action);
    std::istringstream examples(command.examples);
    for (std::string line; std::getline(examples, line);) EXPECT_NE(page.find(line.substr(2)), std::string::npos);
  }
}

TEST_F(Shell, ManualPagesHaveNoWarnings) {
  std::vector<std::vector<std::string>> pages{{"--man"}};
  for (const CommandDescription& command : described()) pages.push_back({"--man", command.name});
  for (const auto& arguments : pages) {
    const std::string file = put("page.1", test::run_in_process(arguments).out);
    if (is_installed("groff")) {
      EXPECT_EQ(printed("groff -ww -man -Tutf8 " + file + " >" + file + ".out"), "");
    }
    if (is_installed("mandoc")) {
      EXPECT_EQ(printed("mandoc -T lint -W warning " + file), "") << arguments.back();
    }
  }
}

TEST_F(Shell, CompletionsHaveEveryCommandAndOption) {
  for (const char* shell : {"bash", "zsh", "fish"}) {
    const std::string script = test::run_in_process({"--completion", shell}).out;
    const auto has = [&](const std::string& word) { return script.find(word) != std::string::npos; };
    const auto expect_all = [&](const CommandDescription& command) {
      EXPECT_TRUE(has(command.name)) << shell << " " << command.name;
      for (const OptionDescription& option : command.options) {
        if (option.is_word()) continue;
        EXPECT_TRUE(has(std::string(shell) == "fish" ? "-l " + option.name.substr(2) + " " : option.name))
            << shell << " " << command.name << " " << option.name;
      }
    };
    for (const CommandDescription& command : described()) {
      expect_all(command);
      for (const CommandDescription& action : command.actions) expect_all(action);
    }
    const std::string file = put(shell, script);
    if (is_installed(shell)) {
      EXPECT_EQ(printed(std::string(shell) + " -n " + file), "") << shell;
    }
  }
}

TEST_F(Shell, BashCompletes) {
  const std::string program = PROGRAM_PATH;
  EXPECT_EQ(offered("romanesca ren"), "render\n");
  EXPECT_EQ(offered("romanesca render --te"), "--tempo\n--tempos\n");
  EXPECT_EQ(offered("romanesca render --ending s"), "slow\n");
  EXPECT_EQ(offered("romanesca render --ending = s"), "slow\n");
  EXPECT_EQ(offered("romanesca chart --key 'A'"), "A\nAb\nA\\ minor\n");
  EXPECT_EQ(offered("romanesca chart --out so"), "songs\nsong.txt\n");
  EXPECT_EQ(offered("romanesca render --stems so"), "songs\n");
  EXPECT_EQ(offered("romanesca student ne"), "next\n");
  EXPECT_EQ(offered("romanesca student next --acc"), "--accept\n");
  EXPECT_EQ(offered("romanesca analyze --ne"), "--next\n");
  // Words that the script gets from the program, by the path that was typed.
  EXPECT_EQ(offered(program + " chart doo-wop-t"), "doo-wop-turned\n");
  EXPECT_EQ(offered(program + " render --style wal"), "waltz\n");
  EXPECT_EQ(offered(program + " chart so"), "songs\nsong.txt\n");
  ASSERT_EQ(test::run_in_process({"student", "add", "J. K."}, "", {}, folder_ / "romanesca").status, 0);
  EXPECT_EQ(offered(program + " student next J"), "J.\\ K.\n");
}

TEST_F(Shell, ListingStudentsCreatesNoRecord) {
  const test::Outcome outcome = test::run_in_process({"--words", "students"}, "", {}, folder_ / "none");
  EXPECT_EQ(outcome.out, "");
  EXPECT_FALSE(fs::exists(folder_ / "none"));
}

/// Arguments with which a command gets as far as checking its options.
std::vector<std::string> runnable(const std::string& command, const std::string& action, const fs::path& folder) {
  if (command == "render") return {command, "I IV", "--out", (folder / "x.wav").string()};
  if (command == "student") return {command, action, "Mira"};
  if (command == "exercise" || command == "progressions" || command == "styles") return {command};
  return {command, "I IV"};
}

TEST_F(Shell, EveryFixedWordIsAcceptedByItsOption) {
  int words_tried = 0;
  std::size_t turn = 0;
  const auto expect_taken = [&](const std::string& name, const std::string& action, const OptionDescription& option) {
    for (const std::string& word : test::tried(completion_words(option).words, turn++)) {
      std::vector<std::string> arguments = runnable(name, action, folder_);
      arguments.insert(arguments.end(), {option.name, word});
      const test::Outcome outcome = test::run_in_process(arguments, "", {}, folder_);
      EXPECT_FALSE(outcome.err.starts_with("romanesca: --"))
          << name << " " << option.name << " " << word << outcome.err;
      ++words_tried;
    }
  };
  for (const CommandDescription& command : described()) {
    for (const OptionDescription& option : command.options) expect_taken(command.name, "", option);
    for (const CommandDescription& action : command.actions) {
      for (const OptionDescription& option : action.options) expect_taken(command.name, action.name, option);
    }
  }
  EXPECT_GT(words_tried, 100);
}

TEST_F(Shell, WrongWordsAreReported) {
  EXPECT_EQ(test::run_in_process({"--man", "chrat"}).err,
            "romanesca: --man: unknown command \"chrat\"\n    romanesca --help lists the commands\n");
  EXPECT_EQ(test::run_in_process({"--completion", "tcsh"}).err,
            "romanesca: --completion: unknown shell \"tcsh\"\n    choose bash, zsh or fish\n");
  EXPECT_EQ(test::run_in_process({"--words", "songs"}).status, 2);
  EXPECT_EQ(test::run_in_process({"--completion", "bash", "zsh"}).status, 2);
}

}  // namespace
}  // namespace romanesca
