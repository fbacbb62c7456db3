#pragma once

#include <fstream>
#include <string>
#include <vector>

namespace romanesca::test {

/// The rows of a tab-separated reference table; lines with # at the start tell its source.
inline std::vector<std::vector<std::string>> reference_rows(const std::string& name) {
  std::ifstream file(std::string(SOURCE_ROOT) + "/tests/reference/" + name);
  std::vector<std::vector<std::string>> rows;
  for (std::string line; std::getline(file, line);) {
    if (line.starts_with("#")) continue;
    std::vector<std::string> cells(1);
    for (const char c : line) {
      if (c == '\t') {
        cells.emplace_back();
      } else {
        cells.back() += c;
      }
    }
    rows.push_back(std::move(cells));
  }
  return rows;
}

/// Words between blanks.
inline std::vector<std::string> words(const std::string& text) {
  std::vector<std::string> result;
  std::string word;
  for (const char c : text + " ") {
    if (c != ' ') {
      word += c;
    } else if (!word.empty()) {
      result.push_back(std::move(word));
      word.clear();
    }
  }
  return result;
}

}  // namespace romanesca::test
