#include "cli/formats/paper/keyboard_marks.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "cli/formats/paper/text_layout.h"

namespace romanesca {
namespace {

constexpr double black_width = 0.60;   // of a white key's
constexpr double black_height = 0.61;  // of a white key's
constexpr int middle_c = 60;
constexpr double triangle_gap = 1.2;    // from the keys, in points
constexpr double digit_height = 0.73;   // of the size
constexpr double letter_height = 0.92;  // with a flat

double triangle_half(double key) { return std::max(2.1, 0.22 * key); }
double triangle_bottom(double key) { return triangle_gap + 1.7 * triangle_half(key); }

/// White keys below this one, from the lowest of the MIDI range.
int white_number(int midi) {
  constexpr std::array<int, 12> within{0, 1, 1, 2, 2, 3, 4, 4, 5, 5, 6, 6};
  return midi / 12 * 7 + within[static_cast<std::size_t>(midi % 12)];
}

/// Black keys are not centred on the gap: those of a group stand apart, as on the instrument.
double black_shift(int midi) {
  switch (midi % 12) {
    case 1:
      return -0.10;
    case 3:
      return 0.10;
    case 6:
      return -0.13;
    case 10:
      return 0.13;
    default:
      return 0;
  }
}

class KeyboardPicture {
 public:
  KeyboardPicture(std::vector<Mark>& marks, double x, double y, const KeyboardScale& scale)
      : marks_(marks), x_(x), y_(y), scale_(scale), group_(next_group(marks)) {}

  void draw(const HandsChord& chord) {
    draw_keys();
    for (const Pitch& note : chord.left) draw_square(note.midi());
    for (const Pitch& note : chord.right) draw_disc(note.midi());
    if (scale_.low <= middle_c && middle_c <= scale_.high) draw_triangle();
    draw_fingers(chord.right, chord.right_fingers, true);
    draw_fingers(chord.left, chord.left_fingers, false);
  }

  [[nodiscard]] double centre(int midi) const {
    const double edge = x_ + scale_.key * (white_number(midi) - white_number(scale_.low));
    return is_black_key(midi) ? edge + black_shift(midi) * scale_.key : edge + scale_.key / 2;
  }

 private:
  void draw_keys() {
    const double height = scale_.height();
    marks_.push_back(
        {BoxMark{{x_, y_, scale_.width(), height}, Ink::paper, Ink::text, 0.8}, MarkKind::keyboard, group_});
    for (int i = 1; i < scale_.white_keys(); ++i) {
      const double x = x_ + i * scale_.key;
      marks_.push_back({LineMark{x, y_, x, y_ + height, 0.5, Ink::text}, MarkKind::key, group_});
    }
    for (int midi = scale_.low; midi <= scale_.high; ++midi) {
      if (!is_black_key(midi)) continue;
      const double width = scale_.key * black_width;
      marks_.push_back({BoxMark{{centre(midi) - width / 2, y_, width, height * black_height}, Ink::text, Ink::text, 0},
                        MarkKind::key, group_});
    }
  }

  /// Half the size of what marks a key.
  [[nodiscard]] double half(bool black) const {
    const double usual = std::min(0.36 * scale_.key, 4.2);
    return black ? std::min(usual, 0.5 * black_width * scale_.key) : usual;
  }
  [[nodiscard]] double mark_y(int midi) const {
    const double size = half(is_black_key(midi));
    if (is_black_key(midi)) return y_ + scale_.height() * black_height - size - 0.4 * scale_.key;
    return y_ + scale_.height() - size - 0.22 * scale_.key;
  }

  /// The left hand: hollow on a white key, white on a black one.
  void draw_square(int midi) {
    const bool black = is_black_key(midi);
    const double size = half(black) * (black ? 0.8 : 1) - (black ? 0 : 0.5);
    const double x = centre(midi);
    const double y = mark_y(midi);
    marks_.push_back({BoxMark{{x - size, y - size, 2 * size, 2 * size}, Ink::paper, Ink::text, black ? 0 : 1.1},
                      MarkKind::key_mark, group_});
  }

  /// The right hand: a disc, on a black key with a white ring.
  void draw_disc(int midi) {
    const bool black = is_black_key(midi);
    const double size = half(black);
    const double x = centre(midi);
    const double y = mark_y(midi);
    if (black) marks_.push_back({RoundMark{x, y, size, size, true, Ink::paper, 1}, MarkKind::key_mark, group_});
    const double disc = black ? size * 0.66 : size;
    marks_.push_back({RoundMark{x, y, disc, disc, true, Ink::accent, 1}, MarkKind::key_mark, group_});
  }

  void draw_triangle() {
    const double x = centre(middle_c);
    const double half_width = triangle_half(scale_.key);
    const double top = y_ + scale_.height() + triangle_gap;
    ShapeMark triangle;
    triangle.points = {{x, top}, {x - half_width, top + 1.7 * half_width}, {x + half_width, top + 1.7 * half_width}};
    marks_.push_back({std::move(triangle), MarkKind::key_mark, group_});
  }

