#pragma once

#include "cli/studio/record/database.h"

namespace romanesca {

/// The newest form of the record's tables. Version 2 added uids, dates of change, numbered entries that answer
/// others, and the choice.
inline constexpr int newest_schema = 2;
/// Tells SQLite files of this program from others ("Roma" in ASCII), in the file's application id.
inline constexpr int record_application_id = 0x526F6D61;

/// The version of the file's tables; 0 for a file without any.
[[nodiscard]] int schema_version(Database& database);

/// Brings the tables to the newest version, step by step, all steps or none. Does nothing where they have it. An error
/// stays in the database.
void migrate(Database& database);

}  // namespace romanesca
