#include "cli/formats/paper/lead_sheet_bars.h"

#include <algorithm>

#include "cli/formats/written_tune.h"
#include "theory/tunes/verses.h"

namespace romanesca {

TuneBar tune_bar(const Tune& tune, const MeterMap& meters, int bar, bool first_of_line) {
  TuneBar result;
  result.begins = tune_bar_begin(tune, meters, bar);
  for (const WrittenTuneNote& written : written_tune_bar(tune, meters, bar)) {
    StaffEvent event;
    event.start = written.start;
    event.value = written.value;
    event.tuplet = written.tuplet;
    event.whole_bar = written.whole_bar;
    if (written.note) {
      const TuneNote& note = tune.notes[*written.note];
      const bool comes_in = first_of_line && result.events.empty() && !written.begins;
      event.notes.push_back({note.pitch, 0, written.tied, comes_in});
      for (std::size_t verse = 0; written.begins && verse <= note.later_verses.size(); ++verse) {
        Syllable sung = syllable_of(note, verse);
        if (sung.text.empty()) continue;
        const bool more =
            *written.note + 1 < tune.notes.size() && syllable_of(tune.notes[*written.note + 1], verse).text.empty();
        if (result.verses.size() <= verse) result.verses.resize(verse + 1);
        result.verses[verse].push_back({std::move(sung.text), sung.end, result.events.size(), more});
      }
    }
    result.notes.push_back(written.note.value_or(tune.notes.size()));
    result.events.push_back(std::move(event));
  }
  return result;
}

}  // namespace romanesca
