#include "cli/formats/room_text.h"

#include <fmt/format.h>

#include <cmath>

#include "theory/chords/chord_naming.h"
#include "theory/chords/key.h"

namespace romanesca {
namespace {

constexpr double soft_dbfs = -45;         // a piano that is hardly there
constexpr double least_distance_db = 15;  // of the piano over the room: with less, fewer chords are heard
constexpr double in_tune_cents = 5;
constexpr float sure_tone = 0.5f;

}  // namespace

std::vector<std::string> room_sentences(const RoomReport& report) {
  std::vector<std::string> sentences;
  if (report.onsets == 0 || report.piano_dbfs < report.quiet_dbfs + 3) {
    sentences.emplace_back(
        "No piano was heard. Is it the right microphone, is it switched on, and may programs use it? Put it nearer to "
        "the piano and try again.");
    return sentences;
  }
  const double distance_db = report.piano_dbfs - report.quiet_dbfs;
  if (report.clipped) {
    sentences.emplace_back(
        "The microphone is too loud: lower its level in the sound settings, or put it further away.");
  } else if (report.piano_dbfs < soft_dbfs) {
    sentences.emplace_back(
        "The piano is very soft: raise the level in the sound settings, or put the microphone nearer.");
  } else {
    sentences.emplace_back("The level is good.");
  }
  if (distance_db < least_distance_db) {
    sentences.push_back(fmt::format(
        "The room is loud: the piano is only {:.0f} dB above it. Close the window, or put the microphone nearer.",
        distance_db));
  } else {
    sentences.emplace_back("The room is quiet enough.");
  }
  if (report.hum_hz > 0) {
    sentences.push_back(fmt::format(
        "There is a hum of {:.0f} Hz from the mains; it does no harm unless it is loud. Another socket may help.",
        report.hum_hz));
  }
  const double a = 440 * std::exp2(report.tuning_cents / 1200);
  if (std::abs(report.tuning_cents) <= in_tune_cents) {
    sentences.push_back(fmt::format("The piano is in tune with 440 Hz (A is at {:.0f} Hz).", a));
  } else {
    sentences.push_back(
        fmt::format("The piano is {:.0f} cents {} than 440 Hz (A is at {:.0f} Hz); that is allowed for.",
                    std::abs(report.tuning_cents), report.tuning_cents < 0 ? "lower" : "higher", a));
  }
  return sentences;
}

std::string tones_text(const TonesHeard& heard) {
  static constexpr Key key{PitchClass(0), Mode::major};
  std::string text;
  for (std::size_t i = 0; i < heard.probability.size(); ++i) {
    if (heard.probability[i] < sure_tone) continue;
    if (!text.empty()) text += ' ';
    text += to_string(spelled_in(static_cast<int>(i), key));
  }
  return text;
}

}  // namespace romanesca
