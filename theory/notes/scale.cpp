#include "theory/notes/scale.h"

#include <algorithm>
#include <array>

namespace romanesca {
namespace {

using namespace intervals;

constexpr std::array major{unison,        major_second, major_third,  perfect_fourth,
                           perfect_fifth, major_sixth,  major_seventh};
constexpr std::array minor{unison,        major_second, minor_third,  perfect_fourth,
                           perfect_fifth, minor_sixth,  minor_seventh};
constexpr std::array dorian{unison,        major_second, minor_third,  perfect_fourth,
                            perfect_fifth, major_sixth,  minor_seventh};
constexpr std::array phrygian{unison,        minor_second, minor_third,  perfect_fourth,
                              perfect_fifth, minor_sixth,  minor_seventh};
constexpr std::array lydian{unison,        major_second, major_third,  augmented_fourth,
                            perfect_fifth, major_sixth,  major_seventh};
constexpr std::array mixolydian{unison,        major_second, major_third,  perfect_fourth,
                                perfect_fifth, major_sixth,  minor_seventh};
constexpr std::array locrian{unison,           minor_second, minor_third,  perfect_fourth,
                             diminished_fifth, minor_sixth,  minor_seventh};
constexpr std::array harmonic_minor{unison,        major_second, minor_third,  perfect_fourth,
                                    perfect_fifth, minor_sixth,  major_seventh};
constexpr std::array melodic_minor{unison,        major_second, minor_third,  perfect_fourth,
                                   perfect_fifth, major_sixth,  major_seventh};
constexpr std::array major_pentatonic{unison, major_second, major_third, perfect_fifth, major_sixth};
constexpr std::array minor_pentatonic{unison, minor_third, perfect_fourth, perfect_fifth, minor_seventh};
constexpr std::array minor_blues{unison, minor_third, perfect_fourth, diminished_fifth, perfect_fifth, minor_seventh};
constexpr std::array major_blues{unison, major_second, minor_third, major_third, perfect_fifth, major_sixth};
constexpr std::array whole_tone{unison, major_second, major_third, augmented_fourth, augmented_fifth, augmented_sixth};
constexpr std::array chromatic_steps{unison,      minor_second,   major_second,     minor_third,
                                     major_third, perfect_fourth, augmented_fourth, perfect_fifth,
                                     minor_sixth, major_sixth,    minor_seventh,    major_seventh};

constexpr std::array<Scale, 17> scales{{{"major", major},
                                        {"ionian", major},
                                        {"minor", minor},
                                        {"aeolian", minor},
                                        {"dorian", dorian},
                                        {"phrygian", phrygian},
                                        {"lydian", lydian},
                                        {"mixolydian", mixolydian},
                                        {"locrian", locrian},
                                        {"harmonic minor", harmonic_minor},
                                        {"melodic minor", melodic_minor},
                                        {"major pentatonic", major_pentatonic},
                                        {"minor pentatonic", minor_pentatonic},
                                        {"minor blues", minor_blues},
                                        {"major blues", major_blues},
                                        {"whole tone", whole_tone},
                                        {"chromatic", chromatic_steps}}};

}  // namespace

std::vector<PitchClass> Scale::from(PitchClass tonic) const {
  std::vector<PitchClass> notes;
  for (const Interval degree : degrees) notes.push_back(tonic + degree);
  return notes;
}

std::span<const Scale> all_scales() { return scales; }

std::optional<Scale> scale_named(std::string_view name) {
  const auto found = std::find_if(scales.begin(), scales.end(), [&](const Scale& scale) { return scale.name == name; });
  if (found == scales.end()) return std::nullopt;
  return *found;
}

}  // namespace romanesca
