#pragma once

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "theory/text/errors.h"

struct sqlite3;
struct sqlite3_stmt;

namespace romanesca {

/// The record's file, or its folder, cannot be used (file_refused).
[[nodiscard]] Failure record_refused(const std::string& message, const std::string& hint);

/// An open SQLite file. The first error stays: damage, a full disk, a folder without the right to write, another
/// program that keeps the file busy. After it all operations do nothing, and reading gives zeros and empty texts, so
/// that a caller asks for error() once, at the end.
class Database {
 public:
  /// Opens a file that exists, for reading and writing. Changes nothing in it.
  /// @param patience how long to wait for other programs before giving up
  Database(const std::filesystem::path& file, std::chrono::milliseconds patience);

  /// Runs statements that take no values and whose answer does not matter.
  void run(const std::string& statements);
  /// The first column of the one row that a statement answers.
  [[nodiscard]] std::int64_t number(const std::string& statement);
  [[nodiscard]] std::string text(const std::string& statement);
  [[nodiscard]] std::int64_t last_id() const;
  /// Whether closing the file may move what the log holds into it (yes, unless switched off).
  void tidy_on_close(bool may);

  [[nodiscard]] const std::filesystem::path& file() const noexcept { return file_; }
  [[nodiscard]] sqlite3* handle() const noexcept { return handle_.get(); }
  /// The first error (file_refused), or nothing. Throws std::bad_alloc where memory ran out.
  [[nodiscard]] const std::optional<Failure>& error() const noexcept { return error_; }
  [[nodiscard]] bool good() const noexcept { return !error_; }
  /// Keeps what SQLite's result code means; the codes of success are ignored.
  void check(int code);
  /// Keeps an error, if it is the first.
  void fail(Failure error);
  /// Keeps that the file is damaged.
  void fail_damaged(const std::string& what);
  /// The value, or the error.
  template <typename T>
  [[nodiscard]] Result<T> result(T value) const {
    if (error_) return *error_;
    return value;
  }

 private:
  struct Close {
    void operator()(sqlite3* handle) const noexcept;
  };
  std::filesystem::path file_;
  std::unique_ptr<sqlite3, Close> handle_;
  std::optional<Failure> error_;
};

/// One statement with its values. A column is read after step() said that there is a row.
class Statement {
 public:
  Statement(Database& database, std::string_view text);

  /// Binds the next values in the order of the question marks.
  template <typename... Values>
  Statement& with(const Values&... values) {
    (bind(values), ...);
    return *this;
  }
  /// @return whether there is a (further) row; false after an error
  bool step();

  [[nodiscard]] std::int64_t number(int column) const;
  [[nodiscard]] std::optional<std::int64_t> number_or_none(int column) const;
  [[nodiscard]] std::string text(int column) const;

 private:
  void bind(std::int64_t value);
  void bind(int value) { bind(std::int64_t{value}); }
  void bind(std::string_view value);
  void bind(const std::string& value) { bind(std::string_view(value)); }
  void bind(const std::optional<std::int64_t>& value);

  struct Finalize {
    void operator()(sqlite3_stmt* statement) const noexcept;
  };
  Database& database_;
  std::unique_ptr<sqlite3_stmt, Finalize> statement_;  ///< empty after an error
  int bound_ = 0;
};

/// Everything until commit() happens whole or not at all; waits for others that write before it begins.
class Transaction {
 public:
  explicit Transaction(Database& database);
  ~Transaction();
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;
  void commit();

 private:
  Database& database_;
  bool open_ = true;
};

}  // namespace romanesca
