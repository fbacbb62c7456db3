#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "cli/studio/record/student.h"

namespace romanesca {

/// {"id":1,"mark":"...","name":"Mira","level":3,"span":8,"keys":["C major"],"likes":["waltz"],"since":"2026-09-01",
/// "changed":"2026-11-20"}; span is null for that of the level.
[[nodiscard]] nlohmann::ordered_json student_json(const Student& student);
/// {"number":3,"date":"2026-11-20","kind":"done","exercise":"few-notes","key":"G major","level":3,"seed":7,
/// "choice":"B","about":2,"text":"..."}; empty members are left out.
[[nodiscard]] nlohmann::ordered_json entry_json(const Entry& entry);

/// {"title":"Paper Kite","version":2,"date":"2026-11-20","text":"title: Paper Kite\n..."}
[[nodiscard]] nlohmann::ordered_json song_version_json(const SongVersion& song);

/// The whole record, {"schema":1,"students":[...]}, each student with "entries" and, where there are any, "songs";
/// indented, with a line end.
[[nodiscard]] std::string record_json(const std::vector<StudentRecord>& records);

/// The record as a table for a spreadsheet: RFC 4180 with a line of headings, UTF-8. Songs are left out. A row for each
/// entry, with its student's columns; one row for a student without entries.
[[nodiscard]] std::string record_csv(const std::vector<StudentRecord>& records);

/// A cell, quoted where RFC 4180 asks for it. An apostrophe is put before text that a spreadsheet would run as a
/// formula: that begins with = + - @ or their full-width forms, also after blanks (from memory: OWASP, "CSV
/// Injection").
[[nodiscard]] std::string csv_cell(std::string_view text);

}  // namespace romanesca
