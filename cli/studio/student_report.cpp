#include "cli/studio/student_report.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <ostream>

#include "cli/studio/record/plain_text.h"
#include "cli/studio/record/student_lookup.h"

namespace romanesca {

void check_student(const std::string& name, const Console& console) {
  Store store(console.data);
  static_cast<void>(student_named(store, name));
}

void note_in_record(const std::string& student, const std::string& piece, const Key& key,
                    const std::vector<std::string>& report, Console& console) {
  Store store(console.data);
  const Student who = student_named(store, student);
  Entry entry;
  entry.date = console.today;
  entry.key = key;
  entry.level = who.profile.level;
  entry.text =
      fmt::format("Played along{}: {}", piece == "progression" ? "" : " with " + piece, fmt::join(report, " "));
  if (entry.text.size() > longest_note) {
    entry.text.resize(entry.text.rfind(' ', longest_note - 4));
    entry.text += " ...";
  }
  store.note(who.id, std::move(entry));
  console.out << fmt::format("It is in {}'s record.\n", who.profile.name);
}

}  // namespace romanesca
