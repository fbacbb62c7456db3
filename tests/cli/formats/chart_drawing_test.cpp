#include "cli/formats/paper/chart_drawing.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <pugixml.hpp>

#include "cli/formats/paper/page_flow.h"
#include "cli/formats/paper/paint.h"
#include "progressions/library.h"
#include "theory/chords/numeral_text.h"
#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

Placement placed(const std::string& text, const std::optional<KeyText>& key = std::nullopt) {
  NamedProgression source;
  source.progression = *parse_progression(text, "t");
  source.name = "progression";
  return *place_in_key(std::move(source), key);
}

Drawing drawing_of(const Placement& piece, const PaperSettings& paper = {}, const HandSettings& hands = {}) {
  return chart_drawing(piece, hands_for(piece.analysis.timeline, hands, piece.analysis.keys.by_bar), paper);
}

bool overlap(const Box& a, const Box& b) {
  constexpr double tolerance = 0.05;  // points: boxes may touch
  return a.x + tolerance < b.x + b.width && b.x + tolerance < a.x + a.width && a.y + tolerance < b.y + b.height &&
         b.y + tolerance < a.y + a.height;
}

/// The faults of a page: texts that overlap, leave the page or lie on keys. Empty if there are none.
std::string faults(const Page& page) {
  std::vector<const TextMark*> texts;
  std::vector<const TextMark*> fingers;
  std::vector<const BoxMark*> keys;
  for (const Mark& mark : page.marks) {
    if (const auto* text = std::get_if<TextMark>(&mark)) {
      (text->role == TextRole::finger ? fingers : texts).push_back(text);
    } else if (const auto* box = std::get_if<BoxMark>(&mark)) {
      if (box->box.height > 20) keys.push_back(box);
    }
  }
  std::string found;
  for (std::size_t i = 0; i < texts.size(); ++i) {
    const Box& box = texts[i]->box;
    if (box.x < 0 || box.y < 0 || box.x + box.width > page.width || box.y + box.height > page.height) {
      found += texts[i]->text + " leaves the page; ";
    }
    for (std::size_t k = i + 1; k < texts.size(); ++k) {
      if (overlap(box, texts[k]->box)) found += texts[i]->text + " lies on " + texts[k]->text + "; ";
    }
    for (const BoxMark* key : keys) {
      if (overlap(box, key->box)) found += texts[i]->text + " lies on a key; ";
    }
  }
  for (std::size_t i = 0; i < fingers.size(); ++i) {
    for (std::size_t k = i + 1; k < fingers.size(); ++k) {
      if (overlap(fingers[i]->box, fingers[k]->box)) found += "two fingers lie on each other; ";
    }
  }
  return found;
}

// All progressions of the library in twelve keys.
TEST(ChartDrawing, NothingOverlaps) {
  std::size_t pages = 0;
  for (const Pattern& pattern : library()) {
    for (int fifths = -5; fifths <= 6; ++fifths) {
      const Key key = simplest_spelling({PitchClass(fifths), pattern.mode});
      if (!key.can_be_written()) continue;
      NamedProgression source;
      source.progression = pattern.progression;
      source.name = pattern.id;
      const Placement piece = *place_in_key(source, KeyText{key.tonic, key.mode});
      for (const Page& page : drawing_of(piece).pages) {
        EXPECT_EQ(faults(page), "") << pattern.id << " in " << to_string(key);
        ++pages;
      }
    }
  }
  EXPECT_GT(pages, 800U);
}

TEST(ChartDrawing, NothingOverlapsInHardCases) {
  const char* songs[] = {
      "title: A title that is far too long to stand on one line of a page in its usual size, so it must shrink\n"
      "[A]\n| C |\n[B]\n| Dm7 G7 | Cmaj7 |\n",
      "| C D E F G A B C | F#m7b5 B7(b9,#11) Ebmaj7#11 Ab13sus4 |",
      "| C D E F G A C D E F G A C D E F G A C D E F G A |",
      "meter: 5/4\n| C / / G / | N.C. | % |\n| / / / / F |",
  };
  for (const char* song : songs) {
    const Placement piece = placed(song);
    for (const bool large : {false, true}) {
      for (const bool staves : {false, true}) {
        const PaperSettings paper{612, 792, large, staves, "Level 3, inversions that lie near: strike on every beat."};
        for (const LeftHand left : {LeftHand::root, LeftHand::broken}) {
          HandSettings hands;
          hands.left = left;
          for (const Page& page : drawing_of(piece, paper, hands).pages) EXPECT_EQ(faults(page), "") << song;
        }
      }
    }
  }
}

TEST(ChartDrawing, OnePageWhereItFits) {
  const Placement piece = placed("key: Eb\n| Eb | Bb/D | Cm7 | Ab |\n| Eb | Bb | Ab / Bb / | Eb |\n");
  EXPECT_EQ(drawing_of(piece).pages.size(), 1U);
  std::string longer;
  for (int i = 0; i < 60; ++i) longer += "| C | Am | F | G ";
  const Drawing drawing = drawing_of(placed(longer + "|"));
  EXPECT_GT(drawing.pages.size(), 1U);
  const auto* last = std::get_if<TextMark>(&drawing.pages.back().marks.back());
  ASSERT_NE(last, nullptr);
  EXPECT_EQ(last->text, std::to_string(drawing.pages.size()) + " / " + std::to_string(drawing.pages.size()));
}

