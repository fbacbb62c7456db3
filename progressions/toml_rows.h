#pragma once

#include <algorithm>
#include <iterator>
#include <span>
#include <string_view>
#include <utility>
#include <vector>

#include "progressions/toml_fault.h"

namespace romanesca {

/// The tables of a file as rows, in the order of the file; or what is wrong with the first that is.
/// @param read makes a row: Parsed<Row> read(file, id, table)
template <typename Row, typename Read>
[[nodiscard]] Parsed<std::vector<Row>> read_rows(const EmbeddedText& file, Read read) {
  const auto parsed = parse_toml(file);
  if (!parsed) return parsed.error();
  // Tables come out in the order of their names; the file's own order is by line.
  std::vector<std::pair<std::string_view, const toml::table*>> tables;
  for (const auto& [id, node] : *parsed) {
    if (const toml::table* table = node.as_table()) tables.emplace_back(id.str(), table);
  }
  std::sort(tables.begin(), tables.end(),
            [](const auto& a, const auto& b) { return a.second->source().begin.line < b.second->source().begin.line; });
  std::vector<Row> rows;
  for (const auto& [id, table] : tables) {
    auto row = read(file, id, *table);
    if (!row) return row.error();
    rows.push_back(std::move(*row));
  }
  return rows;
}

/// The rows of all files. A file with a fault adds nothing; the tests read every file and would have refused it.
template <typename Row, typename ReadFile>
[[nodiscard]] std::vector<Row> rows_of(std::span<const EmbeddedText> files, ReadFile read_file) {
  std::vector<Row> all;
  for (const EmbeddedText& file : files) {
    if (auto read = read_file(file)) std::move(read->begin(), read->end(), std::back_inserter(all));
  }
  return all;
}

}  // namespace romanesca
