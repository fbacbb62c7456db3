#include "theory/voicing/hand_tones.h"

#include <algorithm>
#include <initializer_list>

namespace romanesca {
namespace {

using namespace intervals;

constexpr std::size_t most_in_hand = 4;

bool is_tone(Interval a, Interval b) { return a.fifths() == b.fifths(); }

/// Places on the line of fifths above the root.
constexpr int flat_ninth = -5;
constexpr int ninth = 2;
constexpr int sharp_ninth = 9;
constexpr int eleventh = -1;
constexpr int sharp_eleventh = 6;
constexpr int flat_thirteenth = -4;
constexpr int thirteenth = 3;

bool has_place(const Chord& chord, int fifths) { return chord.type.has(Interval::simple(fifths)); }

bool eleventh_replaces_third(const Chord& chord) {
  return chord.type.has(perfect_fourth) && chord.type.has(major_third) && chord.type.has_seventh();
}

std::optional<Interval> first_of(const Chord& chord, std::initializer_list<Interval> tones) {
  for (const Interval tone : tones) {
    if (chord.type.has(tone)) return tone;
  }
  return std::nullopt;
}

/// How soon a tone is given up: the higher the sooner.
int omission_rank(const Chord& chord, Interval tone, bool keeps_root) {
  const int place = tone.fifths();
  const auto third = third_of(chord);
  const auto seventh = seventh_of(chord);
  if (third && is_tone(tone, *third)) return 0;
  if (seventh && is_tone(tone, *seventh)) return 1;
  if (place == 0) return !keeps_root && chord.type.size() > static_cast<int>(most_in_hand) ? 8 : 4;
  if (is_tone(tone, perfect_fifth)) {
    const bool rubs = has_place(chord, sharp_eleventh) || has_place(chord, flat_thirteenth);
    return rubs ? 9 : 7;
  }
  const bool has_thirteenth = has_place(chord, thirteenth) || has_place(chord, flat_thirteenth);
  const bool has_eleventh = has_place(chord, eleventh) || has_place(chord, sharp_eleventh);
  if (place == ninth) return has_thirteenth || has_eleventh ? 6 : 3;
  if (place == eleventh) return has_thirteenth ? 6 : 3;
  if (place == thirteenth) return 3;
  if (place == flat_ninth && has_place(chord, sharp_ninth)) return 6;
  return 2;
}

std::vector<Interval> tones_without_third_under_eleventh(const Chord& chord) {
  const auto all = chord.type.tones();
  std::vector<Interval> tones;
  tones.assign(all.begin(), all.end());
  if (eleventh_replaces_third(chord)) {
    tones.erase(std::remove_if(tones.begin(), tones.end(), [](Interval tone) { return is_tone(tone, major_third); }),
                tones.end());
  }
  return tones;
}

std::vector<PitchClass> named(const Chord& chord, const std::vector<Interval>& tones) {
  std::vector<PitchClass> names;
  names.reserve(tones.size());
  for (const Interval tone : tones) names.push_back(chord.root + tone);
  return names;
}

/// Leaves out what is missed least, until there are so many.
void omit(std::vector<Interval>& tones, const Chord& chord, bool keeps_root) {
  for (const Interval tone : order_of_omission(chord, keeps_root)) {
    if (tones.size() <= most_in_hand) return;
    tones.erase(std::remove_if(tones.begin(), tones.end(), [&](Interval each) { return is_tone(each, tone); }),
                tones.end());
  }
}

/// The ninth that a rootless shape adds to a chord without one.
std::optional<Interval> ninth_in_key(const Chord& chord, const Key& key) {
  const auto in_key = [&](PitchClass note) { return ((key.sounding_tones() >> note.semitone()) & 1U) != 0; };
  // Diminished chords keep their root, and a suspended second is the ninth already.
  if (chord.type.is_diminished() || third_of(chord) == major_second) return std::nullopt;
  if (in_key(chord.root + major_second)) return major_second;
  if (chord.type.is_dominant() && in_key(chord.root + minor_second)) return minor_second;
  return std::nullopt;
}

}  // namespace

std::string_view to_string(VoicingKind kind) {
  constexpr std::array<std::string_view, 7> names{"close",    "root",     "open",     "shell",
                                                  "rootless", "two-hand", "four-part"};
  return names[static_cast<std::size_t>(kind)];
}

std::optional<Interval> third_of(const Chord& chord) {
  if (eleventh_replaces_third(chord)) return perfect_fourth;
  return first_of(chord, {major_third, minor_third, perfect_fourth, major_second});
}

std::optional<Interval> seventh_of(const Chord& chord) {
  return first_of(chord, {major_seventh, minor_seventh, diminished_seventh, major_sixth});
}

std::vector<Interval> order_of_omission(const Chord& chord, bool keeps_root) {
  std::vector<Interval> order = tones_without_third_under_eleventh(chord);
  std::stable_sort(order.begin(), order.end(), [&](Interval a, Interval b) {
    return omission_rank(chord, a, keeps_root) > omission_rank(chord, b, keeps_root);
  });
  return order;
}

std::vector<PitchClass> right_hand_tones(const Chord& chord, VoicingKind kind) {
  std::vector<Interval> tones = tones_without_third_under_eleventh(chord);
  const auto third = third_of(chord);
  const auto seventh = seventh_of(chord);
  if (kind == VoicingKind::shell && third && tones.size() > 2) {
    const auto fifth = first_of(chord, {perfect_fifth, diminished_fifth, augmented_fifth});
    const std::array<Interval, 2> shell{*third, seventh ? *seventh : fifth.value_or(unison)};
    return named(chord, {shell.begin(), shell.end()});
  }
  if (kind == VoicingKind::rootless && tones.size() > 1) tones.erase(tones.begin());
  const bool over_root = chord.bass.sounds_like(chord.root);
  if (kind == VoicingKind::close && !over_root && tones.size() > most_in_hand) {
    // The bass has it already.
    tones.erase(std::remove_if(tones.begin(), tones.end(),
                               [&](Interval tone) { return (chord.root + tone).sounds_like(chord.bass); }),
                tones.end());
  }
  omit(tones, chord, kind == VoicingKind::root_position || !over_root);
  return named(chord, tones);
}

std::vector<PitchClass> rootless_tones(const Chord& chord, const Key& key) {
  std::vector<Interval> tones = tones_without_third_under_eleventh(chord);
  if (!seventh_of(chord) || !third_of(chord)) {
    omit(tones, chord, true);
    return named(chord, tones);
  }
  const bool has_ninth = has_place(chord, flat_ninth) || has_place(chord, sharp_ninth) ||
                         (has_place(chord, ninth) && third_of(chord) != major_second);
  if (has_ninth) {
    tones.erase(tones.begin());
  } else if (const auto added = ninth_in_key(chord, key)) {
    tones.front() = *added;  // in the place of the root
    std::rotate(tones.begin(), tones.begin() + 1, tones.end());
  }
  omit(tones, chord, false);
  return named(chord, tones);
}

std::string degree_name(const Chord& chord, PitchClass note) {
  for (const Interval tone : chord.type.tones()) {
    if (!(chord.root + tone).sounds_like(note)) continue;
    const int number = tone.number();
    // Sharps and flats beyond the major scale's own ninth, eleventh and thirteenth, and the perfect fifth.
    const bool plain = number == 1 || number == 3 || number == 6 || number == 7 || number == 2 || number == 4;
    if (plain) return std::to_string(number);
    const std::string_view sign = tone.fifths() > 5 ? "#" : tone.fifths() < -1 ? "b" : "";
    return std::string(sign) + std::to_string(number);
  }
  const Interval above = note - chord.root;
  if (above == major_second) return "9";
  if (above == minor_second) return "b9";
  return std::to_string(above.number());
}

}  // namespace romanesca
