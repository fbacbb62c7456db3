// The functions of the page's module that listens to a microphone: samples in, tones out.
#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <vector>

#include "synth/hearing/room_check.h"
#include "theory/listening/sounding_tones.h"

namespace {

std::vector<float> samples;                  // NOLINT: a module is one object
std::unique_ptr<romanesca::RoomCheck> room;  // NOLINT
romanesca::TonesHeard last;                  // NOLINT
int looks = 0;                               // NOLINT

}  // namespace

extern "C" {

/// Begins to listen. @param rate_hz of the samples
[[clang::export_name("begin")]] void begin(double rate_hz) {
  room = std::make_unique<romanesca::RoomCheck>(rate_hz);
  looks = 0;
}
/// @return where to write so many samples, floats
[[clang::export_name("reserve")]] float* reserve(std::size_t count) {
  samples.resize(count);
  return samples.data();
}
/// The samples are of the room alone.
[[clang::export_name("quiet")]] void quiet() {
  if (room) room->push_quiet(samples);
}
/// The piano is played. @return how many looks there were by now
[[clang::export_name("listen")]] int listen() {
  if (room) {
    room->push_playing(samples, [](const romanesca::TonesHeard& heard) {
      last = heard;
      ++looks;
    });
  }
  return looks;
}
// Of the last look: milliseconds since the first sample that was listened to, and twelve probabilities, floats.
[[clang::export_name("onset")]] double onset() { return last.onset_ms; }
[[clang::export_name("moment")]] double moment() { return last.at_ms; }
[[clang::export_name("tones")]] const float* tones() { return last.probability.data(); }
/// How the last look compares with a chord, whose root may sound even where the hands leave it out.
/// @param asked bit set of its tones @param root 0 for C to 11
/// @return 0 right, 1 wrong, 2 unclear, with the missing tones from bit 4 on and the foreign ones from bit 16 on
[[clang::export_name("answer")]] std::uint32_t answer(std::uint32_t asked, int root) {
  const romanesca::ToneAnswer found =
      romanesca::answer_to(last.probability, {asked, root, 1U << static_cast<unsigned>(root)});
  return static_cast<std::uint32_t>(found.kind) | found.missing << 4U | found.foreign << 16U;
}
// Of the room.
/// @return 1 for heard, 2 clipped, 4 soft, 8 loud_room, 16 in_tune, added up (RoomReport, RoomFindings)
[[clang::export_name("findings")]] int findings() {
  if (!room) return 0;
  const romanesca::RoomReport report = room->report();
  const romanesca::RoomFindings found = romanesca::findings_of(report);
  return (found.heard ? 1 : 0) + (report.clipped ? 2 : 0) + (found.soft ? 4 : 0) + (found.loud_room ? 8 : 0) +
         (found.in_tune ? 16 : 0);
}
[[clang::export_name("hum")]] double hum() { return room ? room->report().hum_hz : 0; }
[[clang::export_name("tuning")]] double tuning() { return room ? room->report().tuning_cents : 0; }
}
