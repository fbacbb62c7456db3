#include "cli/studio/packet_wish.h"

#include <fmt/format.h>

#include <algorithm>
#include <sstream>

#include "cli/studio/backing_track.h"
#include "cli/failure.h"
#include "cli/commands/hand_options.h"
#include "cli/studio/record/student_lookup.h"
#include "cli/studio/user_levels.h"
#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

/// The student of the record with that name or id; empty if nobody has it, since a packet may go to anybody. Throws
/// Failure for a name that several have.
std::optional<StudentRecord> known_student(const std::string& name, const Console& console) {
  if (name.empty() || console.data.empty() || !std::filesystem::exists(console.data / "record.db")) return std::nullopt;
  Store store(console.data);
  const auto found = find_student(store, name);
  if (!found) return std::nullopt;
  return StudentRecord{*found, store.history(found->id)};
}

/// The last exercise that the student chose or was set, and that has not been done.
std::optional<Entry> waiting_exercise(const StudentRecord& record) {
  std::optional<Entry> last;
  for (const Entry& entry : open_entries(record.entries)) {
    if (exercise_kind_named(entry.exercise) != nullptr) last = entry;
  }
  return last;
}

std::string exercise_title(const Entry& entry) {
  const ExerciseKind* const kind = exercise_kind_named(entry.exercise);
  std::string text = kind != nullptr ? kind->title : entry.exercise;
  if (entry.key) text += " in " + to_string(*entry.key);
  if (!entry.text.empty()) text += (text.empty() ? "" : ": ") + entry.text;
  return text;
}

/// What was done the last time, and what was planned, so that the week goes on without the lesson.
std::vector<std::string> missed_week(const StudentRecord& record) {
  std::vector<std::string> lines;
  const auto& entries = record.entries;
  const auto done = std::find_if(entries.rbegin(), entries.rend(), [](const Entry& each) {
    return each.kind == EntryKind::done || (each.kind == EntryKind::note && !each.text.empty());
  });
  if (done != entries.rend()) lines.push_back("Last time: " + exercise_title(*done) + ".");
  for (const Entry& entry : open_entries(entries)) lines.push_back("Planned: " + exercise_title(entry) + ".");
  return lines;
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);) {
    if (!line.empty()) lines.push_back(line);
  }
  return lines;
}

std::optional<KeyText> key_of(const std::string& text) {
  CommonOptions common;
  common.key = text;
  return common.key_given();
}

Exercise exercise_for(const PacketWish& wish, const std::optional<Entry>& waiting, int level, Console& console) {
  ExerciseRequest request;
  request.choices = 1;
  request.id = !wish.exercise.empty() ? wish.exercise : waiting->exercise;
  request.seed = waiting && waiting->seed ? static_cast<std::uint64_t>(*waiting->seed) : wish.seed.value_or(1);
  if (waiting && waiting->level > 0) level = waiting->level;
  request.level = user_level("--level", level, console);
  if (waiting && waiting->key) request.key = *waiting->key;
  const auto key = key_of(wish.key);
  if (key) request.key = {key->tonic, key->mode.value_or(Mode::major)};
  if (!wish.progression.empty()) {
    const PlacedProgression placed = place(read_progression(wish.progression, console), key);
    request.song = placed.progression;
    request.key = placed.key;
  }
  return value_or_throw(set_exercises(request)).front();
}

/// Throws Failure for a style that the page has not, or that is in another meter.
void check_band(const Packet& packet) {
  BandRequest band;
  band.style = packet.style;
  band.tempo_bpm = packet.tempo_bpm;
  static_cast<void>(arrange_backing(packet.placed, band));
}

}  // namespace

Packet make_packet(const PacketWish& wish, Console& console) {
  const auto record = known_student(wish.student, console);
  if (wish.missed && !record) {
    throw Failure(ExitStatus::wrong_input, "--missed tells what the record knows, and it has no such student",
                  "name one with --student; romanesca student list shows them");
  }
  const int level = wish.level > 0 ? wish.level : record ? record->student.profile.level : 3;
  check_level("--level", level);
  std::optional<Entry> waiting;
  if (record && wish.exercise.empty() && wish.progression.empty()) waiting = waiting_exercise(*record);
  if (wish.progression.empty() && wish.exercise.empty() && !waiting) {
    throw Failure(ExitStatus::wrong_input, "handout needs chords or an exercise",
                  "give a progression, --exercise with an id, or --student with one who has chosen an exercise");
  }
  Packet packet;
  packet.title = wish.student.empty() ? "To practise"
                                      : fmt::format("For {}", record ? record->student.profile.name : wish.student);
  packet.greeting = lines_of(wish.greeting);
  packet.days = wish.days;
  if (wish.missed) packet.missed = missed_week(*record);
  packet.style = wish.style;
  packet.tempo_bpm = wish.tempo_bpm;
  if (!wish.exercise.empty() || waiting) {
    packet.exercise = exercise_for(wish, waiting, level, console);
    if (wish.tempo_bpm > 0)
      packet.exercise->progression.tempo_bpm = wish.tempo_bpm;  // on its sheet and in its sound too
    NamedProgression source{packet.exercise->shown(), packet.exercise->title, {}};
    source.progression.title = packet.exercise->title;
    packet.placed = place(std::move(source), std::nullopt);
  } else {
    packet.placed = place(read_progression(wish.progression, console), key_of(wish.key));
    packet.song_title = packet.placed.progression.title;
  }
  HandOptions hands;
  hands.level = level;
  if (record) hands.span = record->student.profile.span;
  hands.loops = true;  // as the page and the sound file play it
  packet.hand_settings = hands.settings(console);
  packet.hands = hands_for(packet.placed.analysis.timeline, packet.hand_settings, packet.placed.analysis.keys.by_bar);
  packet.text = write_progression(packet.placed.progression);
  check_band(packet);
  return packet;
}

}  // namespace romanesca
