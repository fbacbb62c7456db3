// Other languages, other time zones, little memory, very long songs.
#include <chrono>

#include "tests/cli/faults/faulty_run.h"
#include "tests/sanitized.h"
#include "tests/sweep.h"

namespace romanesca::test {
namespace {

class Surroundings : public FaultyRun {};

/// Builds a locale, for systems without it. @return whether that worked
bool make_locale(const fs::path& folder, const std::string& name) {
  fs::create_directories(folder);
  const fs::path made = folder / (name + ".UTF-8");
  return std::system(("localedef -i " + name + " -f UTF-8 " + made.string() + " >/dev/null 2>&1").c_str()) == 0 ||
         fs::exists(made);
}

// German and Turkish have a decimal comma; in Turkish the lower case of I is not i.
TEST_F(Surroundings, LanguagesChangeNothing) {
  std::vector<std::string> languages{"tr_TR"};
  if (thorough()) languages.emplace_back("de_DE");
  for (const std::string& language : languages) {
    ASSERT_TRUE(make_locale(folder_ / "locales", language)) << "localedef (Debian: locales) cannot make " << language;
  }
  put("sharp.txt", "title: I\ntempo: 92.5\nkey: C MINOR\n| Cm | Fm7 | Bb | EB |\n");
  const std::vector<std::vector<std::string>> commands{
      {"chart", "song.txt"},
      {"chart", "song.txt", "--json"},
      {"chart", "song.txt", "--out", "x.svg"},
      {"chart", "song.txt", "--out", "x.pdf"},
      {"chart", "song.txt", "--out", "x.musicxml"},
      {"analyse", "song.txt", "--json"},
      {"analyse", "sharp.txt"},
      {"transpose", "I IV V", "--key", "EB"},
      {"progressions", "--mode", "MINOR"},
      {"render", "song.txt", "--out", "x.mid"},
      {"render", "song.txt", "--tempo", "92.5", "--loudness", "-16.5", "--out", "x.wav", "--json"},
      {"styles", "--json"},
      {"exercise", "--json"},
      {"chart", "C HI"}};
  for (const auto& arguments : tried(commands, 2)) {
    const auto seen_in = [&](const std::string& language) {
      const RunResult result = run(arguments, [&] {
        setenv("LOCPATH", (folder_ / "locales").c_str(), 1);
        for (const char* name : {"LC_ALL", "LANG", "LANGUAGE"}) setenv(name, language.c_str(), 1);
      });
      std::string all = std::to_string(result.status) + result.out + result.err;
      for (const auto& [name, bytes] : files()) all += name + bytes;
      return all;
    };
    const std::string in_none = seen_in("C");
    for (const std::string& language : languages) {
      EXPECT_EQ(seen_in(language + ".UTF-8"), in_none) << language << arguments[0] << " " << arguments.back();
    }
  }
}

TEST_F(Surroundings, TimeZonesChangeOnlyTheDate) {
  for (const char* zone : {"UTC", "Pacific/Kiritimati", "Etc/GMT+12", "Nowhere/At_All", "", ":", "<-25>99"}) {
    const auto in_zone = [&] { setenv("TZ", zone, 1); };
    ASSERT_EQ(run({"student", "add", "Mira"}, in_zone).status, 0) << zone;
    ASSERT_EQ(run({"student", "note", "1", "hello"}, in_zone).status, 0) << zone;
    const RunResult history = run({"student", "history", "1"}, in_zone);
    EXPECT_EQ(history.status, 0) << zone;
    EXPECT_NE(history.out.find("hello"), std::string::npos) << zone << history.out;
    fs::remove_all(folder_ / "home/romanesca");
  }
  // An entry keeps the day on which it was written in any time zone.
  const auto in = [](const char* zone) { return [zone] { setenv("TZ", zone, 1); }; };
  ASSERT_EQ(run({"student", "add", "Mira"}, in("Pacific/Kiritimati")).status, 0);
  ASSERT_EQ(run({"student", "note", "1", "hello"}, in("Pacific/Kiritimati")).status, 0);
  EXPECT_EQ(run({"student", "history", "1"}, in("Pacific/Kiritimati")).out,
            run({"student", "history", "1"}, in("Etc/GMT+12")).out);
}

// The sanitizers need more address space than this test leaves.
#if !defined(ROMANESCA_SANITIZED)
// With any amount of memory the output is complete, or the program reports too little memory and leaves no file.
TEST_F(Surroundings, LittleMemory) {
  std::string song;
  for (int i = 0; i < (thorough() ? 20000 : 8000); ++i) song += "| C | Am7 | Dm7 | G7 |\n";
  put("large.txt", song);
  const auto old = files();
  int refused = 0;
  std::vector<rlim_t> sizes;
  // From the least in which the program itself can be loaded, which grows with it.
  rlim_t least = 40;
  while (least < 240 && run({"--version"}, [&] { limit(RLIMIT_AS, least << 20U); }).status != 0) least += 10;
  for (rlim_t megabytes = least; megabytes <= least + 200; megabytes += 20) sizes.push_back(megabytes);
  std::size_t turn = 0;
  for (const auto& arguments :
       std::vector<std::vector<std::string>>{{"analyse", "large.txt", "--out", "x.json"},
                                             {"transpose", "large.txt", "--key", "D", "--out", "x.txt"},
                                             {"render", "song.txt", "--out", "x.wav"},
                                             {"chart", "large.txt", "--out", "x.json"}}) {
    const std::string file = arguments.back();
    ASSERT_EQ(run(arguments).status, 0);
    const std::string whole = contents_of(work_folder() / file);
    fs::remove(work_folder() / file);
    turn += 2;
    for (const rlim_t megabytes : tried(sizes, turn)) {
      const RunResult result = run(arguments, [&] { limit(RLIMIT_AS, megabytes << 20U); });
      if (result.status == 0) {
        EXPECT_EQ(contents_of(work_folder() / file), whole);
        fs::remove(work_folder() / file);
        continue;
      }
      EXPECT_TRUE(files() == old) << arguments[0] << " " << megabytes;
      if (result.status == 127 || result.status == 126) continue;  // too little memory to load the program
      EXPECT_EQ(result.status, 3) << arguments[0] << " with " << megabytes << " MB: " << result.err;
      EXPECT_EQ(result.err,
                "romanesca: the computer's memory is used up; give it a shorter piece, or close other programs\n");
      ++refused;
    }
  }
  EXPECT_GT(refused, 3);
}
#endif

/// One megabyte, which deep recursion would exceed; more under the sanitizers, whose frames are larger.
void little_stack() {
#if !defined(ROMANESCA_SANITIZED)
  limit(RLIMIT_STACK, rlim_t{1} << 20U);
#endif
}

TEST_F(Surroundings, TenThousandBarsAndSections) {
  std::string bars, sections;
  for (int i = 0; i < 2500; ++i) bars += "| C | Am | F | G |\n";
  for (int i = 0; i < 10000; ++i) sections += "[Verse " + std::to_string(i) + "]\n| C |\n";
  put("bars.txt", bars);
  put("sections.txt", sections);
  put("names.txt", "[" + std::string(100000, '[') + "]\n| C |\n");
  const std::vector<std::vector<std::string>> commands{{"chart", "--json"},
                                                       {"chart"},
                                                       {"chart", "--out", "x.svg"},
                                                       {"chart", "--out", "x.pdf"},
                                                       {"chart", "--out", "x.musicxml"},
                                                       {"analyse"},
                                                       {"transpose", "--key", "D"},
                                                       {"transpose", "--simplify", "1"},
                                                       {"render", "--out", "x.mid"},
                                                       {"exercise", "--kind", "song"}};
  std::size_t turn = 0;
  for (const char* song : {"bars.txt", "sections.txt", "names.txt"}) {
    for (std::vector<std::string> arguments : tried(commands, turn += 3)) {
      arguments.insert(arguments.begin() + 1, song);
      const auto begun = std::chrono::steady_clock::now();
      const RunResult result = run(arguments, little_stack);
      EXPECT_EQ(result.status, 0) << arguments[0] << " " << arguments.back() << " " << song << result.err;
      // Minutes would mean that some step takes quadratic time.
      EXPECT_LT(std::chrono::steady_clock::now() - begun, std::chrono::seconds(60)) << arguments[0] << " " << song;
    }
  }
}

}  // namespace
}  // namespace romanesca::test
