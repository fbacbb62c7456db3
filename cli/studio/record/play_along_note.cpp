#include "cli/studio/record/play_along_note.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "cli/studio/record/plain_text.h"
#include "cli/studio/record/store.h"

namespace romanesca {
namespace {

constexpr std::string_view typed_chords = "progression";

std::string with_piece(const PlayAlong& playing) {
  return playing.piece == typed_chords ? "" : " with " + playing.piece;
}

/// The beginning of the note on a play-along of the piece.
std::string heading_of(const PlayAlong& playing) { return fmt::format("Played along{}: ", with_piece(playing)); }

/// Whether the record has a play-along of the same song in another key. Typed chords are no song.
bool was_in_another_key(const std::vector<Entry>& history, const PlayAlong& playing) {
  if (playing.piece == typed_chords) return false;
  return std::any_of(history.begin(), history.end(), [&](const Entry& entry) {
    return entry.kind == EntryKind::note && entry.key && *entry.key != playing.key &&
           entry.text.starts_with(heading_of(playing));
  });
}

}  // namespace

Result<PlayAlongNoted> note_play_along(const std::filesystem::path& data, const std::string& student,
                                       const PlayAlong& playing, const Date& today) {
  auto store = Store::open(data);
  if (!store) return store.error();
  const auto who = student_named(*store, student);
  if (!who) return who.error();
  const auto history = store->history(who->id);
  if (!history) return history.error();
  ChordsPlayed played = playing.played;
  played.level = playing.level > 0 ? playing.level : who->profile.level;
  played.in_another_key = was_in_another_key(*history, playing);

  PlayAlongNoted noted{who->profile.name, skills_played(played)};
  std::vector<Entry> entries;
  Entry entry;
  entry.date = today;
  entry.key = playing.key;
  entry.level = played.level;
  for (const SkillPlayed& each : noted.skills) {
    if (each.result == PractiseResult::open) continue;
    Entry trained = entry;
    trained.kind = each.result == PractiseResult::done ? EntryKind::done : EntryKind::missed;
    trained.exercise = each.exercise;
    trained.text =
        fmt::format("{} of {} right{}", each.good, each.all, each.exercise == played_changes ? " and in time" : "");
    entries.push_back(std::move(trained));
  }
  entry.text = fmt::format("{}{}", heading_of(playing), fmt::join(playing.report, " "));
  if (entry.text.size() > longest_note) {
    entry.text.resize(entry.text.rfind(' ', longest_note - 4));
    entry.text += " ...";
  }
  entries.push_back(std::move(entry));
  const Status written = store->note_all(who->id, std::move(entries));
  if (!written) return written.error();
  return noted;
}

}  // namespace romanesca
