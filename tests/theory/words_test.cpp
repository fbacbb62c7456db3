#include <gtest/gtest.h>

#include "theory/songs/symbol_text.h"
#include "theory/text/characters.h"
#include "theory/text/nearest_word.h"

namespace romanesca {
namespace {

TEST(NearestWord, EditDistance) {
  EXPECT_EQ(edit_distance("", "abc"), 3);
  EXPECT_EQ(edit_distance("chart", "chart"), 0);
  EXPECT_EQ(edit_distance("chrat", "chart"), 1);
  EXPECT_EQ(edit_distance("kitten", "sitting"), 3);  // the textbook example
}

TEST(NearestWord, OffersOnlyWhatIsNear) {
  const std::vector<std::string> words{"chart", "analyse", "transpose", "render"};
  EXPECT_EQ(nearest_word("chrat", words), "chart");
  EXPECT_EQ(nearest_word("ANALYZE", words), "analyse");
  EXPECT_FALSE(nearest_word("banana", words));
  EXPECT_FALSE(nearest_word("", words));
}

TEST(AsciiText, LettersOfAsciiAlone) {
  EXPECT_EQ(small_letters("Ärger IN Dis-Dur 7"), "Ärger in dis-dur 7");
  EXPECT_EQ(capital('z'), 'Z');
  EXPECT_EQ(capital('7'), '7');
  for (int code = 0; code < 256; ++code) {
    const char c = static_cast<char>(code);
    const bool letter = (code >= 65 && code <= 90) || (code >= 97 && code <= 122);  // ASCII (ISO/IEC 646)
    EXPECT_EQ(is_letter(c), letter) << code;
    EXPECT_EQ(is_digit(c), code >= 48 && code <= 57) << code;
    EXPECT_EQ(small_letter(c) != c, code >= 65 && code <= 90) << code;
    EXPECT_TRUE(same_letter(c, small_letter(c))) << code;
  }
  EXPECT_FALSE(same_letter('a', 'b'));
  EXPECT_EQ(trimmed("\t two words \r"), "two words");
  EXPECT_EQ(trimmed(" \t"), "");
}

TEST(Utf8, FindsBadBytes) {
  EXPECT_FALSE(first_bad_byte("C♭ ø Δ 𝄪\t"));
  EXPECT_EQ(first_bad_byte("ab\x80"), 2U);
  EXPECT_EQ(first_bad_byte("\xC0\xAF"), 0U);          // overlong
  EXPECT_EQ(first_bad_byte("\xED\xA0\x80"), 0U);      // surrogate
  EXPECT_EQ(first_bad_byte("\xF4\x90\x80\x80"), 0U);  // beyond Unicode
  EXPECT_EQ(first_bad_byte("a\xE2\x99"), 1U);         // cut off
  EXPECT_EQ(first_bad_byte(std::string_view("a\0b", 3)), 1U);
  EXPECT_EQ(code_points("B♭7"), 3U);
}

TEST(Suggestions, ForUnreadableChords) {
  EXPECT_EQ(suggest_symbol("Hm7"), "Bm7");
  EXPECT_EQ(suggest_symbol("gm"), "Gm");
  EXPECT_EQ(suggest_symbol("Cmja7"), "Cmaj7");
  EXPECT_EQ(suggest_symbol("Fsuss4"), "Fsus4");
  EXPECT_EQ(suggest_symbol("C/H"), "C/B");
  EXPECT_EQ(suggest_symbol("(C"), "C");
  for (const char* far : {"8", ".", "-", "X", "x4", "major"}) EXPECT_EQ(suggest_symbol(far), "") << far;
  EXPECT_EQ(suggest_symbol("Hx"), "");  // B double sharp is no help
  EXPECT_EQ(suggest_symbol("hello-there-everyone"), "");
}

}  // namespace
}  // namespace romanesca
