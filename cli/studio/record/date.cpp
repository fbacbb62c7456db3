#include "cli/studio/record/date.h"

#include <fmt/format.h>

#include <ctime>

namespace romanesca {

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
  return Failure(ExitStatus::wrong_input, fmt::format("{}: \"{}\" is no date", option, text),
                 "write year, month and day, like 2026-11-20");
}

Date local_date() {
  const std::time_t now = std::time(nullptr);
  std::tm local{};
  localtime_r(&now, &local);
  return {std::chrono::year(local.tm_year + 1900), std::chrono::month(static_cast<unsigned>(local.tm_mon + 1)),
          std::chrono::day(static_cast<unsigned>(local.tm_mday))};
}

}  // namespace romanesca
