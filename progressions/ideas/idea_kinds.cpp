#include "progressions/ideas/idea_kinds.h"

#include <utility>

namespace romanesca {

std::vector<PhraseBar> with_bar(const SongPhrase& phrase, std::size_t bar,
                                const std::vector<std::optional<Chord>>& chords) {
  std::vector<PhraseBar> bars = phrase.bars;
  Beats length;
  for (const BarChord& each : bars[bar]) length += each.length;
  bars[bar].clear();
  for (const auto& chord : chords) bars[bar].push_back({chord, length / static_cast<std::int64_t>(chords.size())});
  return bars;
}

IdeaDraft draft_about(const SongPhrase& phrase, std::vector<PhraseBar> bars, std::string text) {
  IdeaDraft draft;
  draft.idea.bar = phrase.bar;
  draft.idea.bars = static_cast<int>(phrase.bars.size());
  draft.idea.text = std::move(text);
  draft.bars = std::move(bars);
  draft.after = phrase.next;
  draft.key = phrase.key;
  return draft;
}

}  // namespace romanesca
