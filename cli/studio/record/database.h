#pragma once

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

struct sqlite3;
struct sqlite3_stmt;

namespace romanesca {

/// Throws Failure (file_refused): the record's file, or its folder, does not let itself be used.
[[noreturn]] void refuse_record(const std::string& message, const std::string& hint);

/// An open SQLite file. What SQLite refuses is thrown as Failure (file_refused) with the file and the way out: damage,
/// a full disk, a folder that may not be written, another program that does not let go.
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
  /// Throws what SQLite's result code means; the codes of success are ignored.
  void check(int code) const;
  /// Throws that the file is damaged.
  [[noreturn]] void refuse_damage(const std::string& what) const;

 private:
  struct Close {
    void operator()(sqlite3* handle) const noexcept;
  };
  std::filesystem::path file_;
  std::unique_ptr<sqlite3, Close> handle_;
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
  /// @return whether there is a (further) row.
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
  std::unique_ptr<sqlite3_stmt, Finalize> statement_;
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
