#include "cli/formats/paper/sung_words.h"

#include <algorithm>

#include "cli/formats/engraving/glyph.h"
#include "cli/formats/paper/text_layout.h"

namespace romanesca {
namespace {

// In ems of the words, tried on paper.
constexpr double word_gap = 0.33, hyphen_gap = 0.62;
constexpr double hyphen_length = 0.26, hyphen_height = 0.24, hyphen_line = 0.07;
/// Hyphens repeat in a long gap, about so far apart.
constexpr double hyphen_distance = 6.0;
constexpr double number_gap = 0.45;  // after the number of a verse
constexpr double extender_gap = 0.2, least_extender = 0.6, extender_line = 0.055;

double head_width(double space) { return shape_of(Glyph::black_head).width() * space; }

/// From the left edge of the note's head to the left end of the syllable.
double shift_of(const SungSyllable& syllable, double width, double space) {
  const bool held = syllable.goes_on && syllable.end == SyllableEnd::held;
  return held ? 0 : (head_width(space) - width) / 2;
}

double width_of(const SungSyllable& syllable, double size) { return text_width(syllable.text, size, Face::roman); }

/// A syllable that has its place.
struct PlacedSyllable {
  const SungSyllable* syllable = nullptr;
  double left = 0, right = 0;
  double held_to = 0;  ///< the right edge of the last note that it is sung on, in this line
};

class WordSetter {
 public:
  WordSetter(std::vector<Mark>& marks, double baseline, double size)
      : marks_(marks), baseline_(baseline), size_(size) {}

  void put(const std::vector<PlacedSyllable>& placed, double line_end) {
    for (std::size_t i = 0; i < placed.size(); ++i) {
      const PlacedSyllable& here = placed[i];
      marks_.push_back(text_at(here.left, baseline_, here.syllable->text,
                               {size_, Face::roman, Ink::text, TextRole::note, MarkKind::words}));
      const bool last = i + 1 == placed.size();
      const double end = last ? line_end : placed[i + 1].left;
      if (here.syllable->end == SyllableEnd::hyphen) put_hyphens(here.right, end, last);
      if (here.syllable->end == SyllableEnd::held && here.syllable->goes_on) {
        put_extender(here.right, std::min(here.held_to, last ? line_end : end - extender_gap * size_));
      }
    }
  }

  void put_extender(double from, double to) {
    const double start = from + extender_gap * size_;
    if (to - start < least_extender * size_) return;
    marks_.push_back({LineMark{start, baseline_, to, baseline_, extender_line * size_, Ink::text}, MarkKind::words, 0});
  }

 private:
  void put_hyphen(double middle) {
    const double y = baseline_ - hyphen_height * size_, half = hyphen_length * size_ / 2;
    marks_.push_back(
        {LineMark{middle - half, y, middle + half, y, hyphen_line * size_, Ink::text}, MarkKind::words, 0});
  }

  void put_hyphens(double from, double to, bool line_ends) {
    const double room = to - from;
    if (line_ends) {
      if (room > hyphen_length * size_ * 2) put_hyphen(from + std::min(room / 2, size_ * 0.6));
      return;
    }
    const auto count = std::max(1, static_cast<int>(room / (hyphen_distance * size_)));
    for (int i = 0; i < count; ++i) put_hyphen(from + room * (i + 0.5) / count);
  }

  std::vector<Mark>& marks_;
  double baseline_, size_;
};

/// The syllables of a verse in a line, with their places.
std::vector<PlacedSyllable> placed_syllables(const SystemEngraver& engraver, const std::vector<TuneBar>& bars,
                                             std::size_t verse, double x, double size, double space) {
  std::vector<PlacedSyllable> placed;
  std::size_t event = 0;
  for (const TuneBar& bar : bars) {
    const std::vector<SungSyllable> none;
    const std::vector<SungSyllable>& sung = verse < bar.verses.size() ? bar.verses[verse] : none;
    std::size_t next = 0;
    for (std::size_t i = 0; i < bar.events.size(); ++i, ++event) {
      const double head = x + engraver.event_x(0, event);
      const double right = head + engraver.event_width(0, event);
      if (next < sung.size() && sung[next].event == i) {
        const SungSyllable& syllable = sung[next++];
        const double width = width_of(syllable, size);
        const double left = head + shift_of(syllable, width, space);
        placed.push_back({&syllable, left, left + width, right});
      } else if (!bar.events[i].notes.empty() && !placed.empty()) {
        placed.back().held_to = right;
      }
    }
  }
  return placed;
}

}  // namespace

std::vector<std::vector<StaffLabel>> syllable_labels(const TuneBar& bar, double size, double space) {
  std::vector<std::vector<StaffLabel>> labels;
  for (const std::vector<SungSyllable>& verse : bar.verses) {
    labels.emplace_back();
    for (const SungSyllable& syllable : verse) {
      const double width = width_of(syllable, size);
      const double shift = shift_of(syllable, width, space);
      const double gap = (syllable.end == SyllableEnd::hyphen ? hyphen_gap : word_gap) * size;
      labels.back().push_back({bar.events[syllable.event].start, shift + width + gap, -shift});
    }
  }
  return labels;
}

std::size_t verses_in(const std::vector<TuneBar>& bars) {
  std::size_t verses = 0;
  for (const TuneBar& bar : bars) {
    for (std::size_t verse = verses; verse < bar.verses.size(); ++verse) {
      if (!bar.verses[verse].empty()) verses = verse + 1;
    }
  }
  return verses;
}

double verse_distance(double size) { return 1.25 * size; }

void put_sung_words(std::vector<Mark>& marks, const SystemEngraver& engraver, const std::vector<TuneBar>& bars,
                    double x, double baseline, double size, double space) {
  const std::size_t verses = verses_in(bars);
  std::vector<std::vector<PlacedSyllable>> lines;
  double first = x + engraver.width();  // where the words begin, or the notes
  for (std::size_t verse = 0; verse < verses; ++verse) {
    lines.push_back(placed_syllables(engraver, bars, verse, x, size, space));
    if (!lines.back().empty()) first = std::min(first, lines.back().front().left);
  }
  if (verses > 1) first = std::min(first, x + engraver.event_x(0, 0));
  for (std::size_t verse = 0; verse < verses; ++verse) {
    const double y = baseline + static_cast<double>(verse) * verse_distance(size);
    WordSetter(marks, y, size).put(lines[verse], x + engraver.width());
    if (verses == 1 || lines[verse].empty()) continue;
    const TextStyle style{size, Face::roman, Ink::text, TextRole::note, MarkKind::words};
    marks.push_back(text_ending(first - number_gap * size, y, std::to_string(verse + 1) + ".", style));
  }
}

}  // namespace romanesca
