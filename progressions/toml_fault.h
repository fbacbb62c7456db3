#pragma once

// The one place of this folder that includes the TOML reader: its two switches must be the same everywhere.
#define TOML_EXCEPTIONS 0
#define TOML_HEADER_ONLY 1
#include <toml++/toml.h>

#include <string>
#include <utility>

#include "theory/text/data_text.h"
#include "theory/text/embedded_text.h"
#include "theory/text/errors.h"

namespace romanesca {

/// An error at a place of a data file.
[[nodiscard]] inline TextError toml_fault(const EmbeddedText& file, const toml::source_region& where,
                                          std::string message) {
  TextError error;
  error.source = std::string(file.name) + ".toml";
  error.place = {static_cast<int>(where.begin.line), static_cast<int>(where.begin.column), 1};
  error.message = std::move(message);
  return error;
}

/// The file's table, or what is wrong with it.
[[nodiscard]] inline Parsed<toml::table> parse_toml(const EmbeddedText& file) {
  const DataText data = read_data_text(file.text);
  if (data.fault) {
    TextError error = toml_fault(file, {}, std::string(data.fault->message));
    error.place = data.fault->place;
    return error;
  }
  toml::parse_result parsed = toml::parse(data.ascii);
  if (!parsed) return toml_fault(file, parsed.error().source(), "from here on this cannot be read");
  return std::move(parsed).table();
}

}  // namespace romanesca
