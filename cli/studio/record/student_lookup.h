#pragma once

#include <optional>
#include <string>

#include "cli/studio/record/store.h"

namespace romanesca {

// Which student is meant, for every command that names one: by the whole name as it was written down, or by the id.

/// Empty if nobody has the name. An error for a name that several have, with their ids, levels and days.
[[nodiscard]] Result<std::optional<Student>> find_student(Store& store, const std::string& name);
/// The same; an error also for a name that nobody has, with the nearest one.
[[nodiscard]] Result<Student> student_named(Store& store, const std::string& name);

}  // namespace romanesca
