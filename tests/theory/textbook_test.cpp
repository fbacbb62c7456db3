// Progressions that textbooks use to teach a device, read as the textbooks read them; the data file names each place.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <sstream>

#include "theory/analysis/regions.h"
#include "theory/analysis/remarks.h"
#include "theory/chords/numeral_text.h"
#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

struct TextbookRow {
  std::string source, keys, chords, numerals;
};

std::string without_blanks(const std::string& text) {
  const std::size_t first = text.find_first_not_of(' ');
  return first == std::string::npos ? "" : text.substr(first, text.find_last_not_of(' ') - first + 1);
}

std::vector<TextbookRow> textbook_rows() {
  std::ifstream file(SOURCE_ROOT "/tests/theory/textbook_progressions.txt");
  EXPECT_TRUE(file);
  std::vector<TextbookRow> rows;
  for (std::string line; std::getline(file, line);) {
    if (line.empty() || line[0] == '#') continue;
    std::vector<std::string> fields;
    std::istringstream parts(line);
    for (std::string field; std::getline(parts, field, ';');) fields.push_back(without_blanks(field));
    EXPECT_EQ(fields.size(), 4U) << line;
    if (fields.size() == 4) rows.push_back({fields[0], fields[1], fields[2], fields[3]});
  }
  return rows;
}

std::string keys_of(const Analysis& analysis) {
  std::string keys;
  for (const KeyRegion& region : key_regions(analysis)) {
    keys += fmt::format("{}{}:{}", keys.empty() ? "" : ",", region.bar, to_string(region.key));
  }
  return keys;
}

TEST(Textbooks, ProgressionsAreReadAsTheyReadThem) {
  const std::vector<TextbookRow> rows = textbook_rows();
  EXPECT_GE(rows.size(), 80U);
  for (const TextbookRow& row : rows) {
    const auto progression = parse_progression(row.chords, "t");
    ASSERT_TRUE(progression) << row.chords << ": " << progression.error().message;
    const Analysis analysis = analyse(*progression);
    std::string numerals;
    for (const AnalysedChord& each : analysis.chords) {
      numerals += (numerals.empty() ? "" : " ") + to_string(each.reading->numeral);
    }
    EXPECT_EQ(keys_of(analysis), row.keys) << row.source << ": " << row.chords;
    EXPECT_EQ(numerals, row.numerals) << row.source << ": " << row.chords;
    for (const Remark& remark : remarks_on(analysis)) {
      EXPECT_NE(remark.kind, "slip") << row.source << ": " << row.chords << ": " << remark.text;
      EXPECT_NE(remark.kind, "spelling") << row.source << ": " << row.chords << ": " << remark.text;
    }
  }
}

// The device is named where it is: tonics a major third apart, each after its dominant (common practice: what jazz
// players call Coltrane changes).
TEST(Textbooks, TheCycleOfThirdsIsNamed) {
  const auto named = [](const std::string& chords) {
    const auto remarks = remarks_on(analyse(*parse_progression(chords, "t")));
    return std::any_of(remarks.begin(), remarks.end(), [](const Remark& remark) {
      return remark.kind == "sequence" && remark.text.find("Coltrane changes") != std::string::npos;
    });
  };
  EXPECT_TRUE(named("Cmaj7 Eb7 Abmaj7 B7 Emaj7 G7 Cmaj7"));
  EXPECT_TRUE(named("Emaj7 | G7 | Cmaj7 | Eb7 | Abmaj7 | B7 | Emaj7 | Emaj7"));
  EXPECT_TRUE(named("| Cm7 | F7 | Bbmaj7 | Abm7 Db7 | Gbmaj7 | Em7 A7 | Dmaj7 | Dmaj7 |"));
  EXPECT_FALSE(named("Cmaj7 Eb7 Abmaj7 Dm7 G7 Cmaj7"));
  EXPECT_FALSE(named("Dm7 G7 Cmaj7 Am7 D7 Gmaj7"));
}

}  // namespace
}  // namespace romanesca
