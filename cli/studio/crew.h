#pragma once

#include <cstddef>
#include <functional>
#include <string>

namespace romanesca {

/// Work in so many processes of our own, since not every library that draws stands several threads. Each takes the next
/// piece when it is free.
/// @param count pieces @param jobs 1 to 64; 1 works in this process @param work does a piece and says how it went, in
/// one line @param heard is told each line, in this process, as it comes
/// @return false where a process ended before its time; what it had in hand is not done then
[[nodiscard]] bool work_in_crew(std::size_t count, int jobs, const std::function<std::string(std::size_t)>& work,
                                const std::function<void(const std::string&)>& heard);

}  // namespace romanesca
