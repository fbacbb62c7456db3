#pragma once

#include <string>

#include "progressions/exercise.h"
#include "theory/songs/progression_writer.h"

namespace romanesca::test {

/// What an exercise is as music: everything but its tempo and style.
inline std::string content_of(Exercise exercise) {
  exercise.progression.tempo_bpm.reset();
  exercise.progression.style.clear();
  std::string text = exercise.id + "\n" + write_progression(exercise.progression);
  for (const std::string& step : exercise.steps) text += step + "\n";
  const auto place = [](Beats beats) {
    return std::to_string(beats.numerator()) + "/" + std::to_string(beats.denominator()) + " ";
  };
  for (const PitchClass note : exercise.notes) text += to_string(note) + " ";
  for (const RhythmNote& note : exercise.rhythm) text += place(note.start) + place(note.length);
  for (const MelodyNote& note : exercise.melody) text += place(note.start) + to_string(note.pitch) + " ";
  for (const ExerciseShape& shape : exercise.shapes) {
    for (const Voicing* hand : {&shape.hands.left, &shape.hands.right}) {
      for (const Pitch& note : *hand) text += to_string(note) + " ";
    }
  }
  for (const NoteEvent& note : exercise.heard)
    text += place(note.start) + place(note.length) + std::to_string(note.midi) + " ";
  for (const std::size_t hidden : exercise.hidden) text += std::to_string(hidden) + " ";
  return text;
}

}  // namespace romanesca::test
