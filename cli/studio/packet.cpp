#include "cli/studio/packet.h"

#include <fmt/format.h>

#include <algorithm>
#include <sstream>

#include "cli/studio/backing_track.h"
#include "cli/studio/progression_source.h"
#include "cli/studio/record/record_file.h"
#include "cli/studio/record/store.h"
#include "theory/songs/progression_writer.h"

namespace romanesca {
namespace {

/// The student of the record with that name or id; empty if nobody has it, since a packet may go to anybody. An error
/// for a name that several have.
Result<std::optional<StudentRecord>> known_student(const std::string& name, const std::filesystem::path& data) {
  std::optional<StudentRecord> record;
  if (name.empty() || data.empty() || !std::filesystem::exists(data / record_file_name)) return record;
  auto store = Store::open(data);
  if (!store) return store.error();
  const auto found = find_student(*store, name);
  if (!found) return found.error();
  if (!*found) return record;
  auto entries = store->history((*found)->id);
  if (!entries) return entries.error();
  record = StudentRecord{**found, std::move(*entries)};
  return record;
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

Result<Exercise> exercise_for(const PacketRequest& asked, const std::optional<Entry>& waiting, int level,
                              const StudioFolders& folders, std::istream& standard_input) {
  ExerciseRequest request;
  request.choices = 1;
  request.terms = asked.terms;
  request.id = !asked.exercise.empty() ? asked.exercise : waiting->exercise;
  request.seed = waiting && waiting->seed ? static_cast<std::uint64_t>(*waiting->seed) : asked.seed.value_or(1);
  if (waiting && waiting->level > 0) level = waiting->level;
  auto of_student = own_level("--level", level, folders.configuration);
  if (!of_student) return of_student.error();
  request.level = std::move(*of_student);
  if (waiting && waiting->key) request.key = *waiting->key;
  const auto key = key_given(asked.key);
  if (!key) return key.error();
  if (*key) request.key = {(*key)->tonic, (*key)->mode.value_or(Mode::major)};
  if (!asked.progression.empty()) {
    auto source = read_progression(asked.progression, standard_input);
    if (!source) return source.error();
    const auto placed = place(std::move(*source), *key);
    if (!placed) return placed.error();
    request.song = placed->progression;
    request.key = placed->key;
  }
  auto set = set_exercises(request);
  if (!set) return set.error();
  Exercise only = std::move(set->front());
  return only;
}

/// An error for a style that the page does not have, or that is in another meter.
Status check_band(const Packet& packet) {
  BandRequest band;
  band.style = packet.style;
  band.tempo_bpm = packet.tempo_bpm;
  const auto track = arrange_backing(packet.placed, band);
  if (!track) return track.error();
  return ok;
}

/// Puts the exercise and its chords, or the chords alone, into the packet.
Status put_music(Packet& packet, const PacketRequest& request, const std::optional<Entry>& waiting, int level,
                 const StudioFolders& folders, std::istream& standard_input) {
  std::optional<KeyText> key;
  NamedProgression source;
  if (!request.exercise.empty() || waiting) {
    auto exercise = exercise_for(request, waiting, level, folders, standard_input);
    if (!exercise) return exercise.error();
    if (request.tempo_bpm > 0) exercise->progression.tempo_bpm = request.tempo_bpm;  // on its sheet and in its sound
    source = {exercise->shown(), exercise->title, {}};
    source.progression.title = exercise->title;
    packet.exercise = std::move(*exercise);
  } else {
    auto read = read_progression(request.progression, standard_input);
    if (!read) return read.error();
    const auto given = key_given(request.key);
    if (!given) return given.error();
    source = std::move(*read);
    key = *given;
  }
  auto placed = place(std::move(source), key);
  if (!placed) return placed.error();
  packet.placed = std::move(*placed);
  if (!packet.exercise) packet.song_title = packet.placed.progression.title;
  packet.text = write_as_played(packet.placed.progression);
  packet.sung = words_by_chord(packet.placed.progression);
  return ok;
}

}  // namespace

Result<Packet> make_packet(const PacketRequest& request, const StudioFolders& folders, std::istream& standard_input) {
  const auto known = known_student(request.student, folders.data);
  if (!known) return known.error();
  const std::optional<StudentRecord>& record = *known;
  if (request.missed && !record) {
    return Failure(ExitStatus::wrong_input, "--missed tells what the record knows, and it has no such student",
                   "name one with --student; romanesca student list shows them");
  }
  const int level = request.level > 0 ? request.level : record ? record->student.profile.level : 3;
  if (const Status checked = check_level("--level", level); !checked) return checked.error();
  std::optional<Entry> waiting;
  if (record && request.exercise.empty() && request.progression.empty()) waiting = waiting_exercise(*record);
  if (request.progression.empty() && request.exercise.empty() && !waiting) {
    return Failure(ExitStatus::wrong_input, "handout needs chords or an exercise",
                   "give a progression, --exercise with an id, or --student with one who has chosen an exercise");
  }
  Packet packet;
  packet.title = request.student.empty()
                     ? "To practise"
                     : fmt::format("For {}", record ? record->student.profile.name : request.student);
  packet.greeting = lines_of(request.greeting);
  packet.days = request.days;
  packet.microphone = request.microphone;
  if (request.missed) packet.missed = missed_week(*record);
  packet.style = request.style;
  packet.tempo_bpm = request.tempo_bpm;
  if (const Status put = put_music(packet, request, waiting, level, folders, standard_input); !put) return put.error();
  const auto hands = student_hands(level, record ? record->student.profile.span : 0, folders.configuration);
  if (!hands) return hands.error();
  packet.hand_settings = *hands;
  packet.hand_settings.loops = true;  // as the page and the sound file play it
  packet.hands = hands_for(packet.placed.analysis.timeline, packet.hand_settings, packet.placed.analysis.keys.by_bar);
  if (const Status checked = check_band(packet); !checked) return checked.error();
  return packet;
}

}  // namespace romanesca
