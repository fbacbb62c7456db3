#include "cli/studio/record/database.h"

#include <fmt/format.h>
#include <sqlite3.h>

#include <new>

namespace romanesca {
namespace {

Failure failure_of_code(int code, const std::filesystem::path& file) {
  const std::string folder = file.parent_path().string();
  switch (code & 0xFF) {
    case SQLITE_FULL:
      return record_refused(fmt::format("the disk is full; {} is as it was", file.string()), "make room and try again");
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return record_refused(fmt::format("another program is busy with {}", file.string()),
                            "try again when it has ended");
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_CANTOPEN:
    case SQLITE_AUTH:
      return record_refused(fmt::format("{} cannot be opened for writing", file.string()),
                            fmt::format("make {} and the files in it yours to read and write", folder));
    case SQLITE_IOERR:
      return record_refused(
          fmt::format("the disk refused to read or write {}; it is as it was", file.string()),
          fmt::format("check whether the disk that holds {} is full or failing, then try again", folder));
    default:
      return record_refused(fmt::format("{} cannot be used in this way ({}); it is as it was", file.string(), code),
                            "please send what you typed, with that number, to those who gave you the program");
  }
}

}  // namespace

Failure record_refused(const std::string& message, const std::string& hint) {
  return {ExitStatus::file_refused, message, hint};
}

void Database::Close::operator()(sqlite3* handle) const noexcept { sqlite3_close_v2(handle); }

void Statement::Finalize::operator()(sqlite3_stmt* statement) const noexcept { sqlite3_finalize(statement); }

Database::Database(const std::filesystem::path& file, std::chrono::milliseconds patience) : file_(file) {
  sqlite3* handle = nullptr;
  const int code = sqlite3_open_v2(file.c_str(), &handle, SQLITE_OPEN_READWRITE | SQLITE_OPEN_EXRESCODE, nullptr);
  handle_.reset(handle);
  check(code);
  if (good()) check(sqlite3_busy_timeout(handle, static_cast<int>(patience.count())));
}

void Database::run(const std::string& statements) {
  if (good()) check(sqlite3_exec(handle_.get(), statements.c_str(), nullptr, nullptr, nullptr));
}

std::int64_t Database::number(const std::string& statement) {
  Statement query(*this, statement);
  return query.step() ? query.number(0) : 0;
}

std::string Database::text(const std::string& statement) {
  Statement query(*this, statement);
  return query.step() ? query.text(0) : "";
}

std::int64_t Database::last_id() const { return sqlite3_last_insert_rowid(handle_.get()); }

void Database::tidy_on_close(bool may) {
  if (good()) check(sqlite3_db_config(handle_.get(), SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, may ? 0 : 1, nullptr));
}

void Database::fail(Failure error) {
  if (good()) error_ = std::move(error);
}

void Database::check(int code) {
  if (code == SQLITE_OK || code == SQLITE_ROW || code == SQLITE_DONE) return;
  const int kind = code & 0xFF;
  if (kind == SQLITE_NOMEM) throw std::bad_alloc();
  // A text or number where the schema has none of them is damage too.
  if (kind == SQLITE_CORRUPT || kind == SQLITE_NOTADB || kind == SQLITE_FORMAT)
    return fail_damaged("its content is inconsistent");
  fail(failure_of_code(code, file_));
}

void Database::fail_damaged(const std::string& what) {
  fail(record_refused(fmt::format("{} is damaged: {}; it was left as it is", file_.string(), what),
                      fmt::format("move it and any {0}-wal to a safe place, then: romanesca student import BACKUP.json",
                                  file_.filename().string())));
}

Statement::Statement(Database& database, std::string_view text) : database_(database) {
  if (!database.good()) return;
  sqlite3_stmt* statement = nullptr;
  const int code =
      sqlite3_prepare_v2(database.handle(), text.data(), static_cast<int>(text.size()), &statement, nullptr);
  statement_.reset(statement);
  database.check(code);
}

bool Statement::step() {
  if (!database_.good()) return false;
  const int code = sqlite3_step(statement_.get());
  database_.check(code);
  return code == SQLITE_ROW;
}

std::int64_t Statement::number(int column) const {
  return statement_ ? sqlite3_column_int64(statement_.get(), column) : 0;
}

std::optional<std::int64_t> Statement::number_or_none(int column) const {
  if (!statement_ || sqlite3_column_type(statement_.get(), column) == SQLITE_NULL) return std::nullopt;
  return number(column);
}

std::string Statement::text(int column) const {
  if (!statement_) return {};
  const unsigned char* const bytes = sqlite3_column_text(statement_.get(), column);
  if (bytes == nullptr) return {};
  const auto* const begin = static_cast<const char*>(static_cast<const void*>(bytes));
  return {begin, static_cast<std::size_t>(sqlite3_column_bytes(statement_.get(), column))};
}

void Statement::bind(std::int64_t value) {
  if (database_.good()) database_.check(sqlite3_bind_int64(statement_.get(), ++bound_, value));
}

void Statement::bind(std::string_view value) {
  if (!database_.good()) return;
  database_.check(sqlite3_bind_text64(statement_.get(), ++bound_, value.data(), value.size(),
                                      SQLITE_TRANSIENT,  // NOLINT: SQLite's own cast
                                      SQLITE_UTF8));
}

void Statement::bind(const std::optional<std::int64_t>& value) {
  if (value) {
    bind(*value);
  } else if (database_.good()) {
    database_.check(sqlite3_bind_null(statement_.get(), ++bound_));
  }
}

Transaction::Transaction(Database& database) : database_(database) { database.run("BEGIN IMMEDIATE"); }

Transaction::~Transaction() {
  if (open_) sqlite3_exec(database_.handle(), "ROLLBACK", nullptr, nullptr, nullptr);
}

void Transaction::commit() {
  database_.run("COMMIT");
  open_ = !database_.good();
}

}  // namespace romanesca
