#include "theory/text/toml.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <sstream>
#include <tuple>

namespace romanesca {
namespace {

// Checked against TOML 1.0.0 (toml.io/en/v1.0.0), from memory.

Parsed<TomlTable> parse(std::string_view text) { return parse_toml({"data", text}); }

/// "2:5 message", or "read".
std::string error_of(std::string_view text) {
  const auto read = parse(text);
  if (read) return "read";
  EXPECT_EQ(read.error().source, "data.toml");
  EXPECT_FALSE(read.error().hint.empty()) << text;
  return std::to_string(read.error().place.line) + ":" + std::to_string(read.error().place.column) + " " +
         read.error().message;
}

/// Tables and values, those inside arrays not counted.
std::size_t named_values(const TomlTable& table) {
  std::size_t count = table.entries().size();
  for (const TomlEntry& entry : table.entries()) {
    if (const TomlTable* inner = entry.value.table()) count += named_values(*inner);
  }
  return count;
}

// In the data files every table and every name begins a line.
TEST(Toml, ReadsEveryDataFile) {
  int files = 0;
  for (const char* folder : {"progressions", "synth"}) {
    for (const auto& each : std::filesystem::recursive_directory_iterator(std::string(SOURCE_ROOT) + "/" + folder)) {
      if (each.path().extension() != ".toml") continue;
      ++files;
      std::ifstream file(each.path());
      std::stringstream text;
      std::size_t begun = 0;
      for (std::string line; std::getline(file, line); text << line << '\n') {
        begun += !line.empty() && std::string_view("# ]\"").find(line.front()) == std::string_view::npos ? 1 : 0;
      }
      const auto read = parse(text.str());
      ASSERT_TRUE(read) << each.path() << ":" << read.error().place.line << ": " << read.error().message;
      EXPECT_EQ(named_values(*read), begun) << each.path();
    }
  }
  EXPECT_GT(files, 25);
}

TEST(Toml, ValuesOfEachType) {
  const auto read = parse(
      "whole = -12\nbelow = -1.5 # dB\nyes = true\r\nno=false\n\"two words\" = \"B\"\nempty = []\n"
      "list = [ 1, # one\n  \"two\",\n [3.0],\n]\n[ drums . fill ]\nsnare = \"x.x.\"");
  ASSERT_TRUE(read) << read.error().message;
  EXPECT_EQ(read->integer("whole"), -12);
  EXPECT_EQ(read->number("whole"), -12.0);
  EXPECT_EQ(read->number("below"), -1.5);
  EXPECT_FALSE(read->integer("below"));
  EXPECT_TRUE(*read->find("yes")->boolean());
  EXPECT_FALSE(*read->find("no")->boolean());
  EXPECT_EQ(read->string("two words"), "B");
  EXPECT_FALSE(read->string("whole"));
  EXPECT_TRUE(read->array("empty")->empty());
  const TomlArray& list = *read->array("list");
  ASSERT_EQ(list.size(), 3U);
  EXPECT_EQ(*list[1].string(), "two");
  EXPECT_EQ(list[1].place(), (TextPlace{8, 3, 1}));
  EXPECT_EQ(list[2].array()->front().number(), 3.0);
  EXPECT_EQ(read->table("drums")->table("fill")->string("snare"), "x.x.");
  EXPECT_EQ(read->table("drums")->place(), (TextPlace{11, 1, 1}));
  EXPECT_EQ(read->find("missing"), nullptr);
  EXPECT_FALSE(read->integer("missing"));
}

TEST(Toml, KeepsTheOrderOfTheFile) {
  const auto read = parse("[z]\n[a.b]\n[m]\n[a]\nx = 1\n");
  ASSERT_TRUE(read) << read.error().message;
  std::string names;
  for (const TomlEntry& entry : read->entries()) names += entry.name;
  EXPECT_EQ(names, "zam");
  EXPECT_EQ(read->table("a")->integer("x"), 1);
}

// Decimal numbers are those that the compiler makes of the same digits.
TEST(Toml, DecimalNumbersAreTheNearest) {
  const auto read = parse("a = [0.1, 3.14159, -24.75, 1234567.89012345, 0.00000000000001, 999999999999999]");
  ASSERT_TRUE(read) << read.error().message;
  const std::vector<double> expected{0.1, 3.14159, -24.75, 1234567.89012345, 0.00000000000001, 999999999999999.0};
  const TomlArray& numbers = *read->array("a");
  ASSERT_EQ(numbers.size(), expected.size());
  for (std::size_t i = 0; i < expected.size(); ++i) EXPECT_EQ(numbers[i].number(), expected[i]);
  EXPECT_FALSE(numbers.back().integer());  // more than an int holds
  EXPECT_EQ(parse("a = 2147483647")->integer("a"), 2147483647);
  EXPECT_EQ(parse("a = -2147483648")->integer("a"), -2147483648LL);
  EXPECT_FALSE(parse("a = 2147483648")->integer("a"));
}

TEST(Toml, Escapes) {
  EXPECT_EQ(parse(R"(a = "\"\\ \b\t\n\f\r")")->string("a"), "\"\\ \b\t\n\f\r");
  EXPECT_EQ(parse(R"(a = "\u0041\u00E9\u266d\U0001D12A")")->string("a"), "Aé♭𝄪");
  EXPECT_EQ(parse(R"(a = "\uFFFF\U0010ffff")")->string("a"), "\xEF\xBF\xBF\xF4\x8F\xBF\xBF");
  EXPECT_EQ(parse("a = \"é♭𝄪 # no comment\"")->string("a"), "é♭𝄪 # no comment");
  for (const char* bad :
       {R"("\q")", R"("\u12")", R"("\uD800")", R"("\U00110000")", R"("\uGGGG")", "\"\\", "\"\\\n\""}) {
    EXPECT_EQ(error_of(std::string("a = ") + bad), "1:6 unknown escape in a text") << bad;
  }
}

// Line and column in code points.
TEST(Toml, PlacesOfErrors) {
  const std::string_view unexpected = "unexpected characters at the end of the line";
  const std::vector<std::tuple<std::string, std::string, std::string_view>> cases{
      {"x = 1 2", "1:7", unexpected},
      {"x = \"♭♭\" y", "1:10", unexpected},
      {"# ø\r\n\r\n[a] ] ", "3:5", unexpected},
      {"x = \"\"\"\na\"\"\"", "1:7", unexpected},
      {"x = \"a", "1:5", "the quote is not closed"},
      {"x = \"a\nb\"", "1:5", "the quote is not closed"},
      {"x = [1,\n2", "1:5", "the bracket is not closed"},
      {"x = [1 2]", "1:8", "expected a comma or ]"},
      {"x = [1,,2]", "1:8", "expected a value"},
      {"x = [,]", "1:6", "expected a value"},
      {"x =\n1", "1:4", "expected a value"},
      {"x", "1:2", "expected = after the name"},
      {"a.b = 1", "1:2", "expected = after the name"},
      {"ø = 1", "1:1", "expected a name"},
      {"= 1", "1:1", "expected a name"},
      {"[]", "1:2", "expected a name"},
      {"[a.]", "1:4", "expected a name"},
      {"[a", "1:3", "expected ]"},
      {"[a b]", "1:4", "expected ]"},
      {"[[a]]", "1:1", "arrays of tables are not supported"}};
  for (const auto& [text, place, message] : cases)
    EXPECT_EQ(error_of(text), place + " " + std::string(message)) << text;
}

TEST(Toml, RefusesOtherValues) {
  for (const char* value : {"'a'", "{a=1}", "1e5", "0x1F", "1_000", "inf", "nan", "+", "-", ".5", "5.", "01", "1.2.3",
                            "--1", "True", "1979-05-27", "word", "1234567890123456", "0.1234567890123456"}) {
    const std::string text = std::string("x = ") + value;
    EXPECT_EQ(error_of(text), "1:5 cannot read the value " + std::string(value));
  }
}

TEST(Toml, RefusesWhatIsGivenTwice) {
  EXPECT_EQ(error_of("a = 1\nb = 2\n a = 3"), "3:2 \"a\" is given twice");
  EXPECT_EQ(error_of("a = 1\n\"a\" = 1"), "2:1 \"a\" is given twice");
  EXPECT_EQ(error_of("[a]\n[b]\n[a]"), "3:1 the table \"a\" is given twice");
  EXPECT_EQ(error_of("[a.b]\n[a]\nb = 1"), "3:1 \"b\" is given twice");
  EXPECT_EQ(error_of("[a]\nb = 1\n[a.b]"), "3:1 \"b\" is already the name of a value");
  EXPECT_EQ(error_of("a = 1\n[a.b]"), "2:1 \"a\" is already the name of a value");
  EXPECT_EQ(error_of("[a.b]\n[a]\n[a.c]"), "read");
}

TEST(Toml, RefusesBadCharacters) {
  EXPECT_EQ(error_of("a = \"ø\xFF\""), "1:7 not text in UTF-8");
  EXPECT_EQ(error_of("# \xED\xA0\x80"), "1:3 not text in UTF-8");  // a surrogate
  EXPECT_EQ(error_of("\n# \xE2\x99"), "2:3 not text in UTF-8");    // cut off
  EXPECT_EQ(error_of("a = \"\x1b\""), "1:6 control character");
  EXPECT_EQ(error_of(std::string_view("a = 1\n#\0", 8)), "2:2 control character");
  EXPECT_EQ(error_of("# a\rb"), "1:4 control character");
  EXPECT_EQ(error_of("# a\x7f"), "1:4 control character");
  EXPECT_EQ(error_of("#\ta\r\n"), "read");
}

TEST(Toml, RefusesDeepNesting) {
  const auto brackets = [](int depth) {
    return "x = " + std::string(static_cast<std::size_t>(depth), '[') +
           std::string(static_cast<std::size_t>(depth), ']');
  };
  EXPECT_EQ(error_of(brackets(deepest_toml)), "read");
  EXPECT_EQ(error_of(brackets(deepest_toml + 1)), "1:21 too many brackets within brackets");
  EXPECT_EQ(error_of("x = " + std::string(1'000'000, '[')), "1:21 too many brackets within brackets");
  std::string names = "a";
  for (int i = 1; i < deepest_toml; ++i) names += ".a";
  EXPECT_EQ(error_of("[" + names + "]"), "read");
  EXPECT_EQ(error_of("[" + names + ".a]"), "1:1 too many names in brackets");
}

}  // namespace
}  // namespace romanesca
