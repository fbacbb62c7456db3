// Bad input of every kind: exit status, message, and that no file is left behind. Runs the program as a process.
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>

namespace {

namespace fs = std::filesystem;

struct Outcome {
  int status = 0;
  std::string err;  ///< standard error
};

class BadInput : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = fs::temp_directory_path() / ("romanesca-bad-" + std::to_string(getpid()));
    fs::create_directories(folder_ / "folder");
  }
  void TearDown() override { fs::remove_all(folder_); }

  /// @param line arguments for the shell; runs in the test's folder
  Outcome run(const std::string& line) const {
    const std::string command = "cd " + folder_.string() + " && " PROGRAM_PATH " " + line + " 2>&1 >/dev/null";
    std::FILE* pipe = popen(command.c_str(), "r");
    Outcome outcome;
    char buffer[4096];
    while (const std::size_t count = std::fread(buffer, 1, sizeof buffer, pipe)) outcome.err.append(buffer, count);
    const int status = pclose(pipe);
    outcome.status = WIFEXITED(status) ? WEXITSTATUS(status) : 1000 + WTERMSIG(status);
    return outcome;
  }
  void expect(const std::string& line, int status, const std::string& words) const {
    const Outcome outcome = run(line);
    EXPECT_EQ(outcome.status, status) << line << "\n" << outcome.err;
    EXPECT_NE(outcome.err.find(words), std::string::npos) << line << "\n" << outcome.err;
    EXPECT_TRUE(outcome.err.starts_with("romanesca: ")) << line << "\n" << outcome.err;
  }
  void put(const std::string& name, const std::string& text) const {
    std::ofstream(folder_ / name, std::ios::binary) << text;
  }
  std::size_t files() const { return static_cast<std::size_t>(std::distance(fs::directory_iterator(folder_), {})); }

  fs::path folder_;
};

TEST_F(BadInput, Text) {
  put("empty.txt", "");
  put("binary.txt", std::string("\x89PNG\r\n\x1a\n\0\0\0", 11));
  put("song.txt", "title: T\n\n[A]\n| C | G |\n# x\n| G | Jm7 |\n");
  put("big.txt", std::string(10 << 20, 'C'));
  put("beats.txt", "| C / / / / |\n");
  for (const char* command : {"chart", "analyse", "transpose --key D", "render --out x.wav"}) {
    const std::string start = std::string(command) + " ";
    expect(start + "empty.txt", 2, "empty.txt: no chords in the text");
    expect(start + "''", 2, "no chords in the text");
    expect(start + "- < /dev/null", 2, "standard input: no chords in the text");
    expect(start + "song.txt", 2,
           "song.txt:6:7: unknown chord \"Jm7\"\n    | G | Jm7 |\n          ^^^   write chords like C, F#m7, Bb/D, or "
           "numerals like vi7\n");
    expect(start + "binary.txt", 2, "binary.txt:1:1: not plain text in UTF-8");
    expect(start + "big.txt", 2, "big.txt is 10485760 bytes long; texts may have up to 4194304");
    expect(start + "beats.txt", 2, "beats.txt:1:3: this bar has 5 beats, 4/4 has 4");
    expect(start + "folder", 3, "folder is a folder");
    expect(start + "nothing/song.txt", 3, "there is no file nothing/song.txt");
    expect(start + "doo-wup", 2, "did you mean doo-wop?");
  }
  EXPECT_EQ(files(), 6U);
}

TEST_F(BadInput, Options) {
  expect("chart 'C G' --key H", 2, "--key: unknown key \"H\"\n    did you mean B?");
  expect("chart 'I V' --key 'G# major'", 2, "write Ab major");
  expect("render 'C G' --tempo 0 --out x.wav", 2, "--tempo: the tempo 0 is out of range\n    choose 20 to 400");
  expect("render 'C G' --tempo 10000 --out x.wav", 2, "--tempo: the tempo 10000 is out of range");
  expect("render 'C G' --tempo fast --out x.wav", 2, "cannot read the tempo \"fast\"");
  expect("render 'C G' --style valtz --out x.wav", 2, "did you mean waltz?");
  expect("render 'C G' --style waltz --out x.wav", 2, "waltz is in 3/4, the song in 4/4");
  expect("render 'C G' --times 0 --out x.wav", 2, "--repeat: 0 is out of range");
  expect("render 'C G' --count-in 99 --out x.wav", 2, "--count-in: 99 is out of range");
  expect("render 'C G' --times many --out x.wav", 2, "--times: \"many\" is not a whole number");
  expect("render 'C G' --bits 12 --out x.wav", 2, "choose 16 or 24");
  expect("render 'C G' --out x.doc", 2, ".doc files cannot be written here");
  expect("render 'C G' --out x", 2, "has no ending");
  expect("chart 'C G' --kee D", 2, "chart has no option --kee\n    did you mean --key?");
  expect("chart C G", 2, "put the chords in quotes");
  expect("chart", 2, "chart needs a progression");
  expect("chart 'C G' --key", 2, "--key needs a value");
  expect("chrat 'C G'", 2, "unknown command \"chrat\"\n    did you mean romanesca chart?");
  expect("chart 'C G' --voicing closed", 2, "--voicing: unknown value \"closed\"\n    choose close, root, open,");
  expect("chart 'C G' --left thumb", 2, "choose root, fifth, octave, broken");
  expect("chart 'C G' --bass walking", 2, "choose stepwise");
  expect("chart 'C G' --span 40", 2, "--span: 40 is out of range\n    a hand stretches 5 to 16 semitones");
  expect("chart 'C G' --level 9", 2, "levels are 1 to 8");
  expect("chart 'C G' --paper a3 --out x.pdf", 2, "choose a4 or letter");
  expect("chart 'C G' --all-keys", 2, "name its file, like --out keys.pdf");
  expect("analyse 'C G' --level 0", 2, "levels are 1 to 8");
  expect("transpose 'C G' --simplify 9", 2, "levels are 1 to 8");
  expect("progressions --level 9", 2, "levels are 1 to 8");
  expect("progressions --mode blue", 2, "unknown mode \"blue\"");
  expect("progressions --show doo-wup", 2, "did you mean doo-wop?");
  EXPECT_EQ(run("").status, 2);
  EXPECT_EQ(files(), 1U);
}

