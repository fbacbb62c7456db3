#include "cli/formats/paper/staff_marks.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>

namespace romanesca {
namespace {

// In spaces between two lines.
constexpr double above = 3.0;    // room over the upper staff
constexpr double between = 8.0;  // from the upper staff's lowest line to the lower one's highest
constexpr double below = 3.0;
constexpr double clef_width = 3.2;
constexpr double sign_width = 1.05;  // of a sharp or flat in the key signature

/// Staff steps: letters counted through the octaves; E4, the treble staff's lowest line, is 30.
int step_of(const Pitch& note) { return note.name().letter() + 7 * note.octave(); }

struct Staff {
  double lowest_line = 0;  ///< its y
  int lowest_step = 30;
};

// Outlines drawn for this program; units are spaces, the origin lies on the clef's own line.
using Curve = std::array<StrokeMark::Point, 4>;
constexpr std::array<Curve, 9> treble_clef{{
    {{{0.25, 0.35}, {-0.25, 0.55}, {-0.65, 0.15}, {-0.55, -0.35}}},
    {{{-0.55, -0.35}, {-0.40, -0.95}, {0.50, -1.05}, {0.85, -0.45}}},
    {{{0.85, -0.45}, {1.20, 0.25}, {0.75, 1.00}, {0.00, 1.00}}},
    {{{0.00, 1.00}, {-0.90, 1.00}, {-1.45, 0.40}, {-1.35, -0.40}}},
    {{{-1.35, -0.40}, {-1.20, -1.50}, {0.10, -2.10}, {0.45, -3.20}}},
    {{{0.45, -3.20}, {0.65, -3.90}, {0.45, -4.75}, {0.15, -4.75}}},
    {{{0.15, -4.75}, {-0.20, -4.75}, {-0.40, -3.90}, {-0.30, -3.10}}},
    {{{-0.30, -3.10}, {-0.10, -1.50}, {0.20, 0.60}, {0.35, 1.90}}},
    {{{0.35, 1.90}, {0.45, 2.70}, {-0.55, 2.90}, {-0.75, 2.30}}},
}};
constexpr std::array<Curve, 2> bass_clef{{
    {{{-0.95, 0.10}, {-0.95, -0.75}, {-0.30, -1.00}, {0.15, -1.00}}},
    {{{0.15, -1.00}, {1.60, -1.00}, {1.30, 1.60}, {-1.10, 2.70}}},
}};

class StaffPainter {
 public:
  StaffPainter(std::vector<Mark>& marks, const Box& area, double space, const Key& key)
      : marks_(marks),
        area_(area),
        space_(space),
        key_(key),
        treble_{area.y + (above + 4) * space, 30},
        bass_{area.y + (above + 4 + between + 4) * space, 18} {}

  void draw(const std::vector<StaffChord>& chords) {
    for (const Staff& staff : {treble_, bass_}) {
      for (int line = 0; line < 5; ++line) {
        const double y = staff.lowest_line - line * space_;
        marks_.push_back(LineMark{area_.x, y, area_.x + area_.width, y, 0.5, Ink::text});
      }
    }
    const double top = treble_.lowest_line - 4 * space_;
    marks_.push_back(LineMark{area_.x, top, area_.x, bass_.lowest_line, 0.9, Ink::text});
    draw_curves(treble_clef, area_.x + 1.9 * space_, treble_.lowest_line - space_);
    const double bass_x = area_.x + 1.6 * space_;
    const double f_line = bass_.lowest_line - 3 * space_;
    draw_curves(bass_clef, bass_x, f_line);
    round(bass_x - 0.65 * space_, f_line + 0.1 * space_, 0.32);
    round(bass_x + 1.6 * space_, f_line - 0.5 * space_, 0.2);
    round(bass_x + 1.6 * space_, f_line + 0.5 * space_, 0.2);
    draw_signature();
    for (const StaffChord& chord : chords) {
      draw_notes(chord.x, chord.hands->right, treble_);
      draw_notes(chord.x, chord.hands->left, bass_);
    }
  }

 private:
  [[nodiscard]] double y_of(int step, const Staff& staff) const {
    return staff.lowest_line - (step - staff.lowest_step) * space_ / 2;
  }

  void round(double x, double y, double radius) {
    marks_.push_back(RoundMark{x, y, radius * space_, radius * space_, true, Ink::text, 1});
  }

  template <std::size_t N>
  void draw_curves(const std::array<Curve, N>& curves, double x, double y) {
    StrokeMark stroke;
    stroke.width = 0.24 * space_;
    for (const Curve& curve : curves) {
      for (std::size_t i = stroke.points.empty() ? 0 : 1; i < curve.size(); ++i) {
        stroke.points.push_back({x + curve[i].x * space_, y + curve[i].y * space_});
      }
    }
    marks_.push_back(std::move(stroke));
  }

  void line(double x1, double y1, double x2, double y2, double width) {
    marks_.push_back(LineMark{x1, y1, x2, y2, width * space_, Ink::text});
  }

