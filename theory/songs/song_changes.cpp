#include "theory/songs/song_changes.h"

#include <fmt/format.h>

#include "theory/text/characters.h"

namespace romanesca {

void SongChanges::fail_second(const char* what, const std::string& first, const SongLine& line) {
  notes_.fail(line, line.text.find_first_not_of(" \t"), trimmed(line.text).size(),
              fmt::format("the {} is {} already, and this is another one before the first bar", what, first),
              "keep one of the two");
}

void SongChanges::state_key(const KeyText& key, const StatementPlace& place, const SongLine& line) {
  if (place.before_chords && song_.key && *song_.key != key)
    return fail_second("key", to_string(song_.key->tonic), line);
  counts_.key = stated_.key = key;
  if (place.before_chords) {
    song_.key = key;
    return;
  }
  sections_.current().stated_key = key;
  if (!sections_.waits_for_chords() || !sections_.is_recall())
    notes_.decide(line.number, fmt::format("from here on in {}", to_string(key.tonic)), false);
}

void SongChanges::state_tempo(double bpm, const StatementPlace& place, const SongLine& line) {
  if (place.before_chords && !song_.tempo_bpm) {
    song_.tempo_bpm = counts_.tempo_bpm = bpm;
  } else if (place.before_chords && !sections_.any_headed() && *song_.tempo_bpm != bpm) {
    fail_second("tempo", fmt::format("{}", *song_.tempo_bpm), line);
  } else if (!place.in_row && sections_.any_headed()) {
    sections_.current().tempo_bpm = bpm;
  } else {
    counts_.tempo_bpm = stated_.tempo_bpm = bpm;
    notes_.decide(line.number, fmt::format("from here on at tempo {}", bpm), false);
  }
}

void SongChanges::state_meter(Meter meter, const std::string& written, const StatementPlace& place,
                              const SongLine& line) {
  if (!written.empty()) notes_.decide(line.number, fmt::format("{} read as {}", written, to_string(meter)), false);
  if (place.before_chords && song_.written_meter && *song_.written_meter != meter) {
    return fail_second("meter", to_string(*song_.written_meter), line);
  }
  if (place.before_chords) {
    song_.written_meter = meter;
  } else if (meter != this->meter()) {
    notes_.decide(line.number, fmt::format("from here on in {}", to_string(meter)), false);
  }
  counts_.meter = stated_.meter = meter;
}

void SongChanges::begin_section() {
  if (const auto recalled = sections_.take_recalled()) {
    counts_ = *recalled;
    if (stated_.meter) counts_.meter = stated_.meter;
    if (stated_.key) counts_.key = stated_.key;
    if (stated_.tempo_bpm) counts_.tempo_bpm = stated_.tempo_bpm;
  }
  stated_ = {};
}

}  // namespace romanesca
