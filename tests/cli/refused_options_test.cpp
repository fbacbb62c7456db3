// Messages for wrong options. They depend on the type of the library's error, not on its text, which another version
// may change.
#include <gtest/gtest.h>

#include <fstream>
#include <iterator>

#include "cli/option_parser.h"
#include "theory/text/errors.h"

namespace romanesca {
namespace {

struct ErrorTexts {
  std::string message, hint;
};

ErrorTexts error_of(const std::vector<std::string>& arguments) {
  OptionParser parser("romanesca render", "renders", "  an example\n");
  int repeat = 1;
  double tempo = 0;
  std::vector<std::string> mute;
  parser.add_option("--repeat", repeat, "how often, 1 to 200").value_name("N");
  parser.add_option("--tempo", tempo, "beats a minute, 20 to 400").value_name("BPM");
  parser.add_option("--mute", mute, "leave this part out").value_name("PART");
  try {
    static_cast<void>(parser.parse("render", arguments));
  } catch (const Failure& failure) {
    return {failure.error().message, failure.error().hint};
  }
  return {"no error", ""};
}

TEST(RefusedOptions, AnInvalidNumber) {
  const ErrorTexts error = error_of({"--tempo", "90", "--repeat", "twice"});
  EXPECT_EQ(error.message, "--repeat: \"twice\" is not a whole number");
  EXPECT_EQ(error.hint, "--repeat N: how often, 1 to 200");
  EXPECT_EQ(error_of({"--repeat=2", "--tempo=fast"}).message, "--tempo: \"fast\" is not a number");
  EXPECT_EQ(error_of({"--mute", "drums", "--repeat", "99999999999"}).message, "--repeat: 99999999999 is out of range");
}

TEST(RefusedOptions, AMissingValue) { EXPECT_EQ(error_of({"--repeat"}).message, "--repeat needs a value"); }

TEST(RefusedOptions, TheLibrarysTextsAreNotParsed) {
  std::ifstream stream(SOURCE_ROOT "/cli/option_parser.cpp");
  const std::string source{std::istreambuf_iterator<char>(stream), {}};
  ASSERT_NE(source.find("CLI::ParseError"), std::string::npos);
  EXPECT_EQ(source.find("what()"), std::string::npos);
}

}  // namespace
}  // namespace romanesca
