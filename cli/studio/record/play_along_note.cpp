#include "cli/studio/record/play_along_note.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "cli/studio/record/plain_text.h"
#include "cli/studio/record/store.h"

namespace romanesca {

Result<std::string> note_play_along(const std::filesystem::path& data, const std::string& student,
                                    const PlayAlong& playing, const Date& today) {
  auto store = Store::open(data);
  if (!store) return store.error();
  const auto who = student_named(*store, student);
  if (!who) return who.error();
  Entry entry;
  entry.date = today;
  entry.key = playing.key;
  entry.level = who->profile.level;
  entry.text = fmt::format("Played along{}: {}", playing.piece == "progression" ? "" : " with " + playing.piece,
                           fmt::join(playing.report, " "));
  if (entry.text.size() > longest_note) {
    entry.text.resize(entry.text.rfind(' ', longest_note - 4));
    entry.text += " ...";
  }
  const auto written = store->note(who->id, std::move(entry));
  if (!written) return written.error();
  return who->profile.name;
}

}  // namespace romanesca
