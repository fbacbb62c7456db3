#include "cli/web/page_paper.h"

#include <gtest/gtest.h>

#include "theory/songs/song_reading.h"

namespace romanesca {
namespace {

PrintedForm form_of(const std::string& text) { return printed_form(read_song(text, "song")->progression); }

TEST(PagePaper, AFormIsReadBackAsItWas) {
  for (const char* text : {"[Verse]\n|: C | Am | F | G :|x3\n[Chorus]\n| F | G |\n[Verse]\n",
                           "|: C | F |1. G | G :|2. C | C |\n", "[A]\n| C | F |\nD.C. al Fine\n"}) {
    const PrintedForm form = form_of(text);
    ASSERT_FALSE(form.sections.empty()) << text;
    const auto json = form_json(form);
    const PrintedForm again = read_form_json(json, form.bars_played, 20);
    EXPECT_EQ(form_json(again), json) << text;
    EXPECT_EQ(again.bars(), form.bars()) << text;
    EXPECT_EQ(again.bars_played, form.bars_played) << text;
  }
}

TEST(PagePaper, AFormThatDoesNotFitIsNone) {
  const auto good = form_json(form_of("[Verse]\n|: C | Am :|x3\n"));
  ASSERT_EQ(read_form_json(good, 6, 1).sections.size(), 1U);
  EXPECT_TRUE(read_form_json(good, 1, 1).sections.empty()) << "a bar beyond the song";
  EXPECT_TRUE(read_form_json(good, 6, 0).sections.empty()) << "a section beyond the song";
  for (const char* text : {"null", "7", "[7]", "[[]]", R"([["A",0,"",0,0,1,0,7]])", R"([["A",0,"",0,0,1,0,[[1]]]])",
                           R"([["A",0,"",0,0,1,0,[["1",1,0,0,0,0,0,0,0,0,0]]]])"}) {
    EXPECT_TRUE(read_form_json(nlohmann::ordered_json::parse(text), 6, 1).sections.empty()) << text;
  }
}

TEST(PagePaper, TextsOfASongAreEscaped) {
  const auto answer = paper_answer(
      {{"do", "paper"}, {"text", "title: <script>alert(1)</script>\n[<b>A</b>]\n| C |\n"}, {"student", "<i>M"}});
  const std::string page = answer["pages"][0].get<std::string>();
  for (const char* tag : {"<script", "<b>", "<i>"}) EXPECT_EQ(page.find(tag), std::string::npos) << tag;
  EXPECT_NE(page.find("&lt;i&gt;M"), std::string::npos);
}

}  // namespace
}  // namespace romanesca
