#include "cli/formats/paper/keyboard_marks.h"

#include <algorithm>
#include <array>
#include <string>

#include "cli/formats/paper/text_layout.h"

namespace romanesca {
namespace {

constexpr double widest_key = 14;
constexpr double key_shape = 4.4;      // height of a white key to its width
constexpr double black_width = 0.62;   // of a white key's
constexpr double black_height = 0.62;  // of a white key's

/// White keys below this one, from the lowest of the MIDI range.
int white_number(int midi) {
  constexpr std::array<int, 12> within{0, 1, 1, 2, 2, 3, 4, 4, 5, 5, 6, 6};
  return midi / 12 * 7 + within[static_cast<std::size_t>(midi % 12)];
}

class KeyboardPicture {
 public:
  KeyboardPicture(std::vector<Mark>& marks, const Box& area, const HandsChord& chord) : marks_(marks) {
    int low = 127;
    int high = 0;
    for (const Voicing* hand : {&chord.left, &chord.right}) {
      for (const Pitch& note : *hand) {
        low = std::min(low, note.midi());
        high = std::max(high, note.midi());
      }
    }
    // From a C or F, so that the groups of black keys can be recognised; to an E or B.
    while (low % 12 != 0 && low % 12 != 5) --low;
    while (high % 12 != 4 && high % 12 != 11) ++high;
    low_ = low;
    high_ = high;
    const int whites = white_number(high_) - white_number(low_) + 1;
    key_ = std::min({widest_key, area.width / whites, area.height / key_shape});
    box_ = {area.x, area.y, key_ * whites, key_ * key_shape};
  }

  Box draw(const HandsChord& chord) {
    for (const bool black : {false, true}) {
      for (int midi = low_; midi <= high_; ++midi) {
        if (is_black_key(midi) == black) draw_key(midi, black);
      }
    }
    draw_hand(chord.left, chord.left_fingers, false);
    draw_hand(chord.right, chord.right_fingers, true);
    return box_;
  }

 private:
  /// Left edge of a white key; a black key stands across the edge of the next.
  [[nodiscard]] double edge(int midi) const { return box_.x + key_ * (white_number(midi) - white_number(low_)); }

  [[nodiscard]] double centre(int midi) const { return is_black_key(midi) ? edge(midi) : edge(midi) + key_ / 2; }

  void draw_key(int midi, bool black) {
    if (black) {
      marks_.push_back(
          BoxMark{{centre(midi) - key_ * black_width / 2, box_.y, key_ * black_width, box_.height * black_height},
                  Ink::quiet,
                  Ink::text,
                  0.6});
    } else {
      marks_.push_back(BoxMark{{edge(midi), box_.y, key_, box_.height}, Ink::paper, Ink::text, 0.6});
    }
  }

  void draw_hand(const Voicing& notes, const Fingers& fingers, bool right) {
    const double half = 0.43 * key_;
    for (std::size_t i = 0; i < notes.size(); ++i) {
      const double x = centre(notes[i].midi());
      const double y = box_.y + box_.height * (is_black_key(notes[i].midi()) ? 0.45 : 0.84);
      if (right) {
        marks_.push_back(RoundMark{x, y, half, half, true, Ink::accent, 1});
      } else {
        marks_.push_back(BoxMark{{x - half, y - half, 2 * half, 2 * half}, Ink::light, Ink::text, 1.1});
      }
      if (i >= fingers.size()) continue;
      const double size = 1.35 * half;
      marks_.push_back(text_centred(x, y + 0.36 * size, std::to_string(fingers[i]), size, Weight::bold,
                                    right ? Ink::paper : Ink::text, TextRole::finger));
    }
  }

  std::vector<Mark>& marks_;
  int low_ = 60, high_ = 71;
  double key_ = widest_key;
  Box box_;
};

}  // namespace

Box add_keyboard(std::vector<Mark>& marks, const Box& area, const HandsChord& chord) {
  return KeyboardPicture(marks, area, chord).draw(chord);
}

double add_hands_legend(std::vector<Mark>& marks, double x, double baseline, double size) {
  const double half = 0.38 * size;
  const double start = x;
  const auto say = [&](const std::string& words) {
    marks.push_back(text_at(x, baseline, words, size, Weight::regular, Ink::quiet, TextRole::note));
    x += std::get<TextMark>(marks.back()).box.width + size;
  };
  marks.push_back(BoxMark{{x, baseline - 0.36 * size - half, 2 * half, 2 * half}, Ink::light, Ink::text, 1.1});
  x += 2 * half + 0.4 * size;
  say("left hand");
  marks.push_back(RoundMark{x + half, baseline - 0.36 * size, half, half, true, Ink::accent, 1});
  x += 2 * half + 0.4 * size;
  say("right hand; figures are fingers, 1 is the thumb");
  return x - start;
}

}  // namespace romanesca
