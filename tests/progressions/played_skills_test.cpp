// What a play-along trains of the path of skills.
#include "progressions/played_skills.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>

namespace romanesca {
namespace {

using Verdict = ChordHeard::Verdict;

ChordHeard played(const char* chord, Verdict verdict = Verdict::as_asked, double late_ms = 0) {
  ChordHeard heard;
  heard.asked.chord = *parse_chord(chord);
  heard.verdict = verdict;
  heard.late_ms = late_ms;
  return heard;
}

/// The skill's id, what was good of what, and the result: "first-chords 4/4 done".
std::vector<std::string> trained(const ChordsPlayed& played) {
  std::vector<std::string> all;
  for (const SkillPlayed& each : skills_played(played)) {
    constexpr std::array results{"open", "done", "missed"};
    all.push_back(each.skill->id + " " + std::to_string(each.good) + "/" + std::to_string(each.all) + " " +
                  results[static_cast<std::size_t>(each.result)]);
  }
  return all;
}

using Trained = std::vector<std::string>;

TEST(PlayedSkills, EachPartBelongsToOneSkill) {
  for (const std::string_view part : {played_changes, played_inversions, played_sevenths, played_keys}) {
    const auto skills_of_it = std::count_if(skills().begin(), skills().end(), [&](const Skill& skill) {
      return std::find(skill.played.begin(), skill.played.end(), part) != skill.played.end();
    });
    EXPECT_EQ(skills_of_it, 1) << part;
  }
  std::size_t parts = 0;
  for (const Skill& skill : skills()) parts += skill.played.size();
  EXPECT_EQ(parts, 4U) << "an unknown part trains nothing";
}

TEST(PlayedSkills, ChangesCountRightAndInTime) {
  std::vector<ChordHeard> song{played("C"), played("F"), played("G"), played("C"), played("Am")};
  EXPECT_EQ(trained({song}), Trained{"first-chords 5/5 done"});
  song[1].late_ms = 200;
  EXPECT_EQ(trained({song}), Trained{"first-chords 4/5 done"});
  song[2].verdict = Verdict::part_of_it;
  EXPECT_EQ(trained({song}), Trained{"first-chords 3/5 open"});
  song[3].verdict = Verdict::nothing;
  EXPECT_EQ(trained({song}), Trained{"first-chords 2/5 missed"});
  ChordsPlayed waiting{song};
  waiting.timing_matters = false;
  EXPECT_TRUE(trained(waiting).empty()) << "the band waited for every change";
}

TEST(PlayedSkills, TheSameChordAgainIsNoChange) {
  const std::vector<ChordHeard> song{played("C"), played("C"), played("C"), played("F"), played("F"), played("C")};
  EXPECT_TRUE(trained({song}).empty()) << "three changes are too few";
}

TEST(PlayedSkills, WhatIsNotClearCountsForNothing) {
  std::vector<ChordHeard> song{played("C"), played("F"), played("G"), played("C")};
  for (int i = 0; i < 5; ++i) song.push_back(played(i % 2 == 0 ? "F" : "G", Verdict::not_clear));
  EXPECT_EQ(trained({song}), Trained{"first-chords 4/4 done"});
  song[0].verdict = Verdict::not_clear;
  EXPECT_TRUE(trained({song}).empty());
}

TEST(PlayedSkills, SkillsAboveTheLevelAreLeftOut) {
  const std::vector<ChordHeard> song{played("Cmaj7"), played("G7/B"), played("Am7"),
                                     played("F/A", Verdict::other_bass)};
  ChordsPlayed at{song};
  EXPECT_EQ(trained(at), Trained{"first-chords 3/4 open"});
  at.level = 3;
  EXPECT_EQ(trained(at), (Trained{"first-chords 3/4 open", "inversions 1/2 open"}));
  at.level = 5;
  EXPECT_EQ(trained(at), (Trained{"first-chords 3/4 open", "inversions 1/2 open", "seventh-chords 3/3 done"}));
  at.basses_heard = false;
  EXPECT_EQ(trained(at), (Trained{"first-chords 3/4 open", "seventh-chords 3/3 done"}));
  at.in_another_key = true;
  EXPECT_EQ(trained(at), (Trained{"first-chords 3/4 open", "circle 3/4 open", "seventh-chords 3/3 done"}));
}

// A foreign bass is no inversion.
TEST(PlayedSkills, OnlyChordTonesInTheBassAreInversions) {
  const std::vector<ChordHeard> song{played("F/G"), played("C/D"), played("F/G"), played("C")};
  ChordsPlayed at{song};
  at.level = 8;
  EXPECT_EQ(trained(at), Trained{"first-chords 4/4 done"});
}

TEST(PlayedSkills, AreToldInASentence) {
  const std::vector<ChordHeard> song{played("C"), played("F"), played("G"), played("C", Verdict::another)};
  EXPECT_EQ(describe(skills_played({song}).front()), "Not sure yet, and not counted: change chords in time, 3 of 4.");
}

}  // namespace
}  // namespace romanesca
