#include "progressions/ideas.h"

#include <algorithm>
#include <cstdint>
#include <map>
#include <utility>

#include "progressions/ideas/idea_kinds.h"
#include "theory/analysis/harmonic_function.h"

namespace romanesca {
namespace {

constexpr std::size_t most_ideas = 3;
constexpr std::size_t most_about_form = 1;  // as long as there are others

std::uint64_t mixed_in(std::uint64_t hash, std::uint64_t value) {
  hash = (hash ^ value) * 0x9E3779B97F4A7C15U;
  return hash ^ hash >> 29U;
}

/// A number that another title or other chords change.
std::uint64_t number_of_song(const Analysis& analysis, std::string_view title) {
  std::uint64_t hash = 1;
  for (const char c : title) hash = mixed_in(hash, static_cast<unsigned char>(c));
  for (const AnalysedChord& each : analysis.chords) {
    const auto root = each.timed.chord ? each.timed.chord->root.semitone() + 1 : 0;
    const std::uint32_t type = each.timed.chord ? each.timed.chord->type.mask() : 0;
    hash = mixed_in(hash, static_cast<std::uint64_t>(root) << 32U | type);
    hash = mixed_in(hash, static_cast<std::uint64_t>(each.timed.bar));
  }
  return hash;
}

/// The chords of a draft in order with what sounds after them.
std::vector<Chord> chords_of(const IdeaDraft& draft) {
  std::vector<Chord> chords;
  for (const PhraseBar& bar : draft.bars) {
    for (const BarChord& each : bar) {
      if (each.chord) chords.push_back(*each.chord);
    }
  }
  return chords;
}

/// The chords around one of a list that follow each other without silence.
ChordNeighbours neighbours_in(const std::vector<Chord>& chords, std::size_t at) {
  ChordNeighbours around;
  const auto other = [&](std::size_t i) { return chords[i].root != chords[at].root; };
  for (std::size_t i = at; i-- > 0 && !around.before;) {
    if (other(i)) around.before = chords[i];
  }
  for (std::size_t i = at + 1; i < chords.size() && !around.after_next; ++i) {
    if (around.next ? chords[i].root != around.next->root : other(i))
      (around.next ? around.after_next : around.next) = chords[i];
  }
  if (at > 0 && !other(at - 1) && chords[at - 1] != chords[at]) around.same_root_before = chords[at - 1];
  if (at + 1 < chords.size() && !other(at + 1) && chords[at + 1] != chords[at]) around.same_root_after = chords[at + 1];
  return around;
}

bool level_can_play(const IdeaDraft& draft, const Level& level) {
  std::vector<Chord> chords = chords_of(draft);
  const std::size_t count = chords.size();
  if (draft.after) chords.push_back(*draft.after);
  for (std::size_t i = 0; i < count; ++i) {
    const Chord& chord = chords[i];
    const int inversion = chord.bass == chord.root ? 0 : chord.inversion().value_or(3);
    const Origin origin = read_chord(chord, draft.key, neighbours_in(chords, i)).origin;
    if (!level.allows(chord.type) || !level.allows(origin) || inversion > level.inversions) return false;
  }
  return std::all_of(draft.bars.begin(), draft.bars.end(), [&](const PhraseBar& bar) {
    const auto strokes =
        std::count_if(bar.begin(), bar.end(), [](const BarChord& each) { return each.chord.has_value(); });
    return strokes <= level.chords_per_bar;
  });
}

struct KindWithDrafts {
  bool about_form = false;
  std::vector<IdeaDraft> drafts;
};

/// All that is possible, by kind in the order of the tables.
std::vector<KindWithDrafts> possible_ideas(const Analysis& analysis, const Level& level, std::string_view style) {
  const Idiom idiom = idiom_of(analysis, style);
  const std::vector<SongPhrase> phrases = phrases_of(analysis);
  std::vector<KindWithDrafts> possible;
  for (const auto& kinds : {chord_idea_kinds(), leading_idea_kinds(), form_idea_kinds(), blues_idea_kinds()}) {
    for (const IdeaKind& kind : kinds) {
      if ((kind.idioms & idiom_bit(idiom)) == 0) continue;
      KindWithDrafts all{kind.about_form, {}};
      for (const SongPhrase& phrase : phrases) kind.find({phrase, level, analysis.timeline.meter, idiom}, all.drafts);
      std::erase_if(all.drafts, [&](const IdeaDraft& draft) { return !level_can_play(draft, level); });
      for (IdeaDraft& draft : all.drafts) draft.idea.kind = kind.name;
      if (!all.drafts.empty()) possible.push_back(std::move(all));
    }
  }
  return possible;
}

}  // namespace

std::vector<Idea> ideas_for(const Analysis& analysis, const Level& level, std::string_view title,
                            std::string_view style) {
  std::vector<KindWithDrafts> possible = possible_ideas(analysis, level, style);
  std::uint64_t number = number_of_song(analysis, title);
  std::vector<Idea> ideas;
  std::size_t about_form = 0;
  // Twice through the kinds in an order that the song decides: first with one idea about form, then without that limit.
  for (std::size_t k = possible.size(); k > 1; --k) {
    number = mixed_in(number, k);
    std::swap(possible[k - 1], possible[number % k]);
  }
  for (const bool any : {false, true}) {
    for (KindWithDrafts& kind : possible) {
      if (ideas.size() == most_ideas || kind.drafts.empty()) continue;
      if (!any && kind.about_form && about_form == most_about_form) continue;
      number = mixed_in(number, 1);
      IdeaDraft& draft = kind.drafts[number % kind.drafts.size()];
      const bool known =
          std::any_of(ideas.begin(), ideas.end(), [&](const Idea& other) { return other.kind == draft.idea.kind; });
      if (known) continue;
      if (kind.about_form) ++about_form;
      draft.idea.chords = chords_of(draft);
      draft.idea.progression = bars_as_text(draft.bars, analysis.timeline.meter);
      ideas.push_back(std::move(draft.idea));
      kind.drafts.clear();
    }
  }
  std::stable_sort(ideas.begin(), ideas.end(), [](const Idea& a, const Idea& b) {
    return std::pair(a.bar == 0, a.bar) < std::pair(b.bar == 0, b.bar);
  });
  return ideas;
}

}  // namespace romanesca
