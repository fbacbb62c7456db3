#include "cli/studio/roster.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <set>

#include "cli/studio/file_io.h"
#include "cli/studio/name_for_file.h"
#include "theory/text/characters.h"
#include "theory/text/nearest_word.h"

namespace romanesca {
namespace {

constexpr std::size_t longest_roster = std::size_t{4} << 20U;
constexpr std::array<std::string_view, 9> columns{"student", "song",     "key",  "level",   "tempo",
                                                  "style",   "exercise", "seed", "greeting"};

struct RosterRow {
  int line = 1;
  std::vector<std::string> fields;
};

/// The file's name, and the first error in it.
struct RosterSource {
  std::string path;
  std::optional<Failure> error{};
  void fail(int line, const std::string& why, const std::string& hint) {
    if (!error) error = Failure(ExitStatus::wrong_input, fmt::format("{}:{}: {}", path, line, why), hint);
  }
};

/// Spreadsheets of countries with a decimal comma part fields by semicolons (common practice, no source).
char separator_of(const std::string& text) {
  const std::string first = text.substr(0, text.find('\n'));
  for (const char other : {';', '\t'}) {
    if (first.find(other) != std::string::npos && first.find(',') == std::string::npos) return other;
  }
  return ',';
}

/// The fields of all lines; a field in quotes may hold separators, line ends and doubled quotes.
std::vector<RosterRow> rows_of(const std::string& text, RosterSource& source) {
  std::vector<RosterRow> rows;
  const char separator = separator_of(text);
  int line = 1;
  RosterRow row;
  std::string field;
  bool quoted = false;
  const auto end_row = [&] {
    row.fields.push_back(std::move(field));
    field.clear();
    if (row.fields.size() > 1 || !row.fields.front().empty()) rows.push_back(std::move(row));
    row = {line, {}};
  };
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (c == '\n') ++line;
    if (quoted) {
      if (c != '"') {
        field += c;
      } else if (i + 1 < text.size() && text[i + 1] == '"') {
        field += c;
        ++i;
      } else {
        quoted = false;
      }
    } else if (c == '"' && field.empty()) {
      quoted = true;
    } else if (c == separator) {
      row.fields.push_back(std::move(field));
      field.clear();
    } else if (c == '\n') {
      end_row();
    } else if (c != '\r') {
      field += c;
    }
  }
  if (quoted) source.fail(row.line, "a quote is opened and never closed", "close it with another \"");
  if (!field.empty() || !row.fields.empty()) end_row();
  return rows;
}

std::vector<std::string> header(const RosterRow& row, RosterSource& source) {
  std::vector<std::string> names;
  for (const std::string& field : row.fields) {
    std::string name = small_letters(field);
    if (name.starts_with("\xEF\xBB\xBF")) name.erase(0, 3);
    if (std::find(columns.begin(), columns.end(), name) == columns.end()) {
      const auto near = nearest_word(name, std::vector<std::string>(columns.begin(), columns.end()));
      source.fail(
          row.line, fmt::format("unknown column \"{}\"", name),
          near ? fmt::format("did you mean {}?", *near) : fmt::format("columns are {}", fmt::join(columns, ", ")));
    }
    names.push_back(name);
  }
  if (std::find(names.begin(), names.end(), "student") == names.end()) {
    source.fail(row.line, "there is no column student", fmt::format("columns are {}", fmt::join(columns, ", ")));
  }
  return names;
}

template <typename Number>
Number roster_number(const std::string& text, RosterSource& source, int line, const std::string& column) {
  Number value{};
  const auto read = std::from_chars(text.data(), text.data() + text.size(), value);
  if (read.ec != std::errc() || read.ptr != text.data() + text.size()) {
    source.fail(line, fmt::format("{}: \"{}\" is not a number", column, text), "write digits alone");
  }
  return value;
}

void put_field(const std::string& text, const std::string& name, RosterSource& source, RosterLine& line) {
  PacketRequest& request = line.request;
  if (name == "student") request.student = text;
  if (name == "song") request.progression = text;
  if (name == "key") request.key = text;
  if (name == "style") request.style = text;
  if (name == "exercise") request.exercise = text;
  if (name == "greeting") request.greeting = text;
  if (name == "level") request.level = roster_number<int>(text, source, line.line, name);
  if (name == "tempo") request.tempo_bpm = roster_number<int>(text, source, line.line, name);
  const bool zero = (name == "level" && request.level == 0) || (name == "tempo" && request.tempo_bpm == 0);
  if (zero) source.fail(line.line, name + ": 0 is out of range", "leave the field empty for the usual one");
  if (name == "seed") request.seed = roster_number<std::uint32_t>(text, source, line.line, name);
}

/// A name that no line before has: the second Mira is Mira-2.
std::string file_for(const std::string& student, std::set<std::string>& taken) {
  std::string name = name_for_file(student);
  if (name.empty()) name = "student";
  std::string file = name;
  for (int next = 2; !taken.insert(file).second; ++next) file = fmt::format("{}-{}", name, next);
  return file;
}

}  // namespace

Result<std::vector<RosterLine>> read_roster(const std::string& path) {
  const auto text = read_text_file(path, longest_roster);
  if (!text) return text.error();
  return read_roster_text(*text, path);
}

Result<std::vector<RosterLine>> read_roster_text(const std::string& text, const std::string& path) {
  RosterSource source{path};
  const std::vector<RosterRow> rows = rows_of(text, source);
  if (rows.empty()) source.fail(1, "the roster is empty", fmt::format("columns are {}", fmt::join(columns, ", ")));
  if (source.error) return *source.error;
  const std::vector<std::string> names = header(rows.front(), source);
  std::vector<RosterLine> lines;
  std::set<std::string> taken;
  for (auto row = rows.begin() + 1; row != rows.end() && !source.error; ++row) {
    RosterLine line;
    line.line = row->line;
    if (row->fields.size() > names.size()) {
      source.fail(row->line, "there are more fields than columns",
                  fmt::format("put texts with \"{}\" in quotes", separator_of(text)));
    }
    for (std::size_t i = 0; i < std::min(row->fields.size(), names.size()); ++i) {
      if (!row->fields[i].empty()) put_field(row->fields[i], names[i], source, line);
    }
    if (line.request.student.empty()) source.fail(row->line, "the student has no name", "write one, or initials");
    line.file = file_for(line.request.student, taken);
    lines.push_back(std::move(line));
  }
  if (lines.empty()) source.fail(2, "there is no student in the roster", "write one a line");
  if (source.error) return *source.error;
  return lines;
}

}  // namespace romanesca