  void draw_fingers(const Voicing& notes, const Fingers& fingers, bool right) {
    if (fingers.size() < notes.size()) return;
    std::vector<double> at;
    for (const Pitch& note : notes) at.push_back(centre(note.midi()));
    // Figures of neighbouring keys move apart.
    const double gap = 0.72 * scale_.figure;
    constexpr int rounds = 20;
    for (int round = 0; round < rounds; ++round) {
      for (std::size_t i = 1; i < at.size(); ++i) {
        const double lack = gap - (at[i] - at[i - 1]);
        if (lack <= 0) continue;
        at[i - 1] -= lack / 2;
        at[i] += lack / 2;
      }
    }
    for (std::size_t i = 0; i < notes.size(); ++i) {
      const bool at_triangle =
          std::abs(at[i] - centre(middle_c)) < triangle_half(scale_.key) + 0.35 * scale_.figure + 0.8;
      const double under = (at_triangle ? triangle_bottom(scale_.key) + 0.8 : 2) + digit_height * scale_.figure;
      const double baseline = right ? y_ - 2.4 : y_ + scale_.height() + under;
      marks_.push_back(text_centred(at[i], baseline, std::to_string(fingers[i]),
                                    {scale_.figure, Face::figures, Ink::text, TextRole::finger, MarkKind::finger}));
    }
  }

  std::vector<Mark>& marks_;
  double x_, y_;
  const KeyboardScale& scale_;
  int group_;
};

}  // namespace

KeyboardScale KeyboardScale::around(std::span<const HandsChord* const> hands, bool whole) {
  KeyboardScale scale{127, 0, 8, 8};
  for (const HandsChord* chord : hands) {
    for (const Voicing* hand : {&chord->left, &chord->right}) {
      for (const Pitch& note : *hand) {
        scale.low = std::min(scale.low, note.midi());
        scale.high = std::max(scale.high, note.midi());
      }
    }
  }
  if (scale.low > scale.high) return {};
  while (is_black_key(scale.low) || (whole && scale.low % 12 != 0 && scale.low % 12 != 5)) --scale.low;
  while (is_black_key(scale.high) || (whole && scale.high % 12 != 4 && scale.high % 12 != 11)) ++scale.high;
  return scale;
}

double KeyboardScale::below() const {
  return low <= middle_c && middle_c <= high ? triangle_bottom(key) + letter_height * figure + 1.5 : figure + 3;
}

int KeyboardScale::white_keys() const { return white_number(high) - white_number(low) + 1; }

void add_keyboard(std::vector<Mark>& marks, double x, double y, const KeyboardScale& scale, const HandsChord& chord) {
  KeyboardPicture(marks, x, y, scale).draw(chord);
}

void add_key_names(std::vector<Mark>& marks, double x, double y, const KeyboardScale& scale, const Voicing& notes) {
  const KeyboardPicture picture(marks, x, y, scale);
  double end = x - 10;
  for (const Pitch& note : notes) {
    const std::string name = with_signs(to_string(note.name()));
    const double width = text_width(name, scale.figure, Face::figures);
    const double at = std::max(picture.centre(note.midi()) - width / 2, end + 1.5);
    const double drop = triangle_bottom(scale.key) + 1 + letter_height * scale.figure;
    marks.push_back(text_at(at, y + scale.height() + drop, name,
                            {scale.figure, Face::figures, Ink::text, TextRole::note, MarkKind::finger}));
    end = at + width;
  }
}

double add_hands_legend(std::vector<Mark>& marks, double x, double baseline, double size, const PaperWords& words) {
  const double half = 0.38 * size;
  const double start = x;
  const double middle = baseline - 0.33 * size;
  const auto say = [&](const char* text) {
    marks.push_back(text_at(x, baseline, text, {size, Face::italic}));
    x += std::get<TextMark>(marks.back().shape).advance + 1.3 * size;
  };
  marks.push_back({BoxMark{{x, middle - half, 2 * half, 2 * half}, Ink::paper, Ink::text, 1.1}, MarkKind::key_mark, 0});
  x += 2 * half + 0.4 * size;
  say(words.left_hand);
  marks.push_back({RoundMark{x + half, middle, half, half, true, Ink::accent, 1}, MarkKind::key_mark, 0});
  x += 2 * half + 0.4 * size;
  say(words.right_hand);
  ShapeMark triangle;
  triangle.points = {{x + half, middle - half}, {x, middle + half}, {x + 2 * half, middle + half}};
  marks.push_back({std::move(triangle), MarkKind::key_mark, 0});
  x += 2 * half + 0.4 * size;
  say(words.middle_c);
  say(words.fingers);
  return x - start;
}

}  // namespace romanesca
