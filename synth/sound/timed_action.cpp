#include "synth/sound/timed_action.h"

#include <algorithm>

#include "synth/sound/sample_block.h"

namespace romanesca {
namespace {

constexpr double lead_in_s = 10;  // longer than anything rings

struct NoteAction {
  TimedAction action;
  std::uint32_t note;  ///< which one it belongs to
};

}  // namespace

std::uint32_t note_seed(const NoteEvent& event) noexcept {
  std::uint32_t hash = 2166136261U;  // FNV-1a
  const auto mix = [&](std::uint64_t value) {
    for (int byte = 0; byte < 8; ++byte)
      hash = (hash ^ static_cast<std::uint32_t>(value >> (8 * byte) & 0xFFU)) * 16777619U;
  };
  mix(static_cast<std::uint64_t>(event.start.numerator()));
  mix(static_cast<std::uint64_t>(event.start.denominator()));
  mix(std::uint64_t{event.midi} << 16U | std::uint64_t{event.velocity} << 8U | event.part);
  return hash;
}

ActionList list_actions(const Performance& performance, double sample_rate_hz, bool loop) {
  ActionList list;
  const TempoMap& tempo = performance.tempo;
  list.length_frames = tempo.frame_at(performance.length, sample_rate_hz);
  std::int64_t rounds_before = 0;
  if (loop && list.length_frames > 0) {
    constexpr auto block = static_cast<std::int64_t>(block_frames);
    list.first_frame = -(static_cast<std::int64_t>(lead_in_s * sample_rate_hz) / block * block);
    rounds_before = -list.first_frame / list.length_frames + 2;  // one more, for notes that are held into it
  }
  std::vector<NoteAction> actions;
  std::uint32_t note = 0;
  for (const NoteEvent& event : performance.events) {
    if (event.part >= performance.parts.size() || performance.parts[event.part].muted) continue;
    const std::int64_t from = tempo.frame_at(event.start, sample_rate_hz);
    const std::int64_t to = std::max(tempo.frame_at(event.start + event.length, sample_rate_hz), from + 1);
    const std::uint32_t seed = note_seed(event);
    for (std::int64_t round = rounds_before; round >= 0; --round) {
      const std::int64_t start = round * list.length_frames;
      if (to - start <= list.first_frame) continue;
      const std::int64_t down = std::max(from - start, list.first_frame);
      actions.push_back({{down, true, event.part, event.midi, event.velocity, seed}, note});
      actions.push_back({{to - start, false, event.part, event.midi, 0, 0}, note});
      ++note;
    }
  }
  std::stable_sort(actions.begin(), actions.end(), [](const NoteAction& a, const NoteAction& b) {
    return a.action.frame != b.action.frame ? a.action.frame < b.action.frame : a.action.down < b.action.down;
  });
  // A key that was struck again before it went up belongs to the later note.
  std::vector<std::uint32_t> sounding_note(performance.parts.size() * 256);
  for (const NoteAction& each : actions) {
    std::uint32_t& key = sounding_note[std::size_t{each.action.part} * 256 + each.action.midi];
    if (each.action.down) key = each.note;
    if (key == each.note) list.actions.push_back(each.action);
  }
  return list;
}

}  // namespace romanesca
