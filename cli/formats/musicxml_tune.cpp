#include "cli/formats/musicxml_tune.h"

#include <numeric>

#include "cli/formats/musicxml_harmony.h"
#include "theory/tunes/verses.h"

namespace romanesca {
namespace {

/// MusicXML's word for a syllable's place in its word. @param note index into the tune
const char* syllabic(const Tune& tune, std::size_t note, std::size_t verse) {
  bool goes_on = false;  // the syllable before belongs to the same word
  for (std::size_t i = note; i-- > 0;) {
    const Syllable before = syllable_of(tune.notes[i], verse);
    if (before.text.empty()) continue;
    goes_on = before.end == SyllableEnd::hyphen;
    break;
  }
  if (syllable_of(tune.notes[note], verse).end == SyllableEnd::hyphen) return goes_on ? "middle" : "begin";
  return goes_on ? "end" : "single";
}

}  // namespace

std::int64_t divisions_for(const std::vector<WrittenTuneNote>& notes) {
  std::int64_t divisions = 1;
  for (const WrittenTuneNote& note : notes) divisions = std::lcm(divisions, note.length.denominator());
  return divisions;
}

void add_tune_notes(pugi::xml_node measure, const Tune& tune, const std::vector<WrittenTuneNote>& notes,
                    const std::vector<TimedChord>& chords, Beats bar_start, std::int64_t divisions,
                    Accidentals& accidentals) {
  std::size_t chord = 0;
  const std::size_t verses = count_verses(tune.notes);
  const auto in_divisions = [&](Beats length) { return (length * divisions).numerator(); };
  for (const WrittenTuneNote& each : notes) {
    for (; chord < chords.size() && chords[chord].start - bar_start < each.start + each.length; ++chord) {
      if (chords[chord].held) continue;
      add_harmony(measure, chords[chord].chord);
      const Beats offset = chords[chord].start - bar_start - each.start;
      if (offset > Beats(0)) {
        measure.last_child().append_child("offset").text() = static_cast<long long>(in_divisions(offset));
      }
    }
    if (each.whole_bar) {
      add_bar_rest(measure, in_divisions(each.length), 1);
      continue;
    }
    WrittenChord written;
    written.rhythm = {0, each.length, each.value, each.tuplet};
    written.duration = in_divisions(each.length);
    if (each.note) {
      const TuneNote& note = tune.notes[*each.note];
      written.notes.push_back({note.pitch, 0, !each.begins, each.tied});
      for (std::size_t verse = 0; each.begins && verse < verses; ++verse) {
        const Syllable sung = syllable_of(note, verse);
        if (sung.text.empty()) continue;
        written.lyrics.push_back(
            {sung.text, syllabic(tune, *each.note, verse), sung.end == SyllableEnd::held, verses > 1 ? verse + 1 : 0});
      }
    }
    add_notes(measure, written, accidentals);
  }
}

}  // namespace romanesca
