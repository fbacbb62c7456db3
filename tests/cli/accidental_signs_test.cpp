#include "cli/accidental_signs.h"

#include <gtest/gtest.h>

#include <sstream>

#include "cli/program.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

TEST(AccidentalSigns, OfNotesChordsNumeralsAndDegrees) {
  const auto expect = [](const char* ascii, const char* signs) {
    EXPECT_EQ(with_accidental_signs(ascii), signs);
    EXPECT_EQ(code_points(with_accidental_signs(ascii)), std::string_view(ascii).size()) << "columns stay";
  };
  expect("Bb major", "B♭ major");
  expect("| Eb/G | F#m7b5 |", "| E♭/G | F♯m7♭5 |");
  expect("D4 F#4 A4, Bbb3.", "D4 F♯4 A4, B♭♭3.");
  expect("bVII V7/bIII #iv", "♭VII V7/♭III ♯iv");
  expect("C7(b9,#11)", "C7(♭9,♯11)");
  expect("1-7, 3-#5-#9 b9", "1-7, 3-♯5-♯9 ♭9");
  expect("G-Bb-D", "G-B♭-D");
  expect("b7 5/7 6m", "♭7 5/7 6m");
  expect("(in Ab: I)", "(in A♭: I)");
}

TEST(AccidentalSigns, LeaveWordsAndFiles) {
  for (const char* text : {"about the bass, by Abby", "Eb.pdf", "/tmp/Eb/song.txt", "exercise #1", "bar 3 of b",
                           "Ebba and Bob", "# comment", "--key", "block-b9.wav", "a b", "it # is"}) {
    EXPECT_EQ(with_accidental_signs(text), text);
  }
}

std::string chart(bool terminal, bool utf8, const std::vector<std::string>& more) {
  std::istringstream in;
  std::ostringstream out, err;
  Console console{in, out, err, terminal, false, false, 80, {}};
  console.utf8 = utf8;
  std::vector<std::string> arguments{"chart", "Eb Bb7"};
  arguments.insert(arguments.end(), more.begin(), more.end());
  EXPECT_EQ(run_program(arguments, console), ExitStatus::done);
  return out.str();
}

// Signs on a terminal that shows UTF-8; ASCII in a pipe, in another locale, with --ascii and in JSON.
TEST(AccidentalSigns, OnTerminalsOnly) {
  EXPECT_NE(chart(true, true, {}).find("B♭7"), std::string::npos);
  EXPECT_EQ(chart(true, true, {}).find("Bb"), std::string::npos);
  const std::string plain = chart(false, true, {});
  EXPECT_NE(plain.find("Bb7"), std::string::npos);
  EXPECT_EQ(plain.find("♭"), std::string::npos);
  EXPECT_EQ(chart(true, false, {}), plain);
  EXPECT_EQ(chart(true, true, {"--ascii"}), plain);
  EXPECT_EQ(chart(true, true, {"--json"}), chart(false, false, {"--json"}));
}

}  // namespace
}  // namespace romanesca