  /// A sharp, flat or natural centred on x and y; doubles are drawn twice.
  void draw_sign(int alteration, double x, double y) {
    const double s = space_;
    if (alteration > 0) {
      line(x - 0.2 * s, y - 1.1 * s, x - 0.2 * s, y + 1.2 * s, 0.12);
      line(x + 0.2 * s, y - 1.2 * s, x + 0.2 * s, y + 1.1 * s, 0.12);
      line(x - 0.45 * s, y - 0.25 * s, x + 0.45 * s, y - 0.5 * s, 0.24);
      line(x - 0.45 * s, y + 0.5 * s, x + 0.45 * s, y + 0.25 * s, 0.24);
      if (alteration > 1) draw_sign(alteration - 1, x - 0.95 * s, y);
    } else if (alteration < 0) {
      line(x - 0.3 * s, y - 1.7 * s, x - 0.3 * s, y + 0.55 * s, 0.13);
      marks_.push_back(StrokeMark{{{x - 0.3 * s, y - 0.2 * s},
                                   {x + 0.1 * s, y - 0.7 * s},
                                   {x + 0.75 * s, y - 0.2 * s},
                                   {x - 0.3 * s, y + 0.55 * s}},
                                  0.17 * s,
                                  Ink::text});
      if (alteration < -1) draw_sign(alteration + 1, x - 0.9 * s, y);
    } else {
      line(x - 0.25 * s, y - 1.3 * s, x - 0.25 * s, y + 0.5 * s, 0.12);
      line(x + 0.25 * s, y - 0.5 * s, x + 0.25 * s, y + 1.3 * s, 0.12);
      line(x - 0.25 * s, y - 0.35 * s, x + 0.25 * s, y - 0.55 * s, 0.22);
      line(x - 0.25 * s, y + 0.55 * s, x + 0.25 * s, y + 0.35 * s, 0.22);
    }
  }

  void draw_signature() {
    constexpr std::array<int, 7> sharps{38, 35, 39, 36, 33, 37, 34};  // F5 C5 G5 D5 A4 E5 B4
    constexpr std::array<int, 7> flats{34, 37, 33, 36, 32, 35, 31};   // B4 E5 A4 D5 G4 C5 F4
    const int signature = key_.signature();
    for (int i = 0; i < std::min(std::abs(signature), 7); ++i) {
      const auto place = static_cast<std::size_t>(i);
      const int step = signature > 0 ? sharps[place] : flats[place];
      const double x = area_.x + (clef_width + 0.8 + sign_width * i) * space_;
      draw_sign(signature > 0 ? 1 : -1, x, y_of(step, treble_));
      draw_sign(signature > 0 ? 1 : -1, x, y_of(step - 14, bass_));
    }
  }

  void draw_ledgers(double x, int step, const Staff& staff) {
    const double half = 1.0 * space_;
    for (int line_step = staff.lowest_step - 2; line_step >= step; line_step -= 2) {
      const double y = y_of(line_step, staff);
      marks_.push_back(LineMark{x - half, y, x + half, y, 0.5, Ink::text});
    }
    for (int line_step = staff.lowest_step + 10; line_step <= step; line_step += 2) {
      const double y = y_of(line_step, staff);
      marks_.push_back(LineMark{x - half, y, x + half, y, 0.5, Ink::text});
    }
  }

  void draw_notes(double x, const Voicing& notes, const Staff& staff) {
    int last_step = -100;
    bool last_aside = false;
    int last_sign_step = -100;
    double sign_shift = 0;
    for (const Pitch& note : notes) {
      const int step = step_of(note);
      // Of two neighbours the upper one is set to the right.
      const bool aside = step - last_step <= 1 && !last_aside;
      const double at = x + (aside ? 1.25 * space_ : 0);
      draw_ledgers(at, step, staff);
      marks_.push_back(RoundMark{at, y_of(step, staff), 0.58 * space_, 0.42 * space_, false, Ink::text, 0.24 * space_});
      const int natural = (key_.degree((note.name().letter() - key_.tonic.letter() + 7) % 7 + 1)).alteration();
      if (note.name().alteration() != natural) {
        // Accidentals of near notes are set in columns.
        sign_shift = step - last_sign_step < 6 ? std::fmod(sign_shift + 1.0, 3.0) : 0;
        draw_sign(note.name().alteration(), x - (1.35 + sign_shift) * space_, y_of(step, staff));
        last_sign_step = step;
      }
      last_step = step;
      last_aside = aside;
    }
  }

  std::vector<Mark>& marks_;
  Box area_;
  double space_;
  Key key_;
  Staff treble_, bass_;
};

}  // namespace

double grand_staff_depth(double space) { return (above + 4 + between + 4) * space; }

double grand_staff_height(double space) { return grand_staff_depth(space) + below * space; }

double grand_staff_head(double space, const Key& key) {
  return (clef_width + 1.6 + sign_width * std::min(std::abs(key.signature()), 7)) * space;
}

void add_grand_staff(std::vector<Mark>& marks, const Box& area, double space, const Key& key,
                     const std::vector<StaffChord>& chords) {
  StaffPainter(marks, area, space, key).draw(chords);
}

}  // namespace romanesca
