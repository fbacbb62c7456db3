#include "progressions/ideas/song_phrases.h"

#include <algorithm>
#include <array>

#include "theory/chords/chord_naming.h"

namespace romanesca {
namespace {

constexpr int phrase_bars = 4;

struct StyleIdiom {
  std::string_view style;
  Idiom idiom;
};
/// What the built-in styles are played in (common practice, no source). A waltz, a tango and the like say nothing.
constexpr std::array<StyleIdiom, 17> style_idioms{{{"bossa-nova", Idiom::jazz},
                                                   {"brush-ballad", Idiom::jazz},
                                                   {"dance", Idiom::pop},
                                                   {"five-four", Idiom::jazz},
                                                   {"folk-strum", Idiom::folk},
                                                   {"funk", Idiom::pop},
                                                   {"jazz-swing", Idiom::jazz},
                                                   {"jazz-waltz", Idiom::jazz},
                                                   {"jig", Idiom::folk},
                                                   {"pop", Idiom::pop},
                                                   {"pushed-pop", Idiom::pop},
                                                   {"reggae", Idiom::pop},
                                                   {"rock", Idiom::pop},
                                                   {"shuffle", Idiom::blues},
                                                   {"six-eight-ballad", Idiom::pop},
                                                   {"slow-blues", Idiom::blues},
                                                   {"two-beat", Idiom::jazz}}};

// Shares of the time with a chord from which on the chords make an idiom; our own choice.
constexpr double blues_share = 0.4;  // dominant sevenths on I and IV
constexpr double jazz_share = 0.5;   // sevenths of any kind, beside a ii-V
constexpr double jazz_share_alone = 0.9;

bool can_be_written(const PhraseBar& bar, const Meter& meter) {
  const bool even =
      std::all_of(bar.begin(), bar.end(), [&](const BarChord& each) { return each.length == bar.front().length; });
  return even || std::all_of(bar.begin(), bar.end(), [&](const BarChord& each) {
           return each.length == meter.beat_length() * whole_times(each.length, meter.beat_length());
         });
}

/// The chords of the bars from @p first on, @p count of them; nothing where a bar has none or the key changes.
std::optional<std::vector<PhraseBar>> bars_from(const Analysis& analysis, std::size_t first, int count) {
  const int bar = analysis.chords[first].timed.bar;
  std::vector<PhraseBar> bars(static_cast<std::size_t>(count));
  for (std::size_t i = first; i < analysis.chords.size(); ++i) {
    const AnalysedChord& each = analysis.chords[i];
    if (each.timed.bar >= bar + count) break;
    if (!each.timed.chord || each.key != analysis.chords[first].key) return std::nullopt;
    PhraseBar& here = bars[static_cast<std::size_t>(each.timed.bar - bar)];
    const Chord chord = respelled(*each.timed.chord, each.key);
    if (!here.empty() && here.back().chord == chord) {
      here.back().length += each.timed.length;
    } else {
      here.push_back({chord, each.timed.length});
    }
  }
  for (const PhraseBar& each : bars) {
    if (each.empty() || !can_be_written(each, analysis.timeline.meter())) return std::nullopt;
  }
  return bars;
}

/// The index of the first chord of each section, and the number of chords at the end.
std::vector<std::size_t> section_starts(const Analysis& analysis) {
  std::vector<std::size_t> starts;
  const auto& chords = analysis.chords;
  for (std::size_t i = 0; i < chords.size(); ++i) {
    if (i == 0 || chords[i].timed.section != chords[i - 1].timed.section) starts.push_back(i);
  }
  starts.push_back(chords.size());
  return starts;
}

}  // namespace

Idiom idiom_of(const Analysis& analysis, std::string_view style) {
  double time = 0;
  double blue = 0;
  double sevenths = 0;
  bool two_five = false;
  const Chord* before = nullptr;
  for (const AnalysedChord& each : analysis.chords) {
    if (!each.timed.chord) continue;
    const Chord& chord = *each.timed.chord;
    const double length = each.timed.length.quarters();
    const int above = semitones_up(each.key.tonic, chord.root);
    time += length;
    if (chord.type.is_dominant() && (above == 0 || above == 5)) blue += length;
    if (chord.type.has_seventh() || chord.type.has(intervals::major_sixth)) sevenths += length;
    two_five = two_five || (before != nullptr && before->type.is_minor() && before->type.has_seventh() &&
                            chord.type.is_dominant() && semitones_up(before->root, chord.root) == 5);
    before = &chord;
  }
  if (time > 0 && blue >= blues_share * time) return Idiom::blues;
  const StyleIdiom* const end = style_idioms.data() + style_idioms.size();
  const StyleIdiom* const known =
      std::find_if(style_idioms.data(), end, [&](const StyleIdiom& each) { return each.style == style; });
  // A shuffle without a blues in its chords is rock.
  if (known != end && known->idiom != Idiom::blues) return known->idiom;
  if (time > 0 && sevenths >= (two_five ? jazz_share : jazz_share_alone) * time) return Idiom::jazz;
  const bool of_the_key = std::all_of(analysis.chords.begin(), analysis.chords.end(), [](const AnalysedChord& each) {
    return !each.timed.chord || (each.timed.chord->type.size() <= 3 && each.reading->origin == Origin::diatonic);
  });
  return of_the_key && known == end && style.empty() && analysis.timeline.meter().upper % 3 == 0 ? Idiom::folk
                                                                                                 : Idiom::pop;
}

std::optional<Chord> SongPhrase::whole_bar(std::size_t index) const {
  return bars[index].size() == 1 ? bars[index].front().chord : std::nullopt;
}

std::optional<Chord> SongPhrase::after_bar(std::size_t index) const {
  return index + 1 < bars.size() ? bars[index + 1].front().chord : next;
}

bool SongPhrase::has_root(PitchClass root) const {
  return std::any_of(bars.begin(), bars.end(), [&](const PhraseBar& chords) {
    return std::any_of(chords.begin(), chords.end(), [&](const BarChord& each) { return each.chord->root == root; });
  });
}

std::vector<SongPhrase> phrases_of(const Analysis& analysis, std::size_t most) {
  std::vector<SongPhrase> phrases;
  const auto& chords = analysis.chords;
  const std::vector<std::size_t> starts = section_starts(analysis);
  for (std::size_t s = 0; s + 1 < starts.size(); ++s) {
    const int section_first = chords[starts[s]].timed.bar;
    const int section_end = chords[starts[s + 1] - 1].timed.bar + 1;
    for (std::size_t i = starts[s]; i < starts[s + 1] && phrases.size() < most;) {
      const int bar = chords[i].timed.bar;
      const int count = std::min(phrase_bars, section_end - bar);
      auto bars = bars_from(analysis, i, count);
      std::size_t after = i;
      while (after < starts[s + 1] && chords[after].timed.bar < bar + count) ++after;
      const bool known = std::any_of(phrases.begin(), phrases.end(), [&](const SongPhrase& each) {
        return bars && each.bars == *bars && each.key == chords[i].key;
      });
      if (bars && !known && count >= 2) {
        SongPhrase phrase{bar, bar - section_first,    section_end - section_first, chords[i].key, std::move(*bars), {},
                          {},  after == starts[s + 1], after == chords.size()};
        if (after < chords.size() && chords[after].timed.chord)
          phrase.next = respelled(*chords[after].timed.chord, chords[i].key);
        if (chords.front().timed.chord) phrase.first = respelled(*chords.front().timed.chord, chords.front().key);
        phrases.push_back(std::move(phrase));
      }
      i = after;
    }
  }
  return phrases;
}

std::string bars_as_text(const std::vector<PhraseBar>& bars, const Meter& meter) {
  const auto name = [](const BarChord& each) { return " " + (each.chord ? to_string(*each.chord) : "N.C."); };
  std::string text = "|";
  for (const PhraseBar& bar : bars) {
    const bool even =
        std::all_of(bar.begin(), bar.end(), [&](const BarChord& each) { return each.length == bar.front().length; });
    for (const BarChord& each : bar) {
      text += name(each);
      if (even) continue;
      for (std::int64_t beat = whole_times(each.length, meter.beat_length()); beat > 1; --beat) text += " /";
    }
    text += " |";
  }
  return text;
}

}  // namespace romanesca
