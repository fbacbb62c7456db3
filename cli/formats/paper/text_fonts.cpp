#include "cli/formats/paper/text_fonts.h"

#include <cairo-ft.h>
#include <hb-ft.h>
#include <hb-ot.h>

#include <algorithm>
#include <map>
#include <new>
#include <utility>

#include "cli/formats/paper/embedded_fonts.h"
#include "cli/formats/paper/pango_text.h"
#include "cli/formats/paper/shaped_text.h"
#include "cli/formats/paper/text_signs.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

constexpr int units = 1000;  // of the em, in all of these fonts

/// A face from the bytes in the program, for measuring and for drawing. Never freed: cairo may still hold it at the
/// end.
struct LoadedFace {
  hb_font_t* shaper = nullptr;
  cairo_font_face_t* painter = nullptr;

  explicit LoadedFace(std::span<const unsigned char> bytes) {
    hb_blob_t* blob = hb_blob_create(reinterpret_cast<const char*>(bytes.data()), static_cast<unsigned>(bytes.size()),
                                     HB_MEMORY_MODE_READONLY, nullptr, nullptr);
    hb_face_t* face = hb_face_create(blob, 0);
    shaper = hb_font_create(face);
    hb_ot_font_set_funcs(shaper);
    hb_font_set_scale(shaper, units, units);
    hb_face_destroy(face);
    hb_blob_destroy(blob);
    static FT_Library library = nullptr;
    FT_Face outlines = nullptr;
    // Of a font that is part of the program nothing but memory can be wrong.
    if ((library == nullptr && FT_Init_FreeType(&library) != 0) ||
        FT_New_Memory_Face(library, bytes.data(), static_cast<FT_Long>(bytes.size()), 0, &outlines) != 0 ||
        shaper == hb_font_get_empty()) {
      throw std::bad_alloc();
    }
    painter = cairo_ft_font_face_create_for_ft_face(outlines, FT_LOAD_NO_HINTING | FT_LOAD_NO_BITMAP);
  }
};

const LoadedFace& loaded(Face face) {
  static const LoadedFace roman(embedded_font_roman());
  static const LoadedFace italic(embedded_font_italic());
  static const LoadedFace bold(embedded_font_bold());
  static const LoadedFace figures(embedded_font_figures());
  switch (face) {
    case Face::italic:
      return italic;
    case Face::bold:
      return bold;
    case Face::figures:
      return figures;
    case Face::roman:
      break;
  }
  return roman;
}

/// Cuts a text into runs of one font each and places their glyphs one after the other.
class Shaper {
 public:
  Shaper(const std::string& text, Face face) : text_(text), face_(face) {}

  ShapedText shape() {
    for (std::size_t at = 0; at < text_.size();) {
      const std::size_t begin = at;
      const TextRun::Source source = source_of(read_code_point(text_, at));
      while (at < text_.size()) {
        std::size_t next = at;
        if (source_of(read_code_point(text_, next)) != source || source == TextRun::Source::sign) break;
        at = next;
      }
      add({source, begin, at, result_.advance, {}});
    }
    result_.ink = {left_, top_, std::max(right_ - left_, 0.0), std::max(bottom_ - top_, 0.0)};
    return std::move(result_);
  }

 private:
  [[nodiscard]] TextRun::Source source_of(char32_t character) const {
    if (text_sign(character) != nullptr) return TextRun::Source::sign;
    hb_codepoint_t glyph = 0;
    const bool known = hb_font_get_nominal_glyph(loaded(face_).shaper, character, &glyph) != 0;
    return known ? TextRun::Source::face : TextRun::Source::computer;
  }

  void add(TextRun run) {
    switch (run.source) {
      case TextRun::Source::face:
        add_face(run);
        break;
      case TextRun::Source::sign:
        add_sign(run);
        break;
      case TextRun::Source::computer:
        add_computer(run);
        break;
    }
    result_.runs.push_back(std::move(run));
  }

  void add_face(TextRun& run) {
    hb_buffer_t* buffer = hb_buffer_create();
    hb_buffer_add_utf8(buffer, text_.data() + run.begin, static_cast<int>(run.end - run.begin), 0, -1);
    hb_buffer_set_direction(buffer, HB_DIRECTION_LTR);
    hb_buffer_set_script(buffer, HB_SCRIPT_LATIN);
    hb_font_t* font = loaded(face_).shaper;
    // Without ligatures every letter is found again by who searches or reads the file by ear.
    const hb_feature_t plain{HB_TAG('l', 'i', 'g', 'a'), 0, 0, HB_FEATURE_GLOBAL_END};
    hb_shape(font, buffer, &plain, 1);
    if (hb_buffer_allocation_successful(buffer) == 0) {
      hb_buffer_destroy(buffer);
      throw std::bad_alloc();
    }
    unsigned count = 0;
    const hb_glyph_info_t* infos = hb_buffer_get_glyph_infos(buffer, &count);
    const hb_glyph_position_t* places = hb_buffer_get_glyph_positions(buffer, &count);
    double x = run.x;
    for (unsigned i = 0; i < count; ++i) {
      const double at = x + static_cast<double>(places[i].x_offset) / units;
      run.glyphs.push_back({infos[i].codepoint, at, infos[i].cluster});
      hb_glyph_extents_t extents{};
      if (hb_font_get_glyph_extents(font, infos[i].codepoint, &extents) != 0 && extents.width != 0) {
        extend(at + static_cast<double>(extents.x_bearing) / units, -static_cast<double>(extents.y_bearing) / units,
               static_cast<double>(extents.width) / units, -static_cast<double>(extents.height) / units);
      }
      x += static_cast<double>(places[i].x_advance) / units;
    }
    hb_buffer_destroy(buffer);
    result_.advance = x;
  }

  void add_sign(TextRun& run) {
    std::size_t at = run.begin;
    const TextSign& sign = *text_sign(read_code_point(text_, at));
    const auto place = static_cast<unsigned>(&sign - text_signs().data());
    run.glyphs.push_back({place, run.x, 0});
    const Box ink = sign_ink(sign);
    extend(run.x + ink.x, ink.y, ink.width, ink.height);
    result_.advance = run.x + sign_advance(sign);
  }

  void add_computer(const TextRun& run) {
    constexpr double measured_size = 100;
    const double width =
        PangoText::shared().width(text_.substr(run.begin, run.end - run.begin), measured_size, face_) / measured_size;
    extend(run.x, -0.95, width, 1.2);  // how high a strange font's letters may be
    result_.advance = run.x + width;
  }

  void extend(double x, double y, double width, double height) {
    left_ = std::min(left_, x);
    top_ = std::min(top_, y);
    right_ = std::max(right_, x + width);
    bottom_ = std::max(bottom_, y + height);
  }

  const std::string& text_;
  Face face_;
  ShapedText result_;
  double left_ = 0, top_ = 0, right_ = 0, bottom_ = 0;
};

}  // namespace

const ShapedText& shaped(const std::string& text, Face face) {
  static std::map<std::pair<std::string, Face>, ShapedText> known;
  const auto [found, is_new] = known.try_emplace({text, face});
  if (is_new) found->second = Shaper(text, face).shape();
  return found->second;
}

cairo_font_face_t* cairo_face(Face face) { return loaded(face).painter; }

}  // namespace romanesca
