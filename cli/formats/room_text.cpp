#include "cli/formats/room_text.h"

#include <fmt/format.h>

#include <cmath>

#include "theory/chords/chord_naming.h"
#include "theory/chords/key.h"

namespace romanesca {
namespace {

constexpr float sure_tone = 0.5f;

}  // namespace

std::vector<std::string> room_sentences(const RoomReport& report) {
  const RoomFindings findings = findings_of(report);
  std::vector<std::string> sentences;
  if (!findings.heard) {
    sentences.emplace_back(
        "No piano was heard. Is it the right microphone, is it switched on, and may programs use it? Put it nearer to "
        "the piano and try again.");
    return sentences;
  }
  if (report.clipped) {
    sentences.emplace_back(
        "The microphone is too loud: lower its level in the sound settings, or put it further away.");
  } else if (findings.soft) {
    sentences.emplace_back(
        "The piano is very soft: raise the level in the sound settings, or put the microphone nearer.");
  } else {
    sentences.emplace_back("The level is good.");
  }
  if (findings.loud_room) {
    sentences.push_back(fmt::format(
        "The room is loud: the piano is only {:.0f} dB above it. Close the window, or put the microphone nearer.",
        report.piano_dbfs - report.quiet_dbfs));
  } else {
    sentences.emplace_back("The room is quiet enough.");
  }
  if (report.hum_hz > 0) {
    sentences.push_back(fmt::format(
        "There is a hum of {:.0f} Hz from the mains; it does no harm unless it is loud. Another socket may help.",
        report.hum_hz));
  }
  const double a = 440 * std::exp2(report.tuning_cents / 1200);
  if (findings.in_tune) {
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
