#pragma once

#include <cstddef>
#include <functional>
#include <string>

#include "theory/text/errors.h"

namespace romanesca {

/// How an item went: the number and the text are the caller's own.
struct ItemReport {
  std::size_t item = 0;
  int outcome = 0;
  std::string text;
};

/// Works through items in several processes, since pango and fontconfig are not thread-safe. Each process takes the
/// next item when it is free. Stops early after Ctrl-C.
/// @param count of items @param jobs processes, 1 to 64; 1 works in this process @param work does an item, in one of
/// the processes @param report is called with each report, in this process, as it comes
/// @return false where a process ended early and its item was not done; file_refused where none could be started
[[nodiscard]] Result<bool> run_in_processes(std::size_t count, int jobs,
                                            const std::function<ItemReport(std::size_t)>& work,
                                            const std::function<void(const ItemReport&)>& report);

}  // namespace romanesca
