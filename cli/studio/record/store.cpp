#include "cli/studio/record/store.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "cli/studio/record/merge.h"
#include "cli/studio/record/plain_text.h"
#include "cli/studio/record/record_file.h"
#include "theory/text/nearest_word.h"

namespace romanesca {
namespace {

std::string joined(const std::vector<std::string>& words) { return fmt::format("{}", fmt::join(words, ", ")); }

std::string known_as(const Student& student) {
  return fmt::format("{} (level {}, since {})", student.id, student.profile.level, to_string(student.since));
}

}  // namespace

Result<Store> Store::open(const std::filesystem::path& folder, std::chrono::milliseconds patience) {
  auto database = open_record(folder, patience);
  if (!database) return database.error();
  return Store(std::move(*database));
}

Student Store::read_student(const Statement& row) {
  Student student;
  student.id = row.number(0);
  const auto damaged = [&](const char* what) {
    database_.fail_damaged(fmt::format("student {} has no readable {}", student.id, what));
  };
  student.uid = row.text(1);
  student.profile.name = row.text(2);
  student.profile.level = static_cast<int>(row.number(3));
  student.profile.span = static_cast<int>(row.number(4));
  for (const std::string& text : comma_list(row.text(5))) {
    const auto key = read_key(text);
    if (!key) return damaged("key"), student;
    student.profile.keys.push_back(*key);
  }
  student.profile.likes = comma_list(row.text(6));
  const auto since = parse_date(row.text(7));
  const auto changed = parse_date(row.text(8));
  if (!since || !changed) return damaged("date"), student;
  student.since = *since;
  student.changed = *changed;
  return student;
}

Entry Store::read_entry(const Statement& row) {
  Entry entry;
  entry.number = static_cast<int>(row.number(0));
  const auto date = parse_date(row.text(1));
  const auto kind = parse_entry_kind(row.text(2));
  const std::string key = row.text(4);
  entry.exercise = row.text(3);
  entry.key = read_key(key);
  if (!date || !kind || (!key.empty() && !entry.key)) {
    database_.fail_damaged(fmt::format("entry {} cannot be read", entry.number));
    return entry;
  }
  entry.date = *date;
  entry.kind = *kind;
  entry.level = static_cast<int>(row.number(5));
  entry.seed = row.number_or_none(6);
  entry.choice = row.text(7);
  entry.about = static_cast<int>(row.number(8));
  entry.text = row.text(9);
  return entry;
}

std::vector<Student> Store::read_students() {
  Statement rows(database_,
                 "SELECT id, mark, name, level, span, keys, likes, since, changed FROM students ORDER BY id");
  std::vector<Student> all;
  while (rows.step()) all.push_back(read_student(rows));
  return all;
}

std::vector<Entry> Store::read_history(std::int64_t student) {
  Statement rows(database_,
                 "SELECT number, date, kind, exercise, key, level, seed, choice, about, text FROM entries "
                 "WHERE student = ? ORDER BY number");
  rows.with(student);
  std::vector<Entry> all;
  while (rows.step()) all.push_back(read_entry(rows));
  return all;
}

std::vector<SongVersion> Store::read_songs(std::int64_t student) {
  Statement rows(database_, "SELECT title, version, date, text FROM songs WHERE student = ? ORDER BY title, version");
  rows.with(student);
  std::vector<SongVersion> all;
  while (rows.step()) {
    const auto date = parse_date(rows.text(2));
    if (!date) database_.fail_damaged(fmt::format("the song {} has no readable date", rows.text(0)));
    all.push_back({rows.text(0), static_cast<int>(rows.number(1)), date.value_or(Date{}), rows.text(3)});
  }
  return all;
}

Result<std::vector<SongVersion>> Store::songs(std::int64_t student) { return database_.result(read_songs(student)); }

Result<std::vector<Student>> Store::students() { return database_.result(read_students()); }

Result<std::vector<Entry>> Store::history(std::int64_t student) { return database_.result(read_history(student)); }

Result<std::vector<StudentRecord>> Store::records() {
  Transaction at_one_moment(database_);
  std::vector<StudentRecord> all;
  for (Student& student : read_students()) {
    std::vector<Entry> entries = read_history(student.id);
    std::vector<SongVersion> songs = read_songs(student.id);
    all.push_back({std::move(student), std::move(entries), std::move(songs)});
  }
  return database_.result(std::move(all));
}

Result<Student> Store::add(const Profile& profile, const Date& today) {
  Transaction transaction(database_);
  Statement(database_,
            "INSERT INTO students (name, level, span, keys, likes, since, changed) VALUES (?, ?, ?, ?, ?, ?, ?)")
      .with(profile.name, profile.level, profile.span, to_string(profile.keys), joined(profile.likes), to_string(today),
            to_string(today))
      .step();
  Student student{database_.last_id(), {}, profile, today, today};
  student.uid = uid_of(profile.name, today, student.id);
  Statement(database_, "UPDATE students SET mark = ? WHERE id = ?").with(student.uid, student.id).step();
  transaction.commit();
  return database_.result(std::move(student));
}

void Store::write_student(const Student& student) {
  const Profile& profile = student.profile;
  Statement(database_,
            "UPDATE students SET name = ?, level = ?, span = ?, keys = ?, likes = ?, changed = ? WHERE id = ?")
      .with(profile.name, profile.level, profile.span, to_string(profile.keys), joined(profile.likes),
            to_string(student.changed), student.id)
      .step();
}

Status Store::change(std::int64_t student, const Profile& profile, const Date& today) {
  Transaction transaction(database_);
  write_student({student, {}, profile, {}, today});
  transaction.commit();
  return database_.result(ok);
}

Entry Store::write(std::int64_t student, Entry entry) {
  Statement last(database_, "SELECT coalesce(max(number), 0) FROM entries WHERE student = ?");
  last.with(student).step();
  entry.number = static_cast<int>(last.number(0)) + 1;
  Statement(database_,
            "INSERT INTO entries (student, number, date, kind, exercise, key, level, seed, choice, about, text) "
            "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)")
      .with(student, entry.number, to_string(entry.date), to_string(entry.kind), entry.exercise,
            entry.key ? to_string(*entry.key) : std::string(), entry.level, entry.seed, entry.choice, entry.about,
            entry.text)
      .step();
  return entry;
}

Result<Entry> Store::note(std::int64_t student, Entry entry) {
  Transaction transaction(database_);
  Entry written = write(student, std::move(entry));
  transaction.commit();
  return database_.result(std::move(written));
}

Status Store::note_all(std::int64_t student, std::vector<Entry> entries) {
  Transaction transaction(database_);
  for (Entry& entry : entries) write(student, std::move(entry));
  transaction.commit();
  return database_.result(ok);
}

SongVersion Store::write(std::int64_t student, SongVersion song) {
  Statement last(database_, "SELECT coalesce(max(version), 0) FROM songs WHERE student = ? AND title = ?");
  last.with(student, song.title).step();
  song.version = static_cast<int>(last.number(0)) + 1;
  Statement(database_, "INSERT INTO songs (student, title, version, date, text) VALUES (?, ?, ?, ?, ?)")
      .with(student, song.title, song.version, to_string(song.date), song.text)
      .step();
  return song;
}

Result<std::optional<SongVersion>> Store::keep_song(std::int64_t student, SongVersion song) {
  Transaction transaction(database_);
  const SongVersion* newest = nullptr;
  const std::vector<SongVersion> known = read_songs(student);
  for (const SongVersion& each : known) {
    if (plain_name(each.title) == plain_name(song.title)) newest = &each;
  }
  if (newest != nullptr && newest->text == song.text) return database_.result(std::optional<SongVersion>());
  if (newest != nullptr) song.title = newest->title;
  SongVersion written = write(student, std::move(song));
  transaction.commit();
  return database_.result(std::optional(std::move(written)));
}

Status Store::remove(std::int64_t student) {
  {
    Transaction transaction(database_);
    Statement(database_, "DELETE FROM students WHERE id = ?").with(student).step();
    transaction.commit();
  }
  database_.run("VACUUM");
  if (database_.number("PRAGMA wal_checkpoint(TRUNCATE)") != 0) {
    database_.fail(record_refused(
        fmt::format("the student is removed, but another program still holds old pages of {}-wal", file().string()),
        "end the other romanesca, then run: romanesca student list; that empties the log"));
  }
  return database_.result(ok);
}

Status Store::put(const std::vector<StudentRecord>& records) {
  Transaction transaction(database_);
  const auto known = read_students();
  for (const StudentRecord& incoming : records) {
    Student student = incoming.student;
    std::vector<Entry> present;
    std::vector<SongVersion> songs;
    if (const Student* same = with_uid(known, student.uid)) {
      student.id = same->id;
      present = read_history(student.id);
      songs = read_songs(student.id);
    } else {
      Statement taken(database_, "SELECT 1 FROM students WHERE id = ?");
      const bool free = student.id > 0 && !taken.with(student.id).step();
      Statement(database_,
                "INSERT INTO students (id, mark, name, level, span, keys, likes, since, changed) "
                "VALUES (?, ?, '', 1, 0, '', '', ?, '')")
          .with(free ? std::optional(student.id) : std::nullopt, student.uid, to_string(student.since))
          .step();
      student.id = database_.last_id();
    }
    write_student(student);
    for (Entry& entry : lacking(present, incoming.entries)) write(student.id, std::move(entry));
    for (SongVersion& song : lacking(songs, incoming.songs)) write(student.id, std::move(song));
  }
  transaction.commit();
  return database_.result(ok);
}

Result<std::optional<Student>> find_student(Store& store, const std::string& name) {
  std::vector<Student> found;
  auto all_students = store.students();
  if (!all_students) return all_students.error();
  for (Student& student : *all_students) {
    if (student.profile.name == name || fmt::to_string(student.id) == name) found.push_back(std::move(student));
  }
  if (found.empty()) {  // without regard to case, blanks and hyphens
    auto again = store.students();
    if (!again) return again.error();
    for (Student& student : *again) {
      if (plain_name(student.profile.name) == plain_name(name)) found.push_back(std::move(student));
    }
  }
  if (found.empty()) return std::optional<Student>();
  if (found.size() == 1) return std::optional(std::move(found.front()));
  std::string all;
  for (const Student& student : found) all += (all.empty() ? "" : ", ") + known_as(student);
  return Failure(ExitStatus::wrong_input, fmt::format("{} students are called {}", found.size(), name),
                 "give the id of the one that you mean: " + all);
}

Result<Student> student_named(Store& store, const std::string& name) {
  auto student = find_student(store, name);
  if (!student) return student.error();
  if (*student) return std::move(**student);
  const auto all = store.students();
  if (!all) return all.error();
  std::vector<std::string> names;
  for (const Student& each : *all) names.push_back(each.profile.name);
  const auto near = nearest_word(name, names);
  return Failure(ExitStatus::wrong_input, fmt::format("there is no student \"{}\"", name),
                 near ? fmt::format("did you mean {}?", *near) : "romanesca student list shows all of them");
}

}  // namespace romanesca
