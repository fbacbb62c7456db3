#include "page_geometry.h"

#include <gtest/gtest.h>

#include <fstream>
#include <sstream>

#include "../../../sweep.h"
#include "cli/formats/paper/exercise_drawing.h"
#include "paper_songs.h"
#include "progressions/library.h"

// No two marks of a page touch that must not. Distances: see page_geometry.cpp.

namespace romanesca {
namespace {

struct NamedPaper {
  std::string name;
  PaperSettings settings;
};

std::vector<NamedPaper> papers() {
  std::vector<NamedPaper> all;
  for (const bool letter : {false, true}) {
    for (const bool large : {false, true}) {
      for (const StaffKind staves : {StaffKind::none, StaffKind::grand, StaffKind::slashes}) {
        PaperSettings paper;
        if (letter) {
          paper.width = 612;
          paper.height = 792;
        }
        paper.large = large;
        paper.staves = staves;
        paper.advice = "Level 3, inversions that lie near: strike on every beat.";
        all.push_back({std::string(letter ? "letter" : "a4") + (large ? " large" : "") + " staves " +
                           std::to_string(static_cast<int>(staves)),
                       paper});
      }
    }
  }
  return all;
}

/// Every page without a fault. @return the number of pages
std::size_t expect_clean(const Drawing& drawing, const std::string& what) {
  for (std::size_t page = 0; page < drawing.pages.size(); ++page) {
    const std::vector<std::string> faults = page_faults(drawing.pages[page]);
    for (std::size_t i = 0; i < std::min<std::size_t>(faults.size(), 4); ++i)
      ADD_FAILURE() << what << ", page " << page + 1 << ": " << faults[i];
  }
  return drawing.pages.size();
}

TEST(PageGeometry, TypedSongsOnEveryPaper) {
  std::size_t pages = 0;
  for (const NamedPaper& paper : papers()) {
    for (const std::string& song : paper_songs()) {
      pages += expect_clean(chart_of(placed_song(song), paper.settings), paper.name + ": " + song.substr(0, 60));
    }
  }
  EXPECT_GT(pages, 150U);
}

TEST(PageGeometry, EveryWayToPlayTheHands) {
  PaperSettings staves;
  staves.staves = StaffKind::grand;
  for (const VoicingKind kind : all_voicing_kinds) {
    for (const LeftHand left : {LeftHand::root, LeftHand::broken}) {
      HandSettings hands;
      hands.voicing = kind;
      hands.left = left;
      for (const std::string& song : test::tried(paper_songs(), static_cast<std::size_t>(kind))) {
        expect_clean(chart_of(placed_song(song), {}, hands), std::string(to_string(kind)) + ": " + song.substr(0, 60));
        expect_clean(chart_of(placed_song(song), staves, hands),
                     std::string(to_string(kind)) + ", staves: " + song.substr(0, 60));
      }
    }
  }
}

TEST(PageGeometry, LibraryInTwelveKeys) {
  std::size_t pages = 0;
  std::size_t turn = 0;
  for (const Pattern& pattern : library()) {
    std::vector<int> keys;
    for (int fifths = -5; fifths <= 6; ++fifths) keys.push_back(fifths);
    for (const int fifths : test::tried(keys, turn++)) {
      const Key key = simplest_spelling({PitchClass(fifths), pattern.mode});
      if (!key.can_be_written()) continue;
      NamedProgression source;
      source.progression = pattern.progression;
      source.name = pattern.id;
      const Placement piece = *place_in_key(source, KeyText{key.tonic, key.mode});
      for (const StaffKind staves : {StaffKind::none, StaffKind::grand}) {
        PaperSettings paper;
        paper.staves = staves;
        pages += expect_clean(chart_of(piece, paper), pattern.id + " in " + to_string(key) + ", staves " +
                                                          std::to_string(static_cast<int>(staves)));
      }
    }
  }
  EXPECT_GE(pages, 2 * library().size());
}

TEST(PageGeometry, DemoSongs) {
  for (const char* name : {"lantern-walk.txt", "paper-boats.txt"}) {
    std::ifstream file(std::string(SOURCE_ROOT) + "/demo/" + name);
    std::stringstream text;
    text << file.rdbuf();
    ASSERT_FALSE(text.str().empty()) << name;
    for (const NamedPaper& paper : papers())
      expect_clean(chart_of(placed_song(text.str()), paper.settings), paper.name + ": " + name);
  }
}

TEST(PageGeometry, ExerciseSheets) {
  std::size_t turn = 0;
  for (const ExerciseKind& kind : exercise_kinds()) {
    for (int number = kind.lowest; number <= kind.highest; number += 3) {
      ExerciseRequest request;
      request.level = level(number);
      request.id = kind.id;
      request.key = simplest_spelling({PitchClass(static_cast<int>(turn++ % 12) - 5), Mode::major});
      request.choices = 1;
      const auto set = set_exercises(request);
      ASSERT_TRUE(set) << kind.id;
      PaperSettings paper;
      paper.large = turn % 4 == 0;
      expect_clean(exercise_drawing(*set, true, paper), kind.id + " at level " + std::to_string(number));
    }
  }
}

/// A page without a fault, changed; the test must see it.
template <typename Change>
std::size_t faults_after(Change change) {
  PaperSettings paper;
  paper.staves = StaffKind::grand;
  Drawing drawing = chart_of(
      placed_song("key: E\n| E | B7/D# C#7b9 | F#m7b5 | Am6 Gdim7 |\n| F#7 | B7alt | E6/9 | G#m7b5 |\n"), paper);
  EXPECT_TRUE(page_faults(drawing.pages[0]).empty());
  for (Mark& mark : drawing.pages[0].marks) change(mark);
  return page_faults(drawing.pages[0]).size();
}

TEST(PageGeometry, SeesAccidentalsThatTouch) {
  EXPECT_GT(faults_after([](Mark& mark) {
              if (mark.kind == MarkKind::accidental)
                std::get<GlyphMark>(mark.shape).x += 0.7 * std::get<GlyphMark>(mark.shape).space;
            }),
            5U);
}

TEST(PageGeometry, SeesFingersThatTouch) {
  EXPECT_GT(faults_after([](Mark& mark) {
              auto* glyph = std::get_if<GlyphMark>(&mark.shape);
              if (mark.kind == MarkKind::finger && glyph != nullptr) glyph->y += 8;
            }),
            5U);
}

TEST(PageGeometry, SeesBarLinesInNotes) {
  EXPECT_GT(faults_after([](Mark& mark) {
              auto* line = std::get_if<LineMark>(&mark.shape);
              if (mark.kind != MarkKind::bar_line || line == nullptr) return;
              line->x1 += 10;
              line->x2 += 10;
            }),
            2U);
}

TEST(PageGeometry, SeesTextsThatTouch) {
  EXPECT_GT(faults_after([](Mark& mark) {
              auto* text = std::get_if<TextMark>(&mark.shape);
              if (text != nullptr) text->box.width *= 4;
            }),
            5U);
}

TEST(PageGeometry, SeesWhatLeavesThePage) {
  EXPECT_GT(faults_after([](Mark& mark) {
              auto* text = std::get_if<TextMark>(&mark.shape);
              if (text != nullptr) text->box.x += 560;
            }),
            5U);
}

}  // namespace
}  // namespace romanesca
