// What is said of options that do not fit: from the kind of the library's error, never from the words of its message,
// which another version may change.
#include <gtest/gtest.h>

#include <fstream>
#include <iterator>

#include "cli/option_parser.h"
#include "theory/text/errors.h"

namespace romanesca {
namespace {

struct Said {
  std::string message, hint;
};

Said said_of(const std::vector<std::string>& arguments) {
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
  return {"nothing was refused", ""};
}

TEST(RefusedOptions, ANumberThatIsNone) {
  const Said words = said_of({"--tempo", "90", "--repeat", "twice"});
  EXPECT_EQ(words.message, "--repeat: \"twice\" is not a whole number");
  EXPECT_EQ(words.hint, "--repeat N: how often, 1 to 200");
  EXPECT_EQ(said_of({"--repeat=2", "--tempo=fast"}).message, "--tempo: \"fast\" is not a number");
  EXPECT_EQ(said_of({"--mute", "drums", "--repeat", "99999999999"}).message, "--repeat: 99999999999 is out of range");
}

TEST(RefusedOptions, AValueThatIsMissing) { EXPECT_EQ(said_of({"--repeat"}).message, "--repeat needs a value"); }

TEST(RefusedOptions, NobodyReadsTheLibrarysWords) {
  std::ifstream stream(SOURCE_ROOT "/cli/option_parser.cpp");
  const std::string source{std::istreambuf_iterator<char>(stream), {}};
  ASSERT_NE(source.find("CLI::ParseError"), std::string::npos);
  EXPECT_EQ(source.find("what()"), std::string::npos);
}

}  // namespace
}  // namespace romanesca
