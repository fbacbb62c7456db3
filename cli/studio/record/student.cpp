#include "cli/studio/record/student.h"

#include <fmt/format.h>

#include <algorithm>
#include <ctime>
#include <set>

namespace romanesca {
namespace {

constexpr std::array<std::string_view, all_entry_kinds.size()> kind_names{"set", "done", "chosen", "missed", "note"};

}  // namespace

std::optional<Date> parse_date(std::string_view text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return std::nullopt;
  const auto number = [&](std::size_t from, std::size_t digits) {
    int value = 0;
    for (const char c : text.substr(from, digits))
      value = c < '0' || c > '9' || value < 0 ? -1 : 10 * value + (c - '0');
    return value;
  };
  const int year = number(0, 4);
  const int month = number(5, 2);
  const int day = number(8, 2);
  if (year < 1900 || year > 2999 || month < 1 || day < 1) return std::nullopt;
  const Date date{std::chrono::year(year), std::chrono::month(static_cast<unsigned>(month)),
                  std::chrono::day(static_cast<unsigned>(day))};
  return date.ok() ? std::optional(date) : std::nullopt;
}

std::string to_string(const Date& date) {
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()), static_cast<unsigned>(date.month()),
                     static_cast<unsigned>(date.day()));
}

Result<Date> date_given(const std::string& option, const std::string& text) {
  if (const auto date = parse_date(text)) return *date;
  return Failure(ExitStatus::wrong_input, fmt::format("{}: \"{}\" is not a date", option, text),
                 "write year, month and day, like 2026-11-20");
}

Date local_date() {
  const std::time_t now = std::time(nullptr);
  std::tm local{};
  localtime_r(&now, &local);
  return {std::chrono::year(local.tm_year + 1900), std::chrono::month(static_cast<unsigned>(local.tm_mon + 1)),
          std::chrono::day(static_cast<unsigned>(local.tm_mday))};
}

std::string_view to_string(EntryKind kind) { return kind_names[static_cast<std::size_t>(kind)]; }

std::optional<EntryKind> parse_entry_kind(std::string_view word) {
  const auto found = std::find(kind_names.begin(), kind_names.end(), word);
  if (found == kind_names.end()) return std::nullopt;
  return all_entry_kinds[static_cast<std::size_t>(found - kind_names.begin())];
}

std::vector<Entry> open_entries(const std::vector<Entry>& entries) {
  std::set<int> answered;
  for (const Entry& entry : entries) {
    if (entry.kind == EntryKind::done || entry.kind == EntryKind::missed) answered.insert(entry.about);
  }
  std::vector<Entry> open;
  for (const Entry& entry : entries) {
    const bool given = entry.kind == EntryKind::set || entry.kind == EntryKind::chosen;
    if (given && !answered.contains(entry.number)) open.push_back(entry);
  }
  return open;
}

std::uint64_t text_hash(std::string_view text) noexcept {
  std::uint64_t hash = 0xCBF29CE484222325U;
  for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 0x100000001B3U;
  return hash;
}

std::string uid_of(std::string_view name, const Date& since, std::int64_t id) {
  return fmt::format("{:016x}", text_hash(fmt::format("{}\n{}\n{}", name, to_string(since), id)));
}

std::string to_string(const std::vector<Key>& keys) {
  std::string text;
  for (const Key& key : keys) text += (text.empty() ? "" : ", ") + to_string(key);
  return text;
}

}  // namespace romanesca
