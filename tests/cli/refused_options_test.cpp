// What is said of options that the parser refuses: from the kind of its error, never from the words of its message,
// which another version of the library may change.
#include "cli/refused_options.h"

#include <gtest/gtest.h>

#include <CLI/CLI.hpp>

#include "cli/failure.h"

namespace romanesca {
namespace {

struct Said {
  std::string message, hint;
};

/// Parses the arguments, which must fail, and has the error told as if the library had described it in other words.
template <typename Error>
Said said_of(std::vector<std::string> arguments) {
  CLI::App app;
  int repeat = 1;
  double tempo = 0;
  app.add_option("--repeat", repeat, "how often, 1 to 200")->type_name("N");
  app.add_option("--tempo", tempo, "beats a minute, 20 to 400")->type_name("BPM");
  const std::vector<std::string> reversed(arguments.rbegin(), arguments.rend());
  try {
    app.parse(std::vector<std::string>(reversed));
  } catch (const Error& error) {
    const Error reworded("nothing that anybody could search", static_cast<CLI::ExitCodes>(error.get_exit_code()));
    try {
      refuse_options(reworded, app, "render", arguments);
    } catch (const Failure& failure) {
      return {failure.error().message, failure.error().hint};
    }
  }
  return {"nothing was refused", ""};
}

TEST(RefusedOptions, ANumberThatIsNone) {
  const Said words = said_of<CLI::ConversionError>({"--tempo", "90", "--repeat", "twice"});
  EXPECT_EQ(words.message, "--repeat: \"twice\" is no whole number");
  EXPECT_EQ(words.hint, "--repeat N: how often, 1 to 200");
  EXPECT_EQ(said_of<CLI::ConversionError>({"--repeat=2", "--tempo=fast"}).message, "--tempo: \"fast\" is no number");
  EXPECT_EQ(said_of<CLI::ConversionError>({"--repeat", "99999999999"}).message,
            "--repeat: 99999999999 is out of range");
}

TEST(RefusedOptions, AValueThatIsMissing) {
  EXPECT_EQ(said_of<CLI::ArgumentMismatch>({"--repeat"}).message, "--repeat needs a value");
}

}  // namespace
}  // namespace romanesca
