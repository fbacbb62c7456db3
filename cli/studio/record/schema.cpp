#include "cli/studio/record/schema.h"

#include <fmt/format.h>

#include <array>

#include "cli/studio/record/student.h"

namespace romanesca {
namespace {

void create_version_1(Database& database) {
  database.run(fmt::format("PRAGMA application_id = {}", record_application_id));
  database.run(R"(
    CREATE TABLE students (
      id INTEGER PRIMARY KEY AUTOINCREMENT,
      name TEXT NOT NULL,
      level INTEGER NOT NULL CHECK (level BETWEEN 1 AND 8),
      span INTEGER NOT NULL,
      keys TEXT NOT NULL,
      likes TEXT NOT NULL,
      since TEXT NOT NULL
    ) STRICT;
    CREATE TABLE entries (
      id INTEGER PRIMARY KEY,
      student INTEGER NOT NULL REFERENCES students ON DELETE CASCADE,
      date TEXT NOT NULL,
      kind TEXT NOT NULL CHECK (kind IN ('set', 'done', 'chosen', 'missed', 'note')),
      exercise TEXT NOT NULL,
      key TEXT NOT NULL,
      level INTEGER NOT NULL CHECK (level BETWEEN 0 AND 8),
      seed INTEGER,
      text TEXT NOT NULL
    ) STRICT;
  )");
}

void migrate_to_version_2(Database& database) {
  database.run(R"(
    ALTER TABLE students ADD COLUMN mark TEXT NOT NULL DEFAULT '';
    ALTER TABLE students ADD COLUMN changed TEXT NOT NULL DEFAULT '';
    UPDATE students SET changed = since;
    ALTER TABLE entries ADD COLUMN number INTEGER NOT NULL DEFAULT 0;
    ALTER TABLE entries ADD COLUMN choice TEXT NOT NULL DEFAULT '';
    ALTER TABLE entries ADD COLUMN about INTEGER NOT NULL DEFAULT 0;
    UPDATE entries SET number = (SELECT count(*) FROM entries AS other
                                 WHERE other.student = entries.student AND other.id <= entries.id);
    CREATE UNIQUE INDEX entries_by_number ON entries (student, number);
  )");
  Statement all(database, "SELECT id, name, since FROM students");
  while (all.step()) {
    const auto since = parse_date(all.text(2));
    if (!since) return database.fail_damaged(fmt::format("student {} has no date", all.number(0)));
    Statement(database, "UPDATE students SET mark = ? WHERE id = ?")
        .with(uid_of(all.text(1), *since, all.number(0)), all.number(0))
        .step();
  }
}

/// The step to each version from the one before it.
constexpr std::array<void (*)(Database&), newest_schema> steps{create_version_1, migrate_to_version_2};

}  // namespace

int schema_version(Database& database) { return static_cast<int>(database.number("PRAGMA user_version")); }

void migrate(Database& database) {
  if (schema_version(database) == newest_schema) return;
  Transaction transaction(database);
  // Asked again: another program may have been first.
  const auto done = static_cast<std::size_t>(schema_version(database));
  for (std::size_t i = done; i < steps.size(); ++i) steps.at(i)(database);
  database.run(fmt::format("PRAGMA user_version = {}", newest_schema));
  transaction.commit();
}

}  // namespace romanesca
