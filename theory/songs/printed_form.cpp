#include "theory/songs/printed_form.h"

#include <algorithm>
#include <array>

#include "theory/songs/progression.h"

namespace romanesca {

std::string_view to_string(Jump jump) {
  constexpr std::array<std::string_view, 7> words{"",     "D.C.",         "D.C. al Fine", "D.C. al Coda",
                                                  "D.S.", "D.S. al Fine", "D.S. al Coda"};
  return words[static_cast<std::size_t>(jump)];
}

int PrintedForm::bars() const {
  std::size_t count = 0;
  for (const PrintedSection& section : sections) count += section.is_recall() ? 0 : section.bars.size();
  return static_cast<int>(count);
}

bool PrintedForm::is_plain() const {
  const auto has_sign = [](const PrintedBar& bar) {
    return bar.opens || bar.closes > 0 || bar.ending > 0 || bar.segno || bar.coda || bar.fine || bar.to_coda;
  };
  return std::all_of(sections.begin(), sections.end(), [&](const PrintedSection& section) {
    return !section.is_recall() && section.times == 1 && section.jump == Jump::none &&
           std::none_of(section.bars.begin(), section.bars.end(), has_sign);
  });
}

std::vector<bool> bars_on_paper(const PrintedForm& form) {
  std::vector<bool> bars(static_cast<std::size_t>(form.bars_played), false);
  for (const PrintedSection& section : form.sections) {
    if (section.is_recall()) continue;
    for (const PrintedBar& bar : section.bars) bars[static_cast<std::size_t>(bar.bar) - 1] = true;
  }
  return bars;
}

PrintedForm printed_form(const Progression& progression) {
  int bars = 0;
  for (const Section& section : progression.sections) {
    for (const Row& row : section.rows) bars += static_cast<int>(row.bars.size());
  }
  if (progression.form && progression.form->bars_played == bars) return *progression.form;
  PrintedForm plain;
  plain.bars_played = bars;
  int bar = 0;
  for (std::size_t i = 0; i < progression.sections.size(); ++i) {
    PrintedSection section;
    section.name = progression.sections[i].name;
    section.section = i;
    for (const Row& row : progression.sections[i].rows) {
      for (std::size_t k = 0; k < row.bars.size(); ++k) {
        section.bars.emplace_back();
        section.bars.back().bar = ++bar;
        section.bars.back().begins_row = k == 0;
      }
    }
    plain.sections.push_back(std::move(section));
  }
  return plain;
}

}  // namespace romanesca
