#include "cli/studio/practice_set.h"

#include <fmt/format.h>

#include "cli/studio/progression_source.h"

namespace romanesca {

std::string PracticeSet::suffix_of(const BackingTrack& track) const {
  std::string suffix = all_keys && track.key ? to_string(track.key->tonic) : "";
  if (tempos.size() > 1) suffix += fmt::format("{}{:g}", suffix.empty() ? "" : "-", track.tempo_bpm);
  return suffix;
}

Result<std::vector<BackingTrack>> arrange_set(const NamedProgression& source, const std::optional<KeyText>& key,
                                              const BandRequest& request, const PracticeSet& set,
                                              std::span<const Style> among) {
  const auto first = place(source, key);
  if (!first) return first.error();
  std::vector<BackingTrack> tracks;
  for (int turn = 0; turn < (set.all_keys ? 12 : 1); ++turn) {
    const Key key_now = key_of_round(first->key, turn);
    const auto placed = turn == 0 ? first : place(source, KeyText{key_now.tonic, key_now.mode});
    if (!placed) return placed.error();
    BandRequest now = request;
    for (const double tempo : set.tempos.empty() ? std::vector<double>{request.tempo_bpm} : set.tempos) {
      now.tempo_bpm = tempo;
      auto track = arrange_backing(*placed, now, among);
      if (!track) return track.error();
      tracks.push_back(std::move(*track));
    }
  }
  return tracks;
}

}  // namespace romanesca
