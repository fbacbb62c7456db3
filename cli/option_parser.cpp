#include "cli/option_parser.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <limits>

#include "theory/text/characters.h"
#include "theory/text/errors.h"
#include "theory/text/nearest_word.h"

namespace romanesca {
namespace {

[[noreturn]] void refuse(const std::string& message, const std::string& hint) {
  throw Failure(ExitStatus::wrong_input, message, hint);
}

std::string with_dashes(const CLI::Option& option) { return "--" + option.get_lnames().front(); }

/// "--repeat N: how often through, 1 to 200"
std::string as_in_help(const CLI::Option& option) {
  if (option.get_description().empty()) return "--help shows the options and examples";  // an older name
  return fmt::format("{} {}: {}", with_dashes(option), option.get_type_name(), option.get_description());
}

bool is_whole(std::string_view text) {
  if (text.starts_with('-') || text.starts_with('+')) text.remove_prefix(1);
  return !text.empty() && std::all_of(text.begin(), text.end(), &is_digit);
}

/// An unknown action as the first word of a command with actions.
[[noreturn]] void refuse_action(const CLI::App& app, const std::string& name,
                                const std::vector<std::string>& arguments) {
  std::vector<std::string> actions;
  for (const CLI::App* action : app.get_subcommands({})) actions.push_back(action->get_name());
  const std::string all = fmt::format("choose one of {}", fmt::join(actions, ", "));
  if (arguments.empty()) refuse(name + " needs to know what to do", all);
  const auto near = nearest_word(arguments.front(), actions);
  refuse(fmt::format("{} does not know \"{}\"", name, arguments.front()),
         near ? fmt::format("did you mean romanesca {} {}?", name, *near) : all);
}

/// A required option or argument that is missing.
[[noreturn]] void refuse_missing(const CLI::App& app, const std::string& name, const std::string& help) {
  for (const CLI::Option* option : app.get_options()) {
    if (!option->get_required() || option->count() > 0 || option->get_single_name() == "progression") continue;
    refuse(fmt::format("{} needs the {}", name, option->get_single_name()), help);
  }
  refuse(fmt::format("{} needs a progression", name), "give chords in quotes, a file, or the name of a pattern");
}

/// An unknown option, or one argument too many.
[[noreturn]] void refuse_extras(const CLI::App& app, const CLI::App& whole, const std::string& name,
                                const std::vector<std::string>& known, const std::string& help) {
  const std::vector<std::string> extras = whole.remaining(true);
  for (const std::string& argument : extras) {
    const std::string option = argument.substr(0, argument.find('='));
    if (!option.starts_with("-") || option == "-") continue;
    const auto near = nearest_word(option.substr(std::min(option.find_first_not_of('-'), option.size())), known);
    refuse(fmt::format("{} has no option {}", name, option), near ? fmt::format("did you mean --{}?", *near) : help);
  }
  const auto options = app.get_options();
  const auto takes = [&](const char* word) {
    return std::any_of(options.begin(), options.end(), [&](const auto* each) { return each->get_name() == word; });
  };
  const bool any_words =
      std::any_of(options.begin(), options.end(), [](const auto* each) { return each->get_positional(); });
  refuse(
      extras.empty() ? "there is one word too many" : fmt::format("there is one word too many: \"{}\"", extras.front()),
      takes("progression") ? "put the chords in quotes, like \"C Am F G\""
      : any_words          ? "put words that belong together in quotes"
                           : help);
}

/// "--plain=yes" for an option without a value.
void refuse_flag_with_value(const CLI::App& app, const std::vector<std::string>& arguments) {
  for (const std::string& argument : arguments) {
    const std::size_t equals = argument.find('=');
    if (!argument.starts_with("--") || equals == std::string::npos) continue;
    const CLI::Option* option = app.get_option_no_throw(argument.substr(0, equals));
    if (option == nullptr || option->get_items_expected_max() != 0) continue;
    refuse(fmt::format("{} takes no value", with_dashes(*option)), "write it alone, or leave it out");
  }
}

/// An argument that names an option with a value, and that value.
struct Given {
  CLI::Option* option;
  std::optional<std::string> value;
};

std::vector<Given> given_options(CLI::App& app, const std::vector<std::string>& arguments) {
  std::vector<Given> given;
  for (std::size_t i = 0; i < arguments.size(); ++i) {
    if (!arguments[i].starts_with("--")) continue;
    const std::size_t equals = arguments[i].find('=');
    CLI::Option* const option = app.get_option_no_throw(arguments[i].substr(0, equals));
    if (option == nullptr || option->get_items_expected_max() == 0) continue;
    const bool next = i + 1 < arguments.size() && !arguments[i + 1].starts_with("--");
    given.push_back({option, equals != std::string::npos ? std::optional(arguments[i].substr(equals + 1))
                             : next                      ? std::optional(arguments[i + 1])
                                                         : std::nullopt});
  }
  return given;
}

/// Whether the text given to the option cannot be converted to its type. The library's error names the option only in
/// its message.
bool cannot_convert(CLI::Option& option) {
  try {
    option.run_callback();
    return false;
  } catch (const CLI::ConversionError&) {
    return true;
  }
}

[[noreturn]] void refuse_number(const Given& given) {
  const std::string type = given.option->get_type_name();
  const bool fraction = type == "LUFS" || type == "BPM" || type == "MS";  // which need not be whole
  const std::string name = with_dashes(*given.option);
  if (is_whole(*given.value))
    refuse(fmt::format("{}: {} is out of range", name, *given.value), as_in_help(*given.option));
  refuse(fmt::format("{}: \"{}\" is not a {}number", name, *given.value, fraction ? "" : "whole "),
         as_in_help(*given.option));
}

/// Reports a command line that the library refused. @param whole the command's parser, after it has thrown the error
[[noreturn]] void refuse_options(const CLI::ParseError& error, CLI::App& whole, const std::string& command,
                                 const std::vector<std::string>& arguments) {
  const auto is = [&](CLI::ExitCodes code) { return error.get_exit_code() == static_cast<int>(code); };
  const auto actions = whole.get_subcommands();
  CLI::App& app = actions.empty() ? whole : *actions.back();
  const std::string name = command + (actions.empty() ? "" : " " + app.get_name());
  if (!app.get_subcommands({}).empty()) refuse_action(app, name, arguments);
  const std::string help = fmt::format("romanesca {} --help shows the options and examples", name);
  std::vector<std::string> known;
  for (const CLI::Option* option : app.get_options()) {
    for (const std::string& word : option->get_lnames()) known.push_back(word);
  }
  if (is(CLI::ExitCodes::ExtrasError)) refuse_extras(app, whole, name, known, help);
  if (is(CLI::ExitCodes::RequiredError)) refuse_missing(app, name, help);
  for (const Given& given : given_options(app, arguments)) {
    if (is(CLI::ExitCodes::ConversionError) && given.value && cannot_convert(*given.option)) refuse_number(given);
    if (!is(CLI::ExitCodes::ArgumentMismatch)) continue;
    if (!given.value) refuse(fmt::format("{} needs a value", with_dashes(*given.option)), as_in_help(*given.option));
    if (static_cast<int>(given.option->count()) > given.option->get_items_expected_max()) {
      refuse(fmt::format("{} is given {} times", with_dashes(*given.option), given.option->count()), "give it once");
    }
  }
  refuse_flag_with_value(app, arguments);
  refuse(fmt::format("the options of {} do not fit together", name), help);
}

/// Throws Failure for an option with an empty value where it would count as not given.
void check_values(const CLI::App& app) {
  for (const CLI::Option* option : app.get_options()) {
    const std::string kind = option->get_type_name();
    if (option->get_positional() || option->get_lnames().empty() || kind == "KEYS" || kind == "WORDS") continue;
    const auto& values = option->results();
    if (option->get_items_expected_max() == 0 || std::find(values.begin(), values.end(), "") == values.end()) continue;
    refuse(fmt::format("{}: its value is empty", with_dashes(*option)), "give one, or leave the option out");
  }
  for (const CLI::App* action : app.get_subcommands()) check_values(*action);
}

constexpr std::string_view examples_heading = "Examples:\n";

OptionDescription described(const CLI::Option& option) {
  OptionDescription result;
  if (option.nonpositional()) {
    result.name = option.get_lnames().empty() ? "-" + option.get_snames().front() : "--" + option.get_lnames().front();
    if (!option.get_lnames().empty() && !option.get_snames().empty()) result.also = "-" + option.get_snames().front();
  } else {
    result.name = option.get_name(true);
  }
  const bool takes_value = option.get_items_expected_max() > 0;
  if (takes_value) result.value = option.get_type_name();
  result.description = option.get_description();
  result.required = option.get_required();
  result.repeats = takes_value && option.get_items_expected_max() > 1;
  return result;
}

CommandDescription described(const CLI::App& app, std::string name) {
  CommandDescription result;
  result.name = std::move(name);
  result.description = app.get_description();
  const std::string footer = app.get_footer();
  result.examples = footer.starts_with(examples_heading) ? footer.substr(examples_heading.size()) : footer;
  for (const CLI::Option* option : app.get_options()) {
    if (!option->get_group().empty()) result.options.push_back(described(*option));
  }
  std::stable_partition(result.options.begin(), result.options.end(),
                        [](const OptionDescription& option) { return option.is_word(); });
  for (const CLI::App* action : app.get_subcommands({})) {
    result.actions.push_back(described(*action, action->get_name()));
  }
  return result;
}

}  // namespace

OptionParser::Option& OptionParser::Option::value_name(const std::string& name) {
  option_->type_name(name);
  return *this;
}

void OptionParser::Option::hidden() { option_->group(""); }

OptionParser::Option& OptionParser::Option::required(bool is) {
  option_->required(is);
  return *this;
}

OptionParser::Option& OptionParser::Option::refuse_zero(const std::string& range) {
  option_->each([option = option_, range](const std::string& text) {
    if (!is_whole(text) || text.find_first_of("123456789") != std::string::npos) return;
    refuse(fmt::format("{}: 0 is out of range", with_dashes(*option)), range);
  });
  return *this;
}

OptionParser::Option& OptionParser::Option::check_seed() {
  option_->each([option = option_](const std::string& text) {
    if (!is_whole(text)) return;
    const std::size_t digits = std::min(text.find_first_not_of('0'), text.size());
    const std::string number = text.substr(digits);
    const std::string most = fmt::to_string(std::numeric_limits<std::uint64_t>::max());
    if (!text.starts_with('-') && (number.size() < most.size() || (number.size() == most.size() && number <= most)))
      return;
    refuse(fmt::format("{}: {} is out of range", with_dashes(*option), text), fmt::format("choose 0 to {}", most));
  });
  return *this;
}

OptionParser::OptionParser(const std::string& name, const std::string& summary, const std::string& examples)
    : app_(std::make_shared<CLI::App>(summary, name)) {
  app_->footer(std::string(examples_heading) + examples);
}

OptionParser::OptionParser(std::shared_ptr<CLI::App> app) noexcept : app_(std::move(app)) {}

template <typename Value>
OptionParser::Option OptionParser::add_option(const std::string& name, Value& value, const std::string& description) {
  return Option(app_->add_option(name, value, description));
}

#define ROMANESCA_OPTION_OF(...) \
  template OptionParser::Option OptionParser::add_option(const std::string&, __VA_ARGS__&, const std::string&)
ROMANESCA_OPTION_OF(std::string);
ROMANESCA_OPTION_OF(int);
ROMANESCA_OPTION_OF(double);
ROMANESCA_OPTION_OF(std::uint32_t);
ROMANESCA_OPTION_OF(std::uint64_t);
ROMANESCA_OPTION_OF(std::optional<std::string>);
ROMANESCA_OPTION_OF(std::optional<int>);
ROMANESCA_OPTION_OF(std::optional<double>);
ROMANESCA_OPTION_OF(std::optional<std::uint64_t>);
ROMANESCA_OPTION_OF(std::optional<std::int64_t>);
ROMANESCA_OPTION_OF(std::vector<std::string>);
#undef ROMANESCA_OPTION_OF

void OptionParser::add_flag(const std::string& name, bool& value, const std::string& description) {
  app_->add_flag(name, value, description);
}

void OptionParser::add_flag_everywhere(const std::string& name, bool& value, const std::string& description) {
  const auto actions = app_->get_subcommands({});
  if (actions.empty()) app_->add_flag(name, value, description);
  for (CLI::App* action : actions) action->add_flag(name, value, description);
}

OptionParser OptionParser::add_action(const std::string& name, const std::string& summary,
                                      const std::string& examples) {
  auto action = std::make_shared<CLI::App>(summary, name);
  action->footer(std::string(examples_heading) + examples);
  app_->add_subcommand(action);
  app_->require_subcommand(1);
  return OptionParser(std::move(action));
}

std::optional<std::string> OptionParser::parse(const std::string& command, const std::vector<std::string>& arguments) {
  std::vector<std::string> reversed(arguments.rbegin(), arguments.rend());
  try {
    app_->parse(reversed);
  } catch (const CLI::CallForHelp&) {
    return app_->help();
  } catch (const CLI::ParseError& error) {
    refuse_options(error, *app_, command, arguments);
  }
  check_values(*app_);
  return std::nullopt;
}

bool OptionParser::given(const std::string& option) const { return app_->count(option) > 0; }

bool OptionParser::given() const { return app_->parsed(); }

CommandDescription OptionParser::description(const std::string& name) const { return described(*app_, name); }

}  // namespace romanesca