TEST_F(BadInput, FilesThatCannotBeWritten) {
  expect("render 'C G' --out missing/x.wav", 3, "cannot write missing/x.wav: there is no folder missing");
  expect("chart 'C G' --out missing/x.txt", 3, "there is no folder missing");
  expect("chart 'C G' --out folder", 2, "has no ending");
  fs::create_directories(folder_ / "f.txt");
  expect("chart 'C G' --out f.txt", 3, "cannot write f.txt: it is a folder");
  // A full disk: links to /dev/full with the right endings.
  fs::create_symlink("/dev/full", folder_ / "full.wav");
  fs::create_symlink("/dev/full", folder_ / "full.txt");
  for (const char* name : {"full.pdf", "full.svg", "full.png", "full.musicxml"}) {
    fs::create_symlink("/dev/full", folder_ / name);
    expect(std::string("chart 'C G' --out ") + name, 3, "the disk is full");
  }
  fs::create_symlink("/dev/full", folder_ / "full.mid");
  expect("render 'C G' --out full.wav", 3, "cannot write full.wav");
  expect("render 'C G' --out full.mid", 3, "cannot write full.mid: the disk is full");
  expect("chart 'C G' --out full.txt", 3, "cannot write full.txt: the disk is full");
  EXPECT_TRUE(fs::is_symlink(folder_ / "full.wav"));
  EXPECT_EQ(files(), 9U);
}

TEST_F(BadInput, FullStandardOutput) {
  const std::string command = "cd " + folder_.string() + " && " PROGRAM_PATH " chart 'C G' 2>&1 >/dev/full";
  std::FILE* pipe = popen(command.c_str(), "r");
  char buffer[512] = {};
  const std::size_t count = std::fread(buffer, 1, sizeof buffer - 1, pipe);
  EXPECT_EQ(WEXITSTATUS(pclose(pipe)), 3);
  EXPECT_EQ(std::string(buffer, count),
            "romanesca: cannot write to standard output\n"
            "    check whether the disk is full or the program closed that it goes to\n");
}

TEST_F(BadInput, AnOlderFileSurvivesAFailure) {
  put("x.wav", "precious");
  expect("render 'C Jm' --out x.wav", 2, "unknown chord \"Jm\"");
  std::ifstream file(folder_ / "x.wav");
  const std::string kept{std::istreambuf_iterator<char>(file), {}};
  EXPECT_EQ(kept, "precious");
}

TEST_F(BadInput, DamagedMidiFile) {
  put("cut.mid", std::string("MThd\0\0\0\6\0\1\0\2\3\xC0MTrk\0\0\1\0\0\xFF", 24));
  expect("render cut.mid --out x.wav", 2, "cut.mid: byte 22: the file is cut off");
}

TEST_F(BadInput, InterruptedRenderLeavesNothing) {
  const std::string command = "cd " + folder_.string() +
                              "\n" PROGRAM_PATH
                              " render 'I IV V I' --tempo 20 --times 200 --out long.wav 2>err & "
                              "pid=$!; for i in $(seq 400); do test -e .long.wav.$pid.part && break; sleep 0.05; done; "
                              "kill -INT $pid; wait $pid; echo \"status $?\"; cat " +
                              folder_.string() + "/err";
  std::FILE* pipe = popen(command.c_str(), "r");
  char buffer[512] = {};
  const std::size_t count = std::fread(buffer, 1, sizeof buffer - 1, pipe);
  EXPECT_EQ(WEXITSTATUS(pclose(pipe)), 0);
  EXPECT_EQ(std::string(buffer, count), "status 130\nromanesca: stopped; long.wav was not written\n");
  fs::remove(folder_ / "err");
  EXPECT_EQ(files(), 1U);
}

}  // namespace
