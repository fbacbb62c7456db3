// Two types of one name in the one namespace of the program are undefined behaviour that no compiler tells: templates
// made for the one are taken for the other where the linker puts files together.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <string>

namespace {

namespace fs = std::filesystem;

TEST(TypeNames, EachStandsInOneHeader) {
  const std::regex definition(R"(^(?:struct|class|enum class) (\w+)(?! *;)(?:[^;]*)$)");
  std::map<std::string, std::string> header_of;
  const fs::path root = SOURCE_ROOT;
  for (const char* room : {"theory", "progressions", "synth", "cli"}) {
    for (const auto& entry : fs::recursive_directory_iterator(root / room)) {
      if (entry.path().extension() != ".h") continue;
      const std::string here = fs::relative(entry.path(), root).string();
      std::ifstream file(entry.path());
      for (std::string line; std::getline(file, line);) {
        std::smatch found;
        if (!std::regex_search(line, found, definition)) continue;
        const auto [first, is_new] = header_of.emplace(found[1], here);
        EXPECT_TRUE(is_new) << found[1] << " stands in " << first->second << " and in " << here;
      }
    }
  }
  EXPECT_GT(header_of.size(), 300U);
}

}  // namespace
