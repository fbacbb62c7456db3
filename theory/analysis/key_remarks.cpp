#include "theory/analysis/key_remarks.h"

#include <fmt/format.h>

#include <algorithm>

#include "theory/chords/numeral_text.h"

namespace romanesca {
namespace {

/// What speaks for another key, by the sign of key_model that does so most.
std::string reason_for(const KeyGuess& other, const Key& main) {
  const std::string tonic = to_string(other.key.tonic);
  switch (other.strongest_sign) {
    case 1:
      return fmt::format("the music rests longest on {}", tonic);
    case 2:
      return fmt::format("the three main chords of {} are all there", tonic);
    case 3:
      return fmt::format("it begins on {}", tonic);
    case 5:
      return fmt::format("it ends on {}", tonic);
    case 6:
      return fmt::format("passages that come back begin on {}", tonic);
    case 7:
      return fmt::format("the strong bars fall on {}", tonic);
    case 8:
    case 10:
      return fmt::format("{} leads to {}", to_string(other.key.degree(5)), tonic);
    case 9:
      return fmt::format("{} with its seventh sounds like a chord that leads on", to_string(main.tonic));
    default:
      return "its scale holds the notes as well";
  }
}

}  // namespace

std::vector<Remark> remarks_on_keys(const Analysis& analysis) {
  std::vector<Remark> remarks;
  const KeyReading& keys = analysis.keys;
  if (!keys.alternatives.empty() && keys.alternatives.front().confidence > worth_telling) {
    const KeyGuess& other = keys.alternatives.front();
    remarks.push_back({"key", 0,
                       fmt::format("It can also be heard in {}, for {}. End on either tonic and listen which one feels "
                                   "like home.",
                                   to_string(other.key), reason_for(other, keys.main.key))});
  }
  const std::vector<Pivot> pivots = find_pivots(analysis);
  for (std::size_t bar = 1; bar < keys.by_bar.size(); ++bar) {
    if (keys.by_bar[bar] == keys.by_bar[bar - 1]) continue;
    remarks.push_back({"key", static_cast<int>(bar) + 1,
                       fmt::format("The music moves to {} about here.", to_string(keys.by_bar[bar]))});
    const auto pivot = std::find_if(pivots.begin(), pivots.end(), [&](const Pivot& each) {
      return analysis.chords[each.chord].timed.bar == static_cast<int>(bar);
    });
    if (pivot == pivots.end()) continue;
    remarks.push_back({"pivot", static_cast<int>(bar),
                       fmt::format("{} is the door between the keys: {} in {}, {} in {}.",
                                   to_string(*analysis.chords[pivot->chord].timed.chord), to_string(pivot->before),
                                   to_string(pivot->from), to_string(pivot->after), to_string(pivot->to))});
  }
  return remarks;
}

}  // namespace romanesca
