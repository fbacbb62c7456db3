// Which room may know which: read from the include lines themselves.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <functional>
#include <map>
#include <set>
#include <string>
#include <vector>

namespace {

namespace fs = std::filesystem;

struct Include {
  std::string file;    ///< from the root of the sources
  std::string target;  ///< between the quotes or angles
  bool quoted = false;
};

std::vector<Include> includes_under(const std::string& room) {
  std::vector<Include> found;
  const fs::path root = SOURCE_ROOT;
  for (const auto& entry : fs::recursive_directory_iterator(root / room)) {
    const std::string ending = entry.path().extension();
    if (ending != ".h" && ending != ".cpp") continue;
    std::ifstream file(entry.path());
    for (std::string line; std::getline(file, line);) {
      if (!line.starts_with("#include ")) continue;
      const bool quoted = line[9] == '"';
      const std::size_t end = line.find(quoted ? '"' : '>', 10);
      found.push_back({fs::relative(entry.path(), root), line.substr(10, end - 10), quoted});
    }
  }
  return found;
}

void expect_only(const std::string& room, const std::function<bool(const Include&)>& allowed) {
  const auto includes = includes_under(room);
  EXPECT_FALSE(includes.empty()) << room;
  for (const Include& include : includes) {
    EXPECT_TRUE(allowed(include)) << include.file << " may not include " << include.target;
  }
}

bool from(const Include& include, std::initializer_list<const char*> rooms) {
  for (const char* room : rooms) {
    if (include.target.starts_with(room)) return true;
  }
  return false;
}

/// The standard library has names without a slash or a dot; anything else must be named.
bool standard(const Include& include) {
  return !include.quoted && include.target.find_first_of("./") == std::string::npos;
}

bool standard_or_fmt(const Include& include) {
  return standard(include) || (!include.quoted && include.target.starts_with("fmt/"));
}

/// What a library that shall run in a web page may not touch: files, clocks, threads, streams, devices.
const std::set<std::string>& worldly() {
  static const std::set<std::string> names{"fstream", "iostream", "filesystem", "chrono", "thread",
                                           "mutex",   "future",   "cstdio",     "ctime",  "condition_variable",
                                           "random"};
  return names;
}

bool pure(const Include& include) { return standard_or_fmt(include) && !worldly().contains(include.target); }

TEST(Includes, TheoryKnowsNobody) {
  expect_only("theory", [](const Include& i) { return i.quoted ? from(i, {"theory/"}) : pure(i); });
}

TEST(Includes, ProgressionsKnowTheoryOnly) {
  expect_only("progressions", [](const Include& i) {
    return i.quoted ? from(i, {"theory/", "progressions/"}) : pure(i);
  });
}

TEST(Includes, SoundKnowsOneHeaderOfTheory) {
  expect_only("synth/sound", [](const Include& i) {
    return i.quoted ? from(i, {"synth/sound/"}) || i.target == "theory/notes/note_event.h" : pure(i);
  });
}

TEST(Includes, ArrangingKnowsTheoryAndWhoPlays) {
  expect_only("synth/arranging", [](const Include& i) {
    return i.quoted ? from(i, {"theory/", "synth/arranging/", "synth/sound/performance.h", "synth/sound/instrument.h"})
                    : pure(i);
  });
}

TEST(Includes, HearingKnowsTheTonesThatAreHeardAndNobodyElse) {
  expect_only("synth/hearing", [](const Include& i) {
    return i.quoted ? from(i, {"synth/hearing/"}) || i.target == "theory/text/embedded_text.h" ||
                          i.target == "theory/listening/sounding_tones.h"
                    : pure(i);
  });
}

TEST(Includes, FilesKnowSoundOnly) {
  // Libraries of the rim, and the system's calls for temporary files and for loading libraries.
  const std::set<std::string> rim{"sndfile.h", "ebur128.h", "fluidsynth.h", "dlfcn.h",
                                  "fcntl.h",   "unistd.h",  "sys/mman.h",   "sys/stat.h"};
  expect_only("synth/files", [&](const Include& i) {
    return i.quoted ? from(i, {"synth/sound/", "synth/files/", "theory/text/errors.h"})
                    : standard_or_fmt(i) || rim.contains(i.target) || i.target.starts_with("taglib/");
  });
}

TEST(Includes, LiveKnowsSoundAndTheMeter) {
  // Devices, and the system's calls for clocks, threads and loading libraries.
  const std::set<std::string> rim{"RtMidi.h", "RtAudio.h", "dlfcn.h", "pthread.h", "sched.h", "sys/prctl.h"};
  expect_only("synth/live", [&](const Include& i) {
    return i.quoted ? from(i, {"synth/sound/", "synth/live/", "theory/text/", "theory/notes/meter"})
                    : standard_or_fmt(i) || rim.contains(i.target);
  });
}

TEST(Includes, StudioKnowsNoCommandLineAndPrintsNothing) {
  expect_only("cli/studio", [](const Include& i) {
    return i.quoted ? from(i, {"theory/", "progressions/", "synth/", "cli/studio/"})
                    : i.target != "iostream" && i.target != "ostream" && i.target != "CLI/CLI.hpp";
  });
}

/// Its functions return values or errors; memory that has run out is left to the program.
TEST(Studio, ThrowsNothing) {
  int files = 0;
  for (const auto& entry : fs::recursive_directory_iterator(fs::path(SOURCE_ROOT) / "cli/studio")) {
    if (!entry.is_regular_file()) continue;
    ++files;
    std::ifstream file(entry.path());
    for (std::string line; std::getline(file, line);) {
      const bool throws = line.find("throw ") != std::string::npos || line.find("or_throw(") != std::string::npos;
      EXPECT_TRUE(!throws || line.find("throw std::bad_alloc()") != std::string::npos) << entry.path() << ": " << line;
    }
  }
  EXPECT_GT(files, 30);
}

TEST(Includes, FormatsKnowStudioAndNoCommand) {
  expect_only("cli/formats", [](const Include& i) {
    return i.quoted ? from(i, {"theory/", "progressions/", "synth/", "cli/studio/", "cli/formats/"})
                    : i.target != "iostream" && i.target != "CLI/CLI.hpp";
  });
}

std::string folder_of(const std::string& file) { return fs::path(file).parent_path().string(); }

/// Follows the edges from one name; @return the names of a circle, or nothing.
std::vector<std::string> circle_from(const std::map<std::string, std::set<std::string>>& edges, const std::string& name,
                                     std::vector<std::string>& way, std::set<std::string>& done) {
  const auto before = std::find(way.begin(), way.end(), name);
  if (before != way.end()) return {before, way.end()};
  if (!done.insert(name).second) return {};
  way.push_back(name);
  if (const auto found = edges.find(name); found != edges.end()) {
    for (const std::string& next : found->second) {
      if (auto circle = circle_from(edges, next, way, done); !circle.empty()) return circle;
    }
  }
  way.pop_back();
  return {};
}

void expect_no_circle(const std::map<std::string, std::set<std::string>>& edges) {
  std::set<std::string> done;
  for (const auto& [name, targets] : edges) {
    std::vector<std::string> way;
    EXPECT_EQ(circle_from(edges, name, way, done), std::vector<std::string>{});
  }
}

TEST(Includes, GoInNoCircle) {
  std::map<std::string, std::set<std::string>> files;
  std::map<std::string, std::set<std::string>> rooms;
  for (const char* folder : {"theory", "progressions", "synth", "cli"}) {
    for (const Include& include : includes_under(folder)) {
      if (!include.quoted) continue;
      files[include.file].insert(include.target);
      const std::string from = folder_of(include.file);
      const std::string to = folder_of(include.target);
      // A folder and the rooms in it belong together; rooms side by side need an order.
      const bool together = from == to || from.starts_with(to + "/") || to.starts_with(from + "/");
      if (!together) rooms[from].insert(to);
    }
  }
  EXPECT_GT(files.size(), 300U);
  expect_no_circle(files);
  expect_no_circle(rooms);
}

TEST(Includes, OnlyArrangingSeesProgressionsOfChords) {
  for (const Include& include : includes_under("synth")) {
    const bool arranging = include.file.starts_with("synth/arranging/");
    EXPECT_TRUE(arranging || include.target != "theory/songs/progression.h") << include.file;
  }
}

/// Each file that reads the option library's header costs several seconds of building.
TEST(Includes, OneFileKnowsTheOptionLibrary) {
  std::set<std::string> files;
  for (const Include& include : includes_under("cli")) {
    if (include.target == "CLI/CLI.hpp") files.insert(include.file);
  }
  EXPECT_EQ(files, std::set<std::string>{"cli/option_parser.cpp"});
}

}  // namespace
