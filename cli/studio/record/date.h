#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

#include "theory/text/errors.h"

namespace romanesca {

/// A day of the calendar.
using Date = std::chrono::year_month_day;

/// Reads an ISO 8601 calendar date in the extended form, "2026-11-20", of the years 1900 to 2999; nothing for any
/// other text and for days that do not exist.
[[nodiscard]] std::optional<Date> parse_date(std::string_view text);
/// The same form. @param date one that exists.
[[nodiscard]] std::string to_string(const Date& date);

/// The date of an option, or an error with the form that is expected. @param option its name.
[[nodiscard]] Result<Date> date_given(const std::string& option, const std::string& text);

/// The date on this computer's calendar.
[[nodiscard]] Date local_date();

}  // namespace romanesca
