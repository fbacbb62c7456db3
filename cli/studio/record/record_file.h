#pragma once

#include <chrono>
#include <filesystem>

#include "cli/studio/record/database.h"

namespace romanesca {

/// The newest form of the record's tables. Version 2 added uids, dates of change, numbered entries that answer
/// others, and the choice; version 3 songs with their versions.
inline constexpr int newest_schema = 3;
/// The application id that marks SQLite files of this program ("Roma" in ASCII).
inline constexpr int record_application_id = 0x526F6D61;

/// The version of the file's tables; 0 for a file without any.
[[nodiscard]] int schema_version(Database& database);

/// Brings the tables to the newest version, step by step, all steps or none. Does nothing where they have it. An error
/// stays in the database.
void migrate(Database& database);

/// The file of the record within the data folder.
inline constexpr const char* record_file_name = "record.db";

/// Opens the record in a folder, checked and brought to the newest schema. Makes what is not there: the folder, for its
/// owner alone (0700), and the file (0600), which appears whole or not at all. A file that is damaged, is another
/// program's or was made by a newer romanesca is left byte for byte as it is.
/// @return file_refused with the file and what to do otherwise
/// @param folder empty where the user has no data folder
/// @param patience how long to wait for other programs
[[nodiscard]] Result<Database> open_record(const std::filesystem::path& folder, std::chrono::milliseconds patience);

}  // namespace romanesca
