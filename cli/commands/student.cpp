#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <deque>
#include <memory>

#include "cli/commands/command_table.h"
#include "cli/commands/student_action.h"
#include "cli/errors.h"

namespace romanesca {
namespace {

constexpr std::array<StudentAction, 12> action_table{{
    {"add", "a new student",
     "  romanesca student add Mira --level 3 --keys \"C, G, F\" --likes \"pop, waltz\"\n"
     "  romanesca student add \"J. K.\" --span 8         initials tell less, if somebody else sees them\n",
     set_up_student_add},
    {"list", "all students",
     "  romanesca student list                         who is in the record, and since when nothing was written\n"
     "  romanesca student list --json\n",
     set_up_student_list},
    {"show", "one student: level, keys, what is open",
     "  romanesca student show Mira                    a look before the lesson\n"
     "  romanesca student show 2                       by id, where two have the same name\n",
     set_up_student_show},
    {"set", "changes what is known about a student",
     "  romanesca student set Mira --level 4\n"
     "  romanesca student set Mira --keys \"C, G, F, A minor\" --likes \"blues\"\n",
     set_up_student_set},
    {"note", "writes down what was set, done, chosen, missed or seen",
     "  romanesca student note Mira \"left hand alone was good\" --date 2026-11-20\n"
     "  romanesca student note Mira --set few-notes --key G   a task for home\n"
     "  romanesca student note Mira --done 3 \"twice as fast\"  number 3 of her history\n",
     set_up_student_note},
    {"history", "all that is written about a student",
     "  romanesca student history Mira\n"
     "  romanesca student history Mira --since 2026-09-01\n",
     set_up_student_history},
    {"next", "three things to choose from for the next lesson, with reasons",
     "  romanesca student next Mira                    known with a twist, a step further, a surprise\n"
     "  romanesca student next Mira --accept B --out sheet.pdf --out band.wav\n",
     set_up_student_next},
    {"progress", "what a student is sure of, what is growing, what comes next",
     "  romanesca student progress Mira                for you: with what is due\n"
     "  romanesca student progress Mira --out mira.html   a page for parents\n",
     set_up_student_progress},
    {"song", "keeps the songs that a student makes, with their earlier versions",
     "  romanesca student song Mira boats.txt          another version is kept, the earlier ones stay\n"
     "  romanesca student song Mira                    which songs there are\n"
     "  romanesca student song Mira --title boats --version 1 --out first.txt\n",
     set_up_student_song},
    {"export", "the record for a backup (.json) or a spreadsheet (.csv)",
     "  romanesca student export --out studio.json     all of it, to keep in a safe place\n"
     "  romanesca student export Mira --out mira.csv   what a parent has asked to see\n",
     set_up_student_export},
    {"import", "adds students and entries from an export",
     "  romanesca student import studio.json           on a new computer, or after a loss\n", set_up_student_import},
    {"remove", "removes a student and all that is written about them",
     "  romanesca student remove Mira                  asks for the name once more\n"
     "  romanesca student remove 2 --yes               asks nothing\n",
     set_up_student_remove},
}};

}  // namespace

std::span<const StudentAction> student_actions() { return action_table; }

std::function<void()> set_up_student(OptionParser& parser, Console& console) {
  struct Choice {
    OptionParser parser;
    std::function<void()> run;
  };
  auto choices = std::make_shared<std::deque<Choice>>();  // which stay where they are: run may look at its parser
  for (const StudentAction& action : action_table) {
    choices->push_back(
        {parser.add_action(std::string(action.name), std::string(action.summary), std::string(action.examples)), {}});
    choices->back().run = action.set_up(choices->back().parser, console);
  }
  return [choices] {
    for (const Choice& choice : *choices) {
      if (choice.parser.given()) choice.run();
    }
  };
}

void add_student_name(OptionParser& parser, std::string& name) {
  parser.add_option("name", name, "the student's name, or id where several have the same name")
      .required()
      .value_name("NAME");
}

void add_date(OptionParser& parser, std::string& date) {
  parser.add_option("--date", date, "the day, like 2026-11-20; today if left out").value_name("DATE");
}

Date date_or_today(const std::string& date, const Console& console) {
  return date.empty() ? console.today : value_or_throw(date_given("--date", date));
}

}  // namespace romanesca
