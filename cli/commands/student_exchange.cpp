#include <fmt/format.h>

#include <memory>

#include "cli/commands/student_action.h"
#include "cli/commands/write_output.h"
#include "cli/errors.h"
#include "cli/formats/record_export.h"
#include "cli/options.h"
#include "cli/studio/file_io.h"
#include "cli/studio/record/merge.h"
#include "cli/studio/record/record_json_reader.h"

namespace romanesca {
namespace {

struct ExportOptions {
  std::string name;
  CommonOptions common;
};

void run_export(const ExportOptions& options, Console& console) {
  const auto file = options.common.out_given({"json", "csv"});
  if (file && options.common.json) {
    throw Failure(ExitStatus::wrong_input, "--json answers on standard output, --out in a file",
                  "leave one of them out");
  }
  Store store = value_or_throw(Store::open(console.data));
  std::vector<StudentRecord> records;
  if (options.name.empty()) {
    records = value_or_throw(store.records());
  } else {
    const Student student = value_or_throw(student_named(store, options.name));
    records.push_back({student, value_or_throw(store.history(student.id)), value_or_throw(store.songs(student.id))});
  }
  const bool table = file && ending_of(*file) == "csv";
  const std::string text = table ? record_csv(records) : record_json(records);
  if (!file) {
    write_output(text, std::nullopt, console);
    return;
  }
  or_throw(write_file(*file, text, FileAccess::owner_only));
  write_output(fmt::format("{}  {} {}, readable only by you\n", *file, records.size(),
                           records.size() == 1 ? "student" : "students"),
               std::nullopt, console);
}

struct ImportOptions {
  std::string file;
  bool json = false;
};

/// Bytes; far more than the record of a whole career.
constexpr std::size_t longest_import = std::size_t{64} << 20U;

void run_import(const ImportOptions& options, Console& console) {
  const bool piped = options.file == "-";
  const std::string text =
      piped ? read_text(console.in, longest_import) : value_or_throw(read_text_file(options.file, longest_import));
  const auto incoming = value_or_throw(read_record_json(text, piped ? "standard input" : options.file, console.today));
  Store store = value_or_throw(Store::open(console.data));
  const Merge merge = merged(value_or_throw(store.records()), incoming);
  or_throw(store.put(merge.records));
  const nlohmann::ordered_json object{{"schema", 1}, {"imported", merge.report}};
  std::string lines;
  for (const std::string& line : merge.report) lines += line + "\n";
  if (lines.empty()) lines = "There are no students in that file.\n";
  write_output(options.json ? object.dump() + "\n" : lines, std::nullopt, console);
}

}  // namespace

std::function<void()> set_up_student_export(OptionParser& parser, Console& console) {
  auto options = std::make_shared<ExportOptions>();
  parser.add_option("name", options->name, "one student, by name or id; all if left out").value_name("NAME");
  options->common.add_out(parser, ".json or .csv; without it, JSON goes to standard output");
  options->common.add_json(parser);
  return [options, &console] { run_export(*options, console); };
}

std::function<void()> set_up_student_import(OptionParser& parser, Console& console) {
  auto options = std::make_shared<ImportOptions>();
  parser.add_option("file", options->file, "a .json file that student export has written, or - for standard input")
      .required()
      .value_name("FILE");
  parser.add_flag("--json", options->json, "answer as one JSON object");
  return [options, &console] { run_import(*options, console); };
}

}  // namespace romanesca
