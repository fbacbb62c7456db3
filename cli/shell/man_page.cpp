#include "cli/shell/man_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <sstream>

#include "cli/play/play_action.h"
#include "synth/live/live_piece.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

/// Text as man(7) needs it: no sign of it is taken for a request, dashes stay what one types.
std::string plain(const std::string& text) {
  std::string result;
  for (const char c : text) {
    if (c == '\\') {
      result += "\\e";
    } else if (c == '-') {
      result += "\\-";
    } else if (c == '\'') {
      result += "\\(aq";
    } else {
      result += c;
    }
  }
  return result.starts_with('.') ? "\\&" + result : result;
}

std::string bold(const std::string& text) { return "\\fB" + plain(text) + "\\fR"; }
std::string italic(const std::string& text) { return "\\fI" + plain(text) + "\\fR"; }

std::string upper(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(), &capital);
  return text;
}

std::string heading(const std::string& page, const std::string& version, const std::string& date) {
  return fmt::format(".\\\" Made by romanesca from its own commands; edit those.\n.TH {} 1 {} \"romanesca {}\"\n",
                     upper(page), date, version);
}

std::string synopsis(const std::string& called, const CommandDescription& command) {
  std::string line = bold(called) + " [" + italic("options") + "]";
  for (const OptionDescription& option : command.options) {
    if (!option.is_word()) continue;
    const std::string word = italic(option.name) + (option.repeats ? " ..." : "");
    line += option.required ? " " + word : " [" + word + "]";
  }
  return line + "\n";
}

std::string entry(const OptionDescription& option) {
  std::string text = ".TP\n";
  if (option.is_word()) {
    text += italic(option.name) + (option.repeats ? " ..." : "");
  } else {
    text += (option.also.empty() ? "" : bold(option.also) + ", ") + bold(option.name);
    if (!option.value.empty()) text += " " + italic(option.value);
  }
  text += "\n" + plain(option.description);
  return text + (option.repeats && !option.is_word() ? "; may be given several times\n" : "\n");
}

std::string entries(const CommandDescription& command) {
  std::string text;
  for (const OptionDescription& option : command.options) text += entry(option);
  return text;
}

std::string examples(const std::string& lines) {
  std::string text = ".nf\n";
  std::istringstream in(lines);
  for (std::string line; std::getline(in, line);) {
    text += plain(line.substr(std::min(line.find_first_not_of(' '), line.size()))) + "\n";
  }
  return text + ".fi\n";
}

std::string exit_status() {
  return ".SH EXIT STATUS\n"
         ".TP\n0\ndone\n"
         ".TP\n2\nthe command line or the music text is wrong\n"
         ".TP\n3\na file or the disk refused\n"
         ".TP\n4\na device or port refused or vanished\n"
         ".TP\n70\na fault of the program itself\n"
         ".TP\n130\ninterrupted\n";
}

/// The keys of play's screen, and the names by which foot switches learn the same.
std::string live_keys() {
  std::string text =
      ".SH KEYS\nWhile the band plays. Changes of key and style come at the next bar, or at once. In brackets: "
      "the action for \\fB\\-\\-learn\\fR.\n";
  for (const PlayActionRow& row : play_actions()) {
    text += ".TP\n" + bold(std::string(row.keys)) + "\n" + plain(std::string(row.description)) + " [" +
            plain(std::string(row.word)) + "]\n";
  }
  return text;
}

std::string midi_channels() {
  constexpr std::array<std::string_view, 9> pitched{"keys",    "bass",  "organ", "guitar", "pad",
                                                    "strings", "guide", "call",  "tune"};
  std::string text = ".SH MIDI CHANNELS\nOn a MIDI port: ";
  for (const std::string_view part : pitched) text += fmt::format("{} {}, ", part, live_channel_of(part, false) + 1);
  text += fmt::format("drums and metronome {}.\n", live_channel_of("drums", true) + 1);
  return text + "An instrument that was switched off goes on at the right place when it is back.\n";
}

}  // namespace

std::string man_page(const std::vector<CommandDescription>& commands, const std::string& version,
                     const std::string& date) {
  std::string text = heading("romanesca", version, date);
  text += ".SH NAME\nromanesca \\- teaching music through chords\n.SH SYNOPSIS\n";
  text +=
      bold("romanesca") + " " + italic("command") + " ...\n.br\n" + bold("romanesca") + " " + bold("--version") + "\n";
  text +=
      ".SH DESCRIPTION\nCharts, analysis, backing tracks, exercises and a record of students, for piano teachers.\n";
  text += ".PP\n" + plain(
                        "A progression is text: chords (\"C Am F G\"), Roman numerals (\"I vi IV V\") or numbers "
                        "(\"1 6m 4 5\"), in quotes, in a file, or by its name in the library.");
  text += "\n.SH COMMANDS\n";
  for (const CommandDescription& command : commands) {
    text += ".TP\n" + bold(command.name) + "\n" + plain(command.description) + "; see\n.BR " +
            plain("romanesca-" + command.name) + " (1)\n";
  }
  text += exit_status();
  text +=
      ".SH ENVIRONMENT\n"
      ".TP\n.B XDG_CONFIG_HOME\nthe folder in which romanesca/styles/ holds your own styles and romanesca/levels.toml "
      "your own levels; ~/.config without it\n"
      ".TP\n.B XDG_DATA_HOME\nthe folder in which romanesca/record.db holds the record of students; ~/.local/share "
      "without it\n"
      ".TP\n.B NO_COLOR\nno colour on the terminal\n"
      ".TP\n.B ROMANESCA_DEBUG\n1 shows the reason of a fault of the program itself, for its authors\n"
      ".SH FILES\n.TP\n.I ~/.local/share/romanesca/record.db\nthe record of students\n"
      ".SH SEE ALSO\nIn the documentation folder of romanesca: demo/TEACHERS.md, a week with two students, and "
      "demo/REFERENCE.md, on how songs are written, limits and the record.\n";
  return text;
}

std::string man_page(const CommandDescription& command, const std::string& version, const std::string& date) {
  const std::string page = "romanesca-" + command.name;
  const std::string called = "romanesca " + command.name;
  std::string text = heading(page, version, date);
  text += ".SH NAME\n" + plain(page) + " \\- " + plain(command.description) + "\n.SH SYNOPSIS\n";
  if (command.actions.empty()) text += synopsis(called, command);
  for (const CommandDescription& action : command.actions) {
    if (&action != &command.actions.front()) text += ".br\n";
    text += synopsis(called + " " + action.name, action);
  }
  if (!command.also.empty()) text += ".PP\n" + bold("romanesca " + command.also) + " is the same command.\n";
  text += ".SH OPTIONS\n" + entries(command);
  if (!command.actions.empty()) text += ".SH ACTIONS\n";
  for (const CommandDescription& action : command.actions) {
    text += ".SS " + plain(action.name) + "\n" + plain(action.description) + ".\n" + entries(action) + ".PP\n" +
            examples(action.examples);
  }
  if (command.name == "play") text += live_keys() + midi_channels();
  text += ".SH EXAMPLES\n" + examples(command.examples) + exit_status();
  text += ".SH SEE ALSO\n.BR romanesca (1)\n";
  return text;
}

}  // namespace romanesca
