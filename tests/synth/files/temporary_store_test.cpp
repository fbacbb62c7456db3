#include "synth/files/temporary_store.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <random>

#include "theory/text/errors.h"

namespace romanesca {
namespace {

class TemporaryFolder {
 public:
  TemporaryFolder() { std::filesystem::create_directory(path); }
  ~TemporaryFolder() { std::filesystem::remove_all(path); }
  TemporaryFolder(const TemporaryFolder&) = delete;
  TemporaryFolder& operator=(const TemporaryFolder&) = delete;
  const std::filesystem::path path =
      std::filesystem::temp_directory_path() / ("romanesca-store-" + std::to_string(getpid()));
};

TEST(TemporaryStore, ReadsBackFromMemoryAndFromTheFile) {
  const TemporaryFolder folder;
  TemporaryStore store(folder.path.string(), 1000);
  std::vector<float> left(5000), right(5000);
  for (std::size_t i = 0; i < left.size(); ++i) {
    left[i] = static_cast<float>(i);
    right[i] = -0.5f * static_cast<float>(i);
  }
  std::mt19937 random(3);
  for (std::size_t at = 0; at < left.size();) {
    const std::size_t count = std::min<std::size_t>(1 + random() % 700, left.size() - at);
    store.append({left.data() + at, right.data() + at, count});
    at += count;
  }
  EXPECT_EQ(store.frames(), 5000);
  EXPECT_TRUE(std::filesystem::is_empty(folder.path));  // the file has no name
  for (int i = 0; i < 200; ++i) {
    const std::size_t first = random() % 4900;
    const std::size_t count = 1 + random() % std::min<std::size_t>(2000, 5000 - first);
    std::vector<float> l(count), r(count);
    store.read(static_cast<std::int64_t>(first), {l.data(), r.data(), count});
    for (std::size_t k = 0; k < count; ++k) {
      ASSERT_EQ(l[k], left[first + k]);
      ASSERT_EQ(r[k], right[first + k]);
    }
  }
  store.clear();
  EXPECT_EQ(store.frames(), 0);
}

TEST(TemporaryStore, ReportsAFullDisk) {
  TemporaryStore store("/no/such/folder", 10);
  std::vector<float> samples(100);
  EXPECT_THROW(store.append({samples.data(), samples.data(), 100}), SystemError);
}

}  // namespace
}  // namespace romanesca
