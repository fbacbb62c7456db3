#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace CLI {  // NOLINT(readability-identifier-naming): the library's own name

class App;
class Option;

}  // namespace CLI

namespace romanesca {

/// An option or a word of a command, as its definition has it.
struct OptionDescription {
  std::string name;         ///< "--key"; "progression" for a word without dashes
  std::string also;         ///< a short form like "-h", or empty
  std::string value;        ///< placeholder of the value, like "KEY"; empty for a switch
  std::string description;  ///< one sentence
  bool required = false;
  bool repeats = false;  ///< may be given several times
  [[nodiscard]] bool is_word() const { return !name.starts_with('-'); }
};

/// A command or an action of one, as --help shows it; for manual pages and completions. Without hidden options.
struct CommandDescription {
  std::string name;
  std::string also;                        ///< a second spelling, or empty
  std::string description;                 ///< one line
  std::string examples;                    ///< lines
  std::vector<OptionDescription> options;  ///< the words without dashes first
  std::vector<CommandDescription> actions;
};

/// The options of a command, or of one of its actions: names, the variables that they set, help, and the messages for
/// a wrong command line. Only option_parser.cpp includes the library behind it (CLI11).
class OptionParser {
 public:
  /// An option that was added.
  class Option {
   public:
    explicit Option(CLI::Option* option) noexcept : option_(option) {}
    /// The placeholder of its value in --help: "BPM".
    Option& value_name(const std::string& name);
    /// Not in --help: the older name of another option.
    void hidden();
    /// The command cannot run without it.
    Option& required(bool is = true);
    /// For a variable that is 0 where the option is not given: 0 itself is refused. @param range what is allowed
    Option& refuse_zero(const std::string& range);
    /// For an unsigned number of 64 bits: a negative or larger one is refused, which the library would take for
    /// another.
    Option& check_seed();

   private:
    CLI::Option* option_;
  };

  /// @param name "romanesca render" @param summary one line @param examples lines
  OptionParser(const std::string& name, const std::string& summary, const std::string& examples);

  /// @param name "--tempo", or a word without dashes for an argument without a name @param value set by parse(); it has
  /// to live as long: std::string, int, double, std::uint32_t, std::uint64_t, an optional of these, std::int64_t or
  /// bool, or a vector of std::string, which may be given several times
  template <typename Value>
  Option add_option(const std::string& name, Value& value, const std::string& description = "");
  /// An option without a value.
  void add_flag(const std::string& name, bool& value, const std::string& description);
  /// The same for the command and all its actions, so after they are added.
  void add_flag_everywhere(const std::string& name, bool& value, const std::string& description);
  /// An action of the command, of which one has to be given.
  OptionParser add_action(const std::string& name, const std::string& summary, const std::string& examples);

  /// Sets the variables. Throws Failure (wrong_input) for a wrong command line; the library's own message is not
  /// shown. @param command its name, for messages
  /// @return the help text, if that was asked for
  [[nodiscard]] std::optional<std::string> parse(const std::string& command, const std::vector<std::string>& arguments);

  /// After parse(): whether the option, or this action, was given.
  [[nodiscard]] bool given(const std::string& option) const;
  [[nodiscard]] bool given() const;

  [[nodiscard]] CommandDescription description(const std::string& name) const;

 private:
  explicit OptionParser(std::shared_ptr<CLI::App> app) noexcept;
  std::shared_ptr<CLI::App> app_;
};

}  // namespace romanesca
