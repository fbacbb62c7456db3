#include "cli/studio/record/record_file.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <fstream>

#include "cli/studio/file_io.h"
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

void migrate_to_version_3(Database& database) {
  database.run(R"(
    CREATE TABLE songs (
      id INTEGER PRIMARY KEY,
      student INTEGER NOT NULL REFERENCES students ON DELETE CASCADE,
      title TEXT NOT NULL,
      version INTEGER NOT NULL,
      date TEXT NOT NULL,
      text TEXT NOT NULL,
      UNIQUE (student, title, version)
    ) STRICT;
  )");
}

/// The step to each version from the one before it.
constexpr std::array<void (*)(Database&), newest_schema> steps{create_version_1, migrate_to_version_2,
                                                               migrate_to_version_3};

namespace fs = std::filesystem;

std::string reason(int error) { return reason_not_written(error).why; }

/// Makes the folder and those above it that are missing, for their owner alone, and keeps others out of it.
Status prepare_folder(const fs::path& folder) {
  std::error_code error;
  if (folder.has_parent_path() && !fs::exists(folder.parent_path(), error) && folder.parent_path() != folder) {
    if (Status made = prepare_folder(folder.parent_path()); !made) return made;
  }
  if (mkdir(folder.c_str(), S_IRWXU) != 0 && errno != EEXIST) {
    return record_refused(fmt::format("cannot make the folder {}: {}", folder.string(), reason(errno)),
                          "set XDG_DATA_HOME to a folder that you may write in");
  }
  if (!fs::is_directory(folder, error)) {
    return record_refused(fmt::format("{} is not a folder", folder.string()),
                          "move it away; the students' record belongs there");
  }
  return ok;
}

/// Takes the others' rights away, where somebody has given them.
Status keep_private(const fs::path& path, mode_t rights) {
  struct stat about {};
  if (stat(path.c_str(), &about) != 0 || (about.st_mode & (S_IRWXG | S_IRWXO)) == 0) return ok;
  if (chmod(path.c_str(), rights) != 0) {
    return record_refused(fmt::format("{} can be read by others, and that could not be changed", path.string()),
                          "make it and its folder yours");
  }
  return ok;
}

/// Makes a record without students under another name and gives it its own when it is whole.
Status create(const fs::path& file, std::chrono::milliseconds patience) {
  const fs::path unfinished = file.parent_path() / fmt::format(".{}.{}.part", record_file_name, getpid());
  unlink(unfinished.c_str());
  const int descriptor = ::open(unfinished.c_str(), O_CREAT | O_EXCL | O_RDWR | O_CLOEXEC, S_IRUSR | S_IWUSR);
  if (descriptor < 0) {
    return record_refused(fmt::format("cannot write in {}: {}", file.parent_path().string(), reason(errno)),
                          "make the folder yours, or set XDG_DATA_HOME to another");
  }
  close(descriptor);
  Status made = ok;
  {
    Database database(unfinished, patience);
    database.run("PRAGMA journal_mode = WAL");
    migrate(database);
    made = database.result(ok);
  }
  // If another program was faster, its file is used.
  if (made && link(unfinished.c_str(), file.c_str()) != 0 && errno != EEXIST) {
    made = record_refused(fmt::format("cannot write {}: {}", file.string(), reason(errno)),
                          "set XDG_DATA_HOME to another folder");
  }
  if (!made) {
    for (const char* rest : {"-wal", "-shm"}) unlink((unfinished.string() + rest).c_str());
  }
  unlink(unfinished.c_str());
  return made;
}

/// Whether there is a log that holds anything.
bool has_log(const fs::path& file) {
  std::error_code error;
  const std::uintmax_t size = fs::file_size(file.string() + "-wal", error);
  return !error && size > 0;
}

/// Damage that SQLite does not detect: a file of another kind, or one cut within its last page, which it reads as if
/// filled with zeros (SQLite, "Database File Format", section 1.3: the page size is at offset 16). Where there is a
/// log, the log may still complete the page. Empty if nothing is wrong.
std::string visible_damage(const fs::path& file) {
  std::array<char, 18> begin{};
  std::ifstream(file, std::ios::binary).read(begin.data(), begin.size());
  if (std::memcmp(begin.data(), "SQLite format 3", 16) != 0) return "it does not begin like a record";
  const unsigned page = static_cast<unsigned char>(begin[16]) * 256U + static_cast<unsigned char>(begin[17]);
  std::error_code error;
  return has_log(file) || (page >= 512 && fs::file_size(file, error) % page == 0) ? "" : "its end is missing";
}

/// Records an error in the database unless it is an intact record of a known version. Only reads.
void check_record(Database& database) {
  const std::string name = database.file().string();
  if (database.number("PRAGMA application_id") != record_application_id) {
    database.fail(record_refused(fmt::format("{} belongs to another program; it was left as it is", name),
                                 "move it away, or set XDG_DATA_HOME to another folder"));
  }
  const int version = schema_version(database);
  if (version > newest_schema) {
    database.fail(record_refused(
        fmt::format("{} was written by a newer romanesca (schema {}; this one reads up to {}); it was left as it is",
                    name, version, newest_schema),
        "install the newer romanesca here too"));
  }
  const std::string sound = database.text("PRAGMA quick_check(1)");
  if (sound != "ok" || version < 1) {
    database.fail_damaged(sound == "ok" ? "its schema has no version" : "its content is inconsistent");
  }
}

}  // namespace

int schema_version(Database& database) { return static_cast<int>(database.number("PRAGMA user_version")); }

void migrate(Database& database) {
  if (schema_version(database) == newest_schema) return;
  Transaction transaction(database);
  // Checked again: another program may have been first.
  const auto done = static_cast<std::size_t>(schema_version(database));
  for (std::size_t i = done; i < steps.size(); ++i) steps.at(i)(database);
  database.run(fmt::format("PRAGMA user_version = {}", newest_schema));
  transaction.commit();
}

Result<Database> open_record(const std::filesystem::path& folder, std::chrono::milliseconds patience) {
  if (folder.empty()) {
    return record_refused("there is no place for the students' record",
                          "set HOME, or XDG_DATA_HOME to a folder of yours");
  }
  if (const Status made = prepare_folder(folder); !made) return made.error();
  if (const Status kept = keep_private(folder, S_IRWXU); !kept) return kept.error();
  const fs::path file = folder / record_file_name;
  std::error_code error;
  if (!fs::exists(file, error)) {
    // In this order: another program that creates the record at this moment makes the file before its log.
    const bool log = has_log(file);
    if (log && !fs::exists(file, error)) {
      return record_refused(
          fmt::format("{0}-wal is there without {0}, whose newest entries it may hold", file.string()),
          "put record.db back beside it, or move it to a safe place");
    }
    if (const Status made = create(file, patience); !made) return made.error();
  }
  if (const Status kept = keep_private(file, S_IRUSR | S_IWUSR); !kept) return kept.error();
  if (access(file.c_str(), R_OK | W_OK) != 0) {
    return record_refused(fmt::format("cannot open {}: {}", file.string(), reason(errno)),
                          "make the file yours to read and write");
  }
  const std::string damage = visible_damage(file);
  Database database(file, patience);
  if (!damage.empty()) database.fail_damaged(damage);
  database.tidy_on_close(false);
  database.run("PRAGMA temp_store = MEMORY; PRAGMA secure_delete = ON; PRAGMA foreign_keys = ON");
  check_record(database);
  database.run("PRAGMA synchronous = FULL");
  migrate(database);
  database.tidy_on_close(true);
  if (!database.good()) return *database.error();
  return database;
}

}  // namespace romanesca
