#include "cli/play/screen.h"

#include <gtest/gtest.h>

#include <sstream>

#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

std::size_t columns(const std::string& text) {
  std::size_t count = 0;
  for (const char c : text) count += (static_cast<unsigned char>(c) & 0xC0U) != 0x80 ? 1 : 0;
  return count;
}

LiveController controller_for(const std::string& text) {
  NamedProgression named;
  named.progression = *parse_progression(text, "song");
  named.name = "Lantern Walk";
  return LiveController(LiveArranger(std::move(named), {styles().begin(), styles().end()}, {}), {});
}

const char* const wide_song =
    "[Verse]\n| Ebmaj7#11 | Bbm7b5/Fb | Cm7 Ab | N.C. |\n[Chorus with a long name that goes on]\n| Fm7 | Bb7sus4 |\n";

TEST(Screen, FitsEveryTerminal) {
  const LiveController controller = controller_for(wide_song);
  ScreenStatus status;
  status.title = "Lantern Walk";
  status.port = "a port";
  status.message = "tempo 92";
  status.heard = "Cm7, in time";
  status.stats = "timing";
  for (const int width : {21, 40, 80, 200}) {
    for (const int height : {6, 16, 24, 60}) {
      const auto lines = screen_lines(controller, status, {width, height});
      EXPECT_LE(lines.size(), static_cast<std::size_t>(height));
      for (const std::string& line : lines) EXPECT_LE(columns(line), static_cast<std::size_t>(width)) << line;
    }
  }
}

TEST(Screen, ShowsEverythingAtEightyByTwentyFour) {
  ScreenStatus status;
  status.title = "Lantern Walk";
  status.port = "a port";
  status.message = "tempo 92";
  std::string text;
  const LiveController controller = controller_for("| C | Am |");
  for (const std::string& line : screen_lines(controller, status, {80, 24})) text += line + "\n";
  for (const char* part : {"Lantern Walk", "C major", "now", "next", "> tempo 92", "1 drums", "q: quit", "stopped"}) {
    EXPECT_NE(text.find(part), text.npos) << part << " in\n" << text;
  }
}

/// During a rest the screen shows no chord now, and the next chord.
TEST(Screen, ShowsTheNextChordDuringARest) {
  LiveController controller = controller_for("| C | N.C. | F |");
  const auto at_bar = [&](int bar) {
    LiveEvent event;
    event.kind = LiveEvent::Kind::pulse;
    event.bar = bar;
    event.piece = &controller.playing().piece;
    controller.handle_event(event);
    std::string text;
    for (const std::string& line : screen_lines(controller, {}, {80, 24})) text += line + "\n";
    return text;
  };
  const std::string first = at_bar(0);
  EXPECT_NE(first.find("this bar  | C |    next bar  | N.C. |"), std::string::npos) << first;
  ASSERT_EQ(controller.chord(), 0);
  const std::string rest = at_bar(1);
  EXPECT_FALSE(controller.chord());
  EXPECT_NE(rest.find("this bar  | N.C. |    next bar  | F |"), std::string::npos) << rest;
  EXPECT_NE(rest.find("right hand  F4 A4 C5"), std::string::npos) << "the next chord: " << rest;
  EXPECT_NE(at_bar(2).find("next bar  | C |"), std::string::npos);
}

TEST(BigLetters, EveryCharacterOfAChordSymbolHasAForm) {
  for (const ChordTypeRow& row : chord_type_rows()) {
    for (int fifths = -8; fifths <= 8; ++fifths) {
      for (const char symbol : to_string(Chord::on(PitchClass(fifths), row.type))) {
        EXPECT_GT(big_width(std::string(1, symbol)), 0U) << symbol;
      }
    }
  }
}

TEST(BigLetters, RowsAreEquallyWide) {
  for (const char* text : {"C", "Ebmaj7#11", "F#m7b5/A", "Bbsus4", "Gdim7", "N.C."}) {
    const auto rows = big_letters(text, "#");
    ASSERT_EQ(rows.size(), big_rows);
    for (const std::string& row : rows) EXPECT_EQ(row.size(), big_width(text)) << text;
  }
}

TEST(ScreenPainter, WritesOnlyWhatHasChanged) {
  std::ostringstream out;
  {
    ScreenPainter painter(out);
    painter.paint({"one", "two"}, {80, 24});
    out.str("");
    painter.paint({"one", "two"}, {80, 24});
    EXPECT_EQ(out.str(), "");
    painter.paint({"one", "other"}, {80, 24});
    EXPECT_EQ(out.str(), "\x1b[2;1Hother\x1b[K");
    out.str("");
    painter.paint({"one"}, {80, 24});
    EXPECT_EQ(out.str(), "\x1b[2;1H\x1b[K");
  }
  EXPECT_NE(out.str().find("\x1b[?25h\x1b[?1049l"), std::string::npos);
}

}  // namespace
}  // namespace romanesca
