#include "cli/formats/paper/chart_drawing.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <pugixml.hpp>
#include <set>

#include "cli/formats/paper/page_flow.h"
#include "cli/formats/paper/paint.h"
#include "page_geometry.h"
#include "paper_songs.h"
#include "theory/chords/numeral_text.h"

namespace romanesca {
namespace {

/// The texts of a page in reading order; parts of one chord symbol or numeral joined.
std::vector<std::string> texts_of(const Page& page, MarkKind kind) {
  std::vector<std::string> texts;
  int group = 0;
  for (const Mark& mark : page.marks) {
    const auto* text = std::get_if<TextMark>(&mark.shape);
    if (mark.kind != kind || text == nullptr) continue;
    if (mark.group != 0 && mark.group == group) {
      texts.back() += text->text;
    } else {
      texts.push_back(text->text);
    }
    group = mark.group;
  }
  return texts;
}

std::vector<std::string> texts_of(const Drawing& drawing, MarkKind kind) {
  std::vector<std::string> all;
  for (const Page& page : drawing.pages) {
    for (std::string& text : texts_of(page, kind)) all.push_back(std::move(text));
  }
  return all;
}

TEST(ChartDrawing, ChordsAndNumeralsAreSetAsInPrint) {
  const Drawing drawing = chart_of(
      placed_song("key: Bb\n| Bb | F/A | Gm7 | Ebmaj7 |\n| Am7b5 D7(b9,#11) | Gm(maj7) | C9sus4 | F#dim7 |\n"));
  const std::vector<std::string> chords = texts_of(drawing, MarkKind::chord);
  const std::vector<std::string> expected{"B\u266D",     "F/A",        "Gm7",
                                          "E\u266Dmaj7", "Am7\u266D5", "D7(\u266F11\u266D9)",
                                          "Gm(maj7)",    "C9sus4",     "F\u266F\u00B07"};
  ASSERT_GE(chords.size(), expected.size());
  EXPECT_TRUE(std::equal(expected.begin(), expected.end(), chords.begin())) << testing::PrintToString(chords);
  const std::vector<std::string> numerals = texts_of(drawing, MarkKind::numeral);
  ASSERT_GE(numerals.size(), 2U);
  EXPECT_EQ(numerals[0], "I");
  EXPECT_EQ(numerals[1], "V6");
}

TEST(ChartDrawing, NoAsciiAccidentalsOnPaper) {
  for (const std::string& song : paper_songs()) {
    for (const MarkKind kind : {MarkKind::chord, MarkKind::numeral}) {
      for (const std::string& text : texts_of(chart_of(placed_song(song)), kind)) {
        EXPECT_EQ(text.find_first_of("#b"), std::string::npos) << text;
      }
    }
  }
}

TEST(ChartDrawing, NoFigureUnderSevenPoints) {
  for (const std::string& song : paper_songs()) {
    for (const Page& page : chart_of(placed_song(song)).pages) {
      for (const Mark& mark : page.marks) {
        const auto* text = std::get_if<TextMark>(&mark.shape);
        if (text == nullptr || mark.kind != MarkKind::finger) continue;
        EXPECT_GE(text->size, 7) << text->text;
      }
    }
  }
}

TEST(ChartDrawing, OneScaleForAllKeyboardsOfASong) {
  const Drawing drawing = chart_of(placed_song(paper_songs()[4]));
  std::set<std::pair<int, int>> sizes;  // in hundredths of a point
  for (const Page& page : drawing.pages) {
    for (const Mark& mark : page.marks) {
      const auto* box = std::get_if<BoxMark>(&mark.shape);
      if (mark.kind != MarkKind::keyboard || box == nullptr) continue;
      sizes.insert({static_cast<int>(box->box.width * 100), static_cast<int>(box->box.height * 100)});
    }
  }
  EXPECT_EQ(sizes.size(), 1U);
}

TEST(ChartDrawing, OnePageWhereItFits) {
  EXPECT_EQ(chart_of(placed_song("key: Eb\n| Eb | Bb/D | Cm7 | Ab |\n| Eb | Bb | Ab / Bb / | Eb |\n")).pages.size(),
            1U);
  std::string longer;
  for (int i = 0; i < 60; ++i) longer += "| C | Am | F | G ";
  const Drawing drawing = chart_of(placed_song(longer + "|"));
  EXPECT_GT(drawing.pages.size(), 1U);
  const auto* last = std::get_if<TextMark>(&drawing.pages.back().marks.back().shape);
  ASSERT_NE(last, nullptr);
  EXPECT_EQ(last->text, std::to_string(drawing.pages.size()) + " / " + std::to_string(drawing.pages.size()));
}

/// What pdftotext finds, without blanks: it parts what is raised.
std::string text_in_pdf(const std::string& bytes) {
  const auto path = std::filesystem::temp_directory_path() / ("romanesca-page-" + std::to_string(getpid()) + ".pdf");
  std::ofstream(path, std::ios::binary) << bytes;
  std::FILE* pipe = popen(("pdftotext -raw " + path.string() + " -").c_str(), "r");
  if (pipe == nullptr) return {};
  std::string text;
  char buffer[4096];
  while (const std::size_t count = std::fread(buffer, 1, sizeof buffer, pipe)) text.append(buffer, count);
  EXPECT_EQ(pclose(pipe), 0);
  std::filesystem::remove(path);
  std::erase_if(text, [](char c) { return c == ' ' || c == '\n' || c == '\f'; });
  return text;
}

/// A title is made smaller until it fits, and cut only where it would be too small to read.
TEST(ChartDrawing, ATitleIsMadeSmallerBeforeItIsCut) {
  int smaller = 0;
  std::string title = "Rain";
  for (const char* word :
       {" on", " the", " tin", " roof", " in", " July", " while", " we", " sing", " along", " softly"}) {
    title += word;
    const Drawing drawing = chart_of(placed_song("title: " + title + "\n| C |\n"));
    for (const Mark& mark : drawing.pages.front().marks) {
      const auto* text = std::get_if<TextMark>(&mark.shape);
      if (text == nullptr || text->role != TextRole::title || text->size < 14.5) continue;
      EXPECT_EQ(text->text, title) << text->size;
      if (text->size < 25) ++smaller;
    }
  }
  EXPECT_GT(smaller, 1);
}

/// The sign of doubt stands over the chord that it is about, not at the end of the bar beside the next one.
TEST(ChartDrawing, ADoubtfulBarHasItsSignOverItsChord) {
  const Drawing drawing = chart_of(placed_song("key: C\n| C | G | Am | F |  # ? bar 2\n"));
  double sign = -1;
  std::vector<double> chords;
  for (const Mark& mark : drawing.pages.front().marks) {
    const auto* text = std::get_if<TextMark>(&mark.shape);
    if (text == nullptr) continue;
    if (text->text == "?") sign = text->x;
    if (mark.kind == MarkKind::chord && chords.size() < 4) chords.push_back(text->x);
  }
  ASSERT_EQ(chords.size(), 4U);
  const double bar = chords[2] - chords[1];
  EXPECT_NEAR(sign, chords[1], bar / 8);
}

TEST(ChartPdf, TextCanBeReadInOrder) {
  const Placement piece =
      placed_song("title: Rain\nkey: G\n\n[Verse]\n| G | D/F# | Em7 | C |\n[Chorus]\n| Am7 | D7 | Bm7b5 E7 | G |\n");
  const std::string text = text_in_pdf(paint_pdf(chart_of(piece)));
  std::size_t at = text.find("Verse");
  ASSERT_NE(at, std::string::npos) << text;
  for (const char* word :
       {"G", "D/F\u266F", "Em7", "vi7", "C", "IV", "Chorus", "Am7", "ii7", "D7", "Bm7\u266D5", "E7", "G"}) {
    at = text.find(word, at);
    ASSERT_NE(at, std::string::npos) << word << " in\n" << text;
    at += std::string(word).size();
  }
}

TEST(ChartPdf, SameInputSameBytes) {
  const Placement piece = placed_song("| C | F# |");
  const std::string bytes = paint_pdf(chart_of(piece));
  EXPECT_TRUE(bytes.starts_with("%PDF-"));
  EXPECT_EQ(bytes, paint_pdf(chart_of(piece)));
}

/// Letters that the program's own faces lack come from a font of the computer.
TEST(ChartPdf, StrangeLettersAreSet) {
  const Placement piece = placed_song("title: \u041C\u043E\u0440\u0435\n| C |\n");
  EXPECT_NE(text_in_pdf(paint_pdf(chart_of(piece))).find("\u041C\u043E\u0440\u0435"), std::string::npos);
}

TEST(ChartSvg, TextIsText) {
  const Placement piece = placed_song("title: Salt & <Sand>\nkey: G\n| G | D/F# | Em7 | C |\n");
  pugi::xml_document document;
  ASSERT_TRUE(document.load_string(paint_svg(chart_of(piece)).c_str()));
  const pugi::xml_node svg = document.child("svg");
  EXPECT_STREQ(svg.child_value("title"), "Salt & <Sand>");
  EXPECT_NE(std::string(svg.child_value("desc")).find("D/F#"), std::string::npos);
  EXPECT_STREQ(svg.attribute("xml:lang").value(), "en");
  std::string texts;
  for (const pugi::xml_node& node : svg.children("text")) texts += node.child_value();
  EXPECT_NE(texts.find("D/F\u266FV6"), std::string::npos) << texts;
}

TEST(ChartSvg, PagesByThemselves) {
  const auto svg_of = [](const std::string& text) {
    pugi::xml_document document;
    EXPECT_TRUE(document.load_string(text.c_str()));
    return document.child("svg").attribute("viewBox").value() + std::string();
  };
  PaperSettings paper;
  paper.foot = false;
  const auto one = paint_svg_pages(chart_of(placed_song("| C | Am | F | G |\n"), paper));
  ASSERT_EQ(one.size(), 1U);
  EXPECT_EQ(one[0].find("Stop if a stretch hurts"), std::string::npos);
  // It ends with its ink: four bars and four keyboards fill less than half of the paper.
  double left = 0, top = 0, width = 0, height = 0;
  std::istringstream(svg_of(one[0])) >> left >> top >> width >> height;
  EXPECT_GT(height, 150);
  EXPECT_LT(height, 421);
  std::string song = "[Verse]\n";
  for (int line = 0; line < 60; ++line) song += "| C | Am | F | G |\n";
  const auto many = paint_svg_pages(chart_of(placed_song(song), paper));
  ASSERT_GT(many.size(), 1U);
  EXPECT_NE(many.back().find("Stop if a stretch hurts"), std::string::npos);
}

TEST(ChartSvg, GermanWords) {
  PaperSettings paper;
  paper.words = german_words;
  paper.student = "Mira";
  const std::string svg = paint_svg(chart_of(placed_song("names: german\n[Strophe]\n|: C | Am | F | G :|x3\n"), paper));
  for (const char* words : {">Hände<", ">linke Hand<", ">rechte Hand<", ">Takt 1<", ">3-mal<", ">Für<", ">C-Dur<",
                            ">Hör auf, wenn ein weiter Griff wehtut.<"}) {
    EXPECT_NE(svg.find(words), std::string::npos) << words;
  }
  for (const char* words : {">left hand<", ">bar 1<", " times<", "hurts"}) {
    EXPECT_EQ(svg.find(words), std::string::npos) << words;
  }
}

/// Every sign that is used is there, once.
TEST(ChartSvg, SignsAreDefinedOnce) {
  PaperSettings paper;
  paper.staves = StaffKind::grand;
  pugi::xml_document document;
  ASSERT_TRUE(document.load_string(paint_svg(chart_of(placed_song("key: Eb\n| Eb | Bdim7 |\n"), paper)).c_str()));
  std::set<std::string> defined;
  int uses = 0;
  for (const pugi::xml_node& node : document.child("svg").children()) {
    if (std::string(node.name()) == "defs") {
      EXPECT_TRUE(defined.insert(node.child("path").attribute("id").value()).second);
    }
    if (std::string(node.name()) != "use") continue;
    ++uses;
    EXPECT_TRUE(defined.contains(std::string(node.attribute("href").value()).substr(1)));
  }
  EXPECT_GT(uses, 20);
}

TEST(ChartPng, IsAPictureOfThePage) {
  const std::string bytes = paint_png(chart_of(placed_song("| C | F |")), 1);
  ASSERT_GT(bytes.size(), 33U);
  EXPECT_TRUE(bytes.starts_with("\x89PNG\r\n"));
  const auto big_endian = [&](std::size_t from) {
    unsigned value = 0;
    for (std::size_t i = 0; i < 4; ++i) value = value << 8U | static_cast<unsigned char>(bytes[from + i]);
    return value;
  };
  EXPECT_EQ(big_endian(16), 595U);
  EXPECT_EQ(big_endian(20), 842U);
}

TEST(Booklet, HasContentsAndBookmarks) {
  std::vector<Drawing> charts;
  std::vector<std::string> names;
  for (int fifths = 0; fifths < 3; ++fifths) {
    const KeyText key{PitchClass(fifths), Mode::major};
    charts.push_back(chart_of(placed_song("I vi IV V", key)));
    names.push_back(to_string(Key{key.tonic, Mode::major}));
  }
  const Drawing booklet = bound("Four chords", std::move(charts), names, {});
  ASSERT_EQ(booklet.pages.size(), 4U);
  EXPECT_EQ(booklet.pages[1].bookmark, "C major");
  EXPECT_EQ(booklet.pages[3].bookmark, "D major");
  EXPECT_TRUE(page_faults(booklet.pages[0]).empty());
  EXPECT_NE(paint_pdf(booklet).find("/Outlines"), std::string::npos);
}

/// Hidden chords are boxes to write in, without their hands; N.C. is still shown.
TEST(ChartDrawing, HiddenChordsAreEmptyBoxes) {
  const Placement piece = placed_song("| C | N.C. | N.C. | G |");
  const auto count = [&](const PaperSettings& paper) {
    const Drawing drawing = chart_of(piece, paper);
    const std::vector<std::string> chords = texts_of(drawing, MarkKind::chord);
    const auto boxes = std::count_if(drawing.pages[0].marks.begin(), drawing.pages[0].marks.end(),
                                     [](const Mark& mark) { return mark.kind == MarkKind::box; });
    return std::pair{std::count(chords.begin(), chords.end(), "N.C."), boxes};
  };
  PaperSettings paper;
  EXPECT_EQ(count(paper), (std::pair{2L, 0L}));
  paper.open_chords = {1};
  EXPECT_EQ(count(paper), (std::pair{1L, 1L}));
  const std::string words = chart_of(piece, paper).description;
  EXPECT_NE(words.find("bar 2 to be found, bar 3 no chord"), std::string::npos) << words;
}

}  // namespace
}  // namespace romanesca
