#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "cli/studio/record/student.h"

namespace romanesca {

/// The record as a table for a spreadsheet: RFC 4180 with a line of headings, UTF-8. A row for each entry, with its
/// student's columns; one row for a student without entries.
[[nodiscard]] std::string record_csv(const std::vector<StudentRecord>& records);

/// A cell, quoted where RFC 4180 asks for it. An apostrophe goes before text that a spreadsheet would run as a formula:
/// that begins with = + - @ or their full-width forms, also after blanks (from memory: OWASP, "CSV Injection").
[[nodiscard]] std::string csv_cell(std::string_view text);

}  // namespace romanesca
