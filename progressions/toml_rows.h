#pragma once

#include <iterator>
#include <span>
#include <string_view>
#include <utility>
#include <vector>

#include "theory/text/toml.h"

namespace romanesca {

/// The tables of a file as rows, in the order of the file; or the first error.
/// @param read makes a row: Parsed<Row> read(file, id, table)
template <typename Row, typename Read>
[[nodiscard]] Parsed<std::vector<Row>> read_rows(const EmbeddedText& file, Read read) {
  const auto parsed = parse_toml(file);
  if (!parsed) return parsed.error();
  std::vector<Row> rows;
  for (const auto& [id, value] : parsed->entries()) {
    if (value.table() == nullptr) continue;
    auto row = read(file, id, *value.table());
    if (!row) return row.error();
    rows.push_back(std::move(*row));
  }
  return rows;
}

/// The rows of all files. A file with an error adds nothing; the tests read every file of the source tree.
template <typename Row, typename ReadFile>
[[nodiscard]] std::vector<Row> rows_of(std::span<const EmbeddedText> files, ReadFile read_file) {
  std::vector<Row> all;
  for (const EmbeddedText& file : files) {
    if (auto read = read_file(file)) std::move(read->begin(), read->end(), std::back_inserter(all));
  }
  return all;
}

}  // namespace romanesca