/// Chords and numerals in reading order.
std::vector<std::string> expected_words(const Placement& piece) {
  std::vector<std::string> words;
  for (const AnalysedChord& each : piece.analysis.chords) {
    words.push_back(to_string(*each.timed.chord));
    words.push_back(to_string(each.reading->numeral));
  }
  return words;
}

TEST(ChartPdf, TextCanBeReadInOrder) {
  const Placement piece =
      placed("title: Rain\nkey: G\n\n[Verse]\n| G | D/F# | Em7 | C |\n[Chorus]\n| Am7 | D7 | Bm7b5 E7 | G |\n");
  const auto path = std::filesystem::temp_directory_path() / ("romanesca-page-" + std::to_string(getpid()) + ".pdf");
  std::ofstream(path, std::ios::binary) << paint_pdf(drawing_of(piece));
  std::FILE* pipe = popen(("pdftotext -raw " + path.string() + " -").c_str(), "r");
  ASSERT_NE(pipe, nullptr);
  std::string text;
  char buffer[4096];
  while (const std::size_t count = std::fread(buffer, 1, sizeof buffer, pipe)) text.append(buffer, count);
  EXPECT_EQ(pclose(pipe), 0);
  std::filesystem::remove(path);
  std::size_t at = text.find("Verse");
  ASSERT_NE(at, std::string::npos) << text;
  for (const std::string& word : expected_words(piece)) {
    at = text.find(word, at);
    ASSERT_NE(at, std::string::npos) << word << " in\n" << text;
    at += word.size();
  }
}

TEST(ChartPdf, SameInputSameBytes) {
  const Placement piece = placed("| C | F |");
  const std::string bytes = paint_pdf(drawing_of(piece));
  EXPECT_TRUE(bytes.starts_with("%PDF-"));
  EXPECT_EQ(bytes, paint_pdf(drawing_of(piece)));
}

TEST(ChartSvg, TextIsText) {
  const Placement piece = placed("title: Salt & <Sand>\nkey: G\n| G | D/F# | Em7 | C |\n");
  pugi::xml_document document;
  ASSERT_TRUE(document.load_string(paint_svg(drawing_of(piece)).c_str()));
  const pugi::xml_node svg = document.child("svg");
  EXPECT_STREQ(svg.child_value("title"), "Salt & <Sand>");
  EXPECT_NE(std::string(svg.child_value("desc")).find("D/F#"), std::string::npos);
  EXPECT_STREQ(svg.attribute("xml:lang").value(), "en");
  std::vector<std::string> texts;
  for (const pugi::xml_node& node : svg.children("text")) texts.emplace_back(node.child_value());
  auto at = texts.begin();
  for (const std::string& word : expected_words(piece)) {
    at = std::find(at, texts.end(), word);
    ASSERT_NE(at, texts.end()) << word;
  }
}

TEST(ChartPng, IsAPictureOfThePage) {
  const std::string bytes = paint_png(drawing_of(placed("| C | F |")), 1);
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
    charts.push_back(drawing_of(placed("I vi IV V", key)));
    names.push_back(to_string(Key{key.tonic, Mode::major}));
  }
  const Drawing booklet = bound("Four chords", std::move(charts), names, {});
  ASSERT_EQ(booklet.pages.size(), 4U);
  EXPECT_EQ(booklet.pages[1].bookmark, "C major");
  EXPECT_EQ(booklet.pages[3].bookmark, "D major");
  EXPECT_EQ(faults(booklet.pages[0]), "");
  EXPECT_NE(paint_pdf(booklet).find("/Outlines"), std::string::npos);
}

/// Hidden chords are boxes to write in; N.C. is still shown.
TEST(ChartDrawing, HiddenChordsAreEmptyBoxes) {
  const Placement piece = placed("| C | N.C. | N.C. | G |");
  PaperSettings paper;
  const auto count = [&](const Drawing& drawing) {
    std::pair<int, int> counted{0, 0};  // words "N.C.", dashed or plain boxes as large as a chord
    for (const Mark& mark : drawing.pages.front().marks) {
      if (const auto* text = std::get_if<TextMark>(&mark)) counted.first += text->text == "N.C." ? 1 : 0;
      if (const auto* box = std::get_if<BoxMark>(&mark)) {
        counted.second += box->fill == Ink::paper && box->outline == Ink::quiet && box->box.width > 30 ? 1 : 0;
      }
    }
    return counted;
  };
  EXPECT_EQ(count(drawing_of(piece, paper)), (std::pair{2, 0}));
  paper.open_chords = {1};
  EXPECT_EQ(count(drawing_of(piece, paper)), (std::pair{1, 1}));
  EXPECT_NE(drawing_of(piece, paper).description.find("bar 2 to be found, bar 3 no chord"), std::string::npos)
      << drawing_of(piece, paper).description;
}

}  // namespace
}  // namespace romanesca
