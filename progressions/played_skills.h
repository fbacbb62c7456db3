#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "progressions/skill_path.h"
#include "theory/listening/chord_listener.h"

namespace romanesca {

// What of a play-along trains skills of the path, as skills.toml ("played") and the entries of a record name it.
inline constexpr std::string_view played_changes = "play-along-changes";        ///< right and in time
inline constexpr std::string_view played_inversions = "play-along-inversions";  ///< another chord tone in the bass
inline constexpr std::string_view played_sevenths = "play-along-sevenths";      ///< chords with a seventh
inline constexpr std::string_view played_keys = "play-along-keys";              ///< a song in another key than before

/// What was heard of a student who played a song along with the band.
struct ChordsPlayed {
  std::span<const ChordHeard> chords;  ///< in the order of the music
  int level = 1;                       ///< 1 to 8; skills above it are left out
  bool timing_matters = true;          ///< false where the band waited
  bool basses_heard = true;            ///< false for a microphone
  bool in_another_key = false;         ///< the same song was played along before, in another key
};

/// How a skill went that the song needed.
struct SkillPlayed {
  const Skill* skill = nullptr;
  std::string_view exercise;  ///< of the names above
  int good = 0, all = 0;      ///< chords or changes of chords; what was not heard clearly is in neither
  PractiseResult result = PractiseResult::open;
};

/// The skills that the song needed at the level, in the order of the path: done with four fifths of it good, missed
/// with less than half, open between the two (our choice, no source). One that came up too seldom is left out: four
/// changes or chords are needed for changes and keys, two for inversions and sevenths.
[[nodiscard]] std::vector<SkillPlayed> skills_played(const ChordsPlayed& played);

/// "Counted as done on the path of skills: change chords in time, 7 of 8."
[[nodiscard]] std::string describe(const SkillPlayed& played);

}  // namespace romanesca
