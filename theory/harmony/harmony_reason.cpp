#include "theory/harmony/harmony_reason.h"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <optional>
#include <vector>

namespace romanesca {
namespace {

/// "C", "C and F", "C, F and G".
std::string listed(const std::vector<std::string>& words) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i) {
    text += (i == 0 ? "" : i + 1 == words.size() ? " and " : ", ") + words[i];
  }
  return text;
}

std::string bars_text(const std::vector<int>& bars) {
  std::vector<std::string> words;
  for (const int bar : bars) {
    if (words.empty() || words.back() != std::to_string(bar)) words.push_back(std::to_string(bar));
  }
  constexpr std::size_t most = 4;
  if (words.size() > most) {
    const std::string last = words.back();
    words.resize(most - 1);
    return fmt::format("bars {} to {}, {} times in all", listed({words.front()}), last, bars.size());
  }
  return fmt::format("{} {}", words.size() == 1 ? "bar" : "bars", listed(words));
}

std::vector<std::string> distinct_chords(const Analysis& analysis) {
  std::vector<std::string> names;
  for (const AnalysedChord& chord : analysis.chords) {
    if (!chord.timed.chord) continue;
    std::string name = to_string(*chord.timed.chord);
    if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(std::move(name));
  }
  return names;
}

/// The chord's triad, without what its sevenths add.
unsigned triad_tones(const Chord& chord) { return Chord::on(chord.root, chord.type.triad()).sounding_tones(); }

/// The first chord that stands for another one of the usual choice and shares two notes with it.
std::string stands_for(const Analysis& analysis, const Analysis& usual) {
  std::size_t there = 0;
  for (const AnalysedChord& each : analysis.chords) {
    while (there + 1 < usual.chords.size() && usual.chords[there + 1].timed.start <= each.timed.start) ++there;
    const std::optional<Chord>& other = usual.chords[there].timed.chord;
    if (!each.timed.chord || !other || other->root.sounds_like(each.timed.chord->root)) continue;
    const Chord& chord = *each.timed.chord;
    const unsigned shared = triad_tones(chord) & triad_tones(*other);
    if (std::popcount(shared) != 2) continue;
    std::vector<std::string> names;
    for (const PitchClass tone : chord.tones()) {
      if ((shared >> static_cast<unsigned>(tone.semitone()) & 1U) != 0) names.push_back(to_string(tone));
    }
    return fmt::format("In bar {} {} stands where {} is expected: both have {}.", each.timed.bar, to_string(chord),
                       to_string(*other), listed(names));
  }
  return {};
}

/// What a chord from outside the key does, where its reading says it.
std::string foreign_chord(const AnalysedChord& each, const std::optional<Chord>& next) {
  const std::string name = to_string(*each.timed.chord);
  switch (each.reading->origin) {
    case Origin::applied:
      if (!next) return {};
      return fmt::format("{} in bar {} is the dominant of {}, which follows.", name, each.timed.bar, to_string(*next));
    case Origin::substitute:
      if (!next) return {};
      return fmt::format("{} in bar {} takes the place of the dominant and falls a semitone to {}.", name,
                         each.timed.bar, to_string(*next));
    case Origin::borrowed: {
      const auto mode = borrowed_from(*each.timed.chord, each.key);
      if (!mode) return {};
      return fmt::format("{} in bar {} is borrowed from {} {}.", name, each.timed.bar, to_string(each.key.tonic),
                         to_string(*mode));
    }
    default:
      return {};
  }
}

std::string first_foreign(const Analysis& analysis) {
  for (std::size_t i = 0; i < analysis.chords.size(); ++i) {
    const AnalysedChord& each = analysis.chords[i];
    if (!each.timed.chord || !each.reading || each.reading->origin == Origin::diatonic) continue;
    std::string text = foreign_chord(each, analysis.around(i).next);
    if (!text.empty()) return text;
  }
  return {};
}

/// "There is a perfect cadence in bars 4 and 8, an imperfect cadence in bar 6."
std::string cadences(const Analysis& analysis, CadenceTerms terms) {
  std::vector<std::string> parts;
  for (const CadenceKind kind :
       {CadenceKind::authentic, CadenceKind::plagal, CadenceKind::half, CadenceKind::deceptive}) {
    std::vector<int> bars;
    for (const Cadence& cadence : analysis.cadences) {
      // A phrase of four bars that ends on the dominant ends there, though the next one begins with the tonic.
      const bool begins_phrase = cadence.kind == CadenceKind::authentic && cadence.bar % 4 == 1 && cadence.bar > 1;
      if ((begins_phrase ? CadenceKind::half : cadence.kind) == kind)
        bars.push_back(cadence.bar - (begins_phrase ? 1 : 0));
    }
    if (!bars.empty()) parts.push_back(fmt::format("{} in {}", cadence_term(kind, terms), bars_text(bars)));
  }
  if (parts.empty()) return {};
  return fmt::format("Its phrases end with {}.", listed(parts));
}

bool all_diatonic(const Analysis& analysis) {
  return std::all_of(analysis.chords.begin(), analysis.chords.end(), [](const AnalysedChord& each) {
    return !each.reading || each.reading->origin == Origin::diatonic;
  });
}

std::string opening(const HarmonyChoice& choice, const std::vector<std::string>& chords, const Analysis* usual) {
  const std::string names = listed(chords);
  switch (choice.kind) {
    case HarmonyKind::plain:
      return fmt::format("{} alone.", names);
    case HarmonyKind::of_key:
      if (!all_diatonic(choice.analysis)) return names + ".";
      return fmt::format("{}: chords of {}.", names, to_string(choice.key()));
    case HarmonyKind::surprise:
    case HarmonyKind::other_way:
      return fmt::format("{}.", names);
    case HarmonyKind::other_key:
      return fmt::format("The tune can be heard in {} too: {}.", to_string(choice.key()), names);
    case HarmonyKind::own:
      return fmt::format("{}, each where it fits{}.", names, usual == nullptr ? " best" : "");
    case HarmonyKind::own_slow:
      return fmt::format("{}, a chord a bar.", names);
    case HarmonyKind::own_round:
      return fmt::format("{} round and round, a bar each.", names);
  }
  return {};
}

void append(std::string& text, const std::string& sentence) {
  if (!sentence.empty()) text += (text.empty() ? "" : " ") + sentence;
}

}  // namespace

std::string harmony_reason(const HarmonyChoice& choice, const Tune& tune, const Analysis* usual, CadenceTerms terms) {
  std::string text = opening(choice, distinct_chords(choice.analysis), usual);
  std::string news = first_foreign(choice.analysis);
  const bool dresses = choice.kind == HarmonyKind::of_key || choice.kind == HarmonyKind::surprise ||
                       choice.kind == HarmonyKind::other_way;
  if (news.empty() && usual != nullptr && dresses) {
    news = stands_for(choice.analysis, *usual);
  }
  append(text, news);
  append(text, cadences(choice.analysis, terms));
  const ToneCount count = count_chord_tones(tune, choice.analysis.timeline);
  if (count.long_notes > 0) {
    append(text, fmt::format("{} of {} long notes {} in {} chord.", count.chord_tones, count.long_notes,
                             count.chord_tones == 1 ? "is" : "are", count.chord_tones == 1 ? "its" : "their"));
  }
  return text;
}

}  // namespace romanesca
