#include "synth/files/soundfont_finder.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <cstdlib>
#include <fstream>

namespace romanesca {
namespace {

class SoundFontFinder : public testing::Test {
 protected:
  SoundFontFinder() { std::filesystem::create_directories(folder / "other"); }
  ~SoundFontFinder() override { std::filesystem::remove_all(folder); }
  void put(const std::string& name, std::size_t size) const {
    std::ofstream(folder / name, std::ios::binary) << std::string(size, 'x');
  }
  const std::filesystem::path folder = std::filesystem::canonical(std::filesystem::temp_directory_path()) /
                                       ("romanesca-fonts-" + std::to_string(getpid()));
};

TEST_F(SoundFontFinder, TakesTheLargestOfThoseForAllInstruments) {
  const std::vector<std::filesystem::path> folders{folder / "none", folder, folder / "other"};
  EXPECT_EQ(find_soundfont(folders), std::nullopt);
  put("readme.txt", 500);
  EXPECT_EQ(find_soundfont(folders), std::nullopt);
  put("grand.sf2", 300);
  EXPECT_EQ(find_soundfont(folders), folder / "grand.sf2");
  put("small_GM.sf2", 20);
  put("other/larger-gm.SF3", 30);
  EXPECT_EQ(find_soundfont(folders), folder / "other/larger-gm.SF3");
  put("a-gm.sf2", 30);
  EXPECT_EQ(find_soundfont(folders), folder / "a-gm.sf2");
}

TEST_F(SoundFontFinder, FollowsLinksAndPassesOverBrokenOnes) {
  put("real.sf2", 10);
  std::filesystem::create_symlink(folder / "real.sf2", folder / "other/default-GM.sf2");
  std::filesystem::create_symlink(folder / "gone.sf2", folder / "other/broken-GM.sf2");
  const std::vector<std::filesystem::path> folders{folder / "other"};
  EXPECT_EQ(find_soundfont(folders), folder / "real.sf2");
}

TEST_F(SoundFontFinder, LooksWhereTheStandardSays) {
  const std::vector<std::filesystem::path> folders = soundfont_folders();
  if (std::getenv("XDG_DATA_DIRS") == nullptr) {
    EXPECT_NE(std::find(folders.begin(), folders.end(), "/usr/share/sounds/sf2"), folders.end());
  }
  for (const auto& each : folders) EXPECT_TRUE(each.is_absolute()) << each;
}

}  // namespace
}  // namespace romanesca
