#include "theory/listening/line_listener.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

#include "theory/chords/chord_naming.h"

namespace romanesca {
namespace {

constexpr double around_ms = 150;  // a note so near to the beat is meant for it
constexpr std::size_t most_recent = 256, most_outside = 64;

std::string times(int count) { return count == 1 ? "once" : count == 2 ? "twice" : fmt::format("{} times", count); }

}  // namespace

bool is_strong(const Meter& meter, int pulse) noexcept { return pulse == 0 || (meter.pulses() == 4 && pulse == 2); }

std::optional<std::string> degree_in(const Chord& chord, PitchClass note) {
  constexpr std::array<std::string_view, 7> names{"root", "ninth", "third", "fourth", "fifth", "sixth", "seventh"};
  for (const PitchClass tone : chord.tones()) {
    if (!tone.sounds_like(note)) continue;
    return std::string(names[static_cast<std::size_t>((tone.letter() - chord.root.letter() + 7) % 7)]);
  }
  return std::nullopt;
}

void LineListener::beat(double at_ms, const std::optional<Chord>& chord, int bar) {
  beats_.push_back({at_ms, chord, bar, key_});
}

void LineListener::key_down(int midi, double at_ms) {
  pass(at_ms);
  keys_.key_down(midi);
  recent_.push_back({at_ms, midi});
  if (recent_.size() > most_recent) recent_.pop_front();
  ++notes_;
}

void LineListener::key_up(int midi, double at_ms) {
  pass(at_ms);
  keys_.key_up(midi);
}

void LineListener::pass(double now_ms) {
  while (!beats_.empty() && now_ms > beats_.front().at_ms + around_ms) {
    land(beats_.front());
    beats_.pop_front();
  }
  while (!recent_.empty() && recent_.front().at_ms < now_ms - 1000) recent_.pop_front();
}

/// The highest of the notes struck nearest to the beat, else the highest that the fingers hold.
void LineListener::land(const Beat& beat) {
  int midi = -1;
  double nearest = around_ms;
  for (const Note& note : recent_) {
    const double distance = std::abs(note.at_ms - beat.at_ms);
    if (distance > nearest || (distance == nearest && note.midi < midi)) continue;
    nearest = distance;
    midi = note.midi;
  }
  for (int key = 0; midi < 0 && key < 128; ++key) {
    if (keys_.held()[static_cast<std::size_t>(127 - key)]) midi = 127 - key;
  }
  if (midi < 0) {
    ++rests_;
    return;
  }
  const PitchClass note = spelled_in(midi % 12, beat.key);
  const auto degree = beat.chord ? degree_in(*beat.chord, note) : std::nullopt;
  if (degree) {
    ++degrees_[*degree];
  } else if (beat.key.contains(note)) {
    ++of_scale_;
  } else if (outside_.size() < most_outside) {
    outside_.push_back({to_string(note), beat.chord ? to_string(*beat.chord) : "", beat.bar});
  }
}

std::vector<std::string> LineListener::report() const {
  if (notes_ == 0) return {"Nothing was heard from the keyboard. Is it the right port, and is it switched on?"};
  std::vector<std::pair<std::string, int>> degrees(degrees_.begin(), degrees_.end());
  std::stable_sort(degrees.begin(), degrees.end(), [](const auto& a, const auto& b) { return a.second > b.second; });
  std::string landed;
  for (const auto& [degree, count] : degrees) {
    landed += fmt::format("{}the {} {}", landed.empty() ? "" : ", ", degree, times(count));
  }
  std::vector<std::string> sentences{notes_ == 1 ? "You played one note."
                                                 : fmt::format("You played {} notes.", notes_)};
  if (!landed.empty()) sentences.push_back(fmt::format("On strong beats the line landed on {}.", landed));
  if (of_scale_ > 0) sentences.push_back(fmt::format("Notes of the scale outside the chord: {}.", times(of_scale_)));
  std::string outside;
  constexpr std::size_t most_told = 4;
  for (std::size_t i = 0; i < std::min(outside_.size(), most_told); ++i) {
    const Outside& each = outside_[i];
    outside += fmt::format("{}{} in bar {}{}", i == 0 ? "" : ", ", each.note, each.bar,
                           each.over.empty() ? "" : " over " + each.over);
  }
  if (outside_.size() > most_told) outside += " and more";
  if (!outside.empty()) sentences.push_back(fmt::format("Outside the key: {}.", outside));
  return sentences;
}

}  // namespace romanesca
