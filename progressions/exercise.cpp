#include "progressions/exercise.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <iterator>
#include <utility>

#include "progressions/exercises/exercise_draft.h"
#include "progressions/simplification.h"
#include "theory/songs/song_tune.h"
#include "theory/text/nearest_word.h"

namespace romanesca {
namespace {

constexpr std::array<std::string_view, exercise_family_count> family_names{"improvise", "compose", "technique", "ear",
                                                                           "song"};
constexpr int most_song_bars = 8;
constexpr std::size_t fewest_song_bars = 4;

const ExerciseBuilder* builder_of(const ExerciseKind& kind) {
  for (const auto& builders : all_builders()) {
    const auto found = std::find_if(builders.begin(), builders.end(),
                                    [&](const ExerciseBuilder& builder) { return builder.id == kind.id; });
    if (found != builders.end()) return &*found;
  }
  return nullptr;
}

Exercise make(const ExerciseKind& kind, const ExerciseRequest& request, std::uint64_t seed) {
  ExerciseDraft draft(request, kind, seed);
  if (const ExerciseBuilder* builder = builder_of(kind))
    builder->build(draft);  // every kind has one, which a test checks
  return draft.finished();
}

TextError fault(std::string message, std::string hint) {
  TextError error;
  error.message = std::move(message);
  error.hint = std::move(hint);
  return error;
}

Parsed<const ExerciseKind*> kind_asked_for(const ExerciseRequest& request) {
  const ExerciseKind* kind = exercise_kind_named(request.id);
  if (kind == nullptr) {
    std::vector<std::string> ids;
    for (const ExerciseKind& each : exercise_kinds()) ids.push_back(each.id);
    const auto near = nearest_word(request.id, ids);
    return fault(fmt::format("unknown exercise \"{}\"", request.id),
                 near ? fmt::format("did you mean {}?", *near) : "--list shows the exercises");
  }
  if (request.level.number < kind->lowest || request.level.number > kind->highest) {
    return fault(
        fmt::format("{} is for levels {} to {}, not {}", kind->id, kind->lowest, kind->highest, request.level.number),
        "choose another level or another exercise");
  }
  if (request.family && *request.family != kind->family) {
    return fault(
        fmt::format("{} belongs to {}, not to {}", kind->id, to_string(kind->family), to_string(*request.family)),
        "leave one of the two out");
  }
  return kind;
}

/// Which chords of the bars that are used were made simpler; empty for none.
std::string simpler_text(const Simplification& simple) {
  constexpr std::size_t most_named = 3;  // a sentence stays short
  std::vector<std::string> pairs;
  for (const SimplerChord& chord : simple.chords) {
    if (chord.bar > most_song_bars) continue;
    pairs.push_back(
        fmt::format("{}{} as {}", to_string(chord.before), pairs.empty() ? " is played" : "", to_string(chord.after)));
  }
  if (pairs.empty()) return {};
  if (pairs.size() <= most_named) return fmt::format("Here {}.", fmt::join(pairs, ", "));
  const std::size_t more = pairs.size() - most_named;
  pairs.resize(most_named);
  return fmt::format("Here {}, and {} more chord{} in the same way.", fmt::join(pairs, ", "), more,
                     more == 1 ? "" : "s");
}

/// The song's tune in some of its bars, from the beginning of the first of them. An upbeat to the first sounds at the
/// end of the last one, where nothing else does: the sheet's bars go round. Nothing where the meter changes.
/// @param first bar as played, from 1
std::vector<MelodyNote> tune_in_bars(const Progression& song, const Key& key, int first, int bars) {
  const MeterMap meters = timeline(song, key).meters;
  for (int bar = first; bar < first + bars; ++bar) {
    if (meters.at(bar) != song.meter()) return {};
  }
  const Beats begin = meters.start_of(first), length = meters.end_of(first + bars - 1) - begin;
  std::vector<MelodyNote> notes, upbeat;
  for (const TuneNote& note : tune_of(song, key).notes) {
    const Beats start = note.start - begin;
    if (start < Beats(0) && first == 1) upbeat.push_back({start + length, note.length, note.pitch});
    if (start < Beats(0) || start >= length) continue;
    notes.push_back({start, std::min(note.length, length - start), note.pitch});
  }
  const bool room = notes.empty() || upbeat.empty() || notes.back().start + notes.back().length <= upbeat.front().start;
  if (room && !notes.empty()) notes.insert(notes.end(), upbeat.begin(), upbeat.end());
  return notes;
}

/// The beginning of a song, four to eight bars of its first section, as the level can play it; shorter ones repeat,
/// and in silence the chord before it sounds on. Nothing for a song without chords.
/// @param made_simpler what the level changed, for a person @param tune of these bars
std::optional<Progression> beginning_of(const Progression& song, const Key& key, const Level& level,
                                        std::string& made_simpler, std::vector<MelodyNote>& tune) {
  const Analysis analysis = analyse(song, KeyText{key.tonic, key.mode});
  const Simplification simple = simplified(song, analysis, level, key, ForeignTriads::replaced);
  const Progression& easy = simple.progression;
  std::vector<std::vector<Chord>> bars;
  std::optional<Chord> last;
  for (const TimedChord& timed : timeline(easy, key).chords) {
    if (timed.bar > most_song_bars || timed.section != 0) break;
    const auto bar = static_cast<std::size_t>(timed.bar);
    if (bars.size() < bar) bars.resize(bar);
    if (timed.chord) last = timed.chord;
    // A chord that takes longer than its neighbours in the bar gets a bar of its own: chords share a bar evenly.
    if (last && (bars[bar - 1].empty() || bars[bar - 1].back() != *last)) bars[bar - 1].push_back(*last);
  }
  int silent = 0;
  for (; !bars.empty() && bars.front().empty(); ++silent) bars.erase(bars.begin());
  if (bars.empty()) return std::nullopt;
  tune = tune_in_bars(song, key, silent + 1, static_cast<int>(bars.size()));
  for (std::size_t i = 0; bars.size() < fewest_song_bars; ++i) bars.push_back(std::vector(bars[i]));
  Progression beginning = progression_of(bars, key);
  beginning.title = song.title;
  beginning.tempo_bpm = song.tempo_bpm;
  beginning.written_meter = song.written_meter;
  beginning.style = song.style;
  made_simpler = simpler_text(simple);
  return beginning;
}

/// The nearest key, by how far the song has to move, that the level allows; nothing if its own is allowed or none is.
std::optional<Key> easier_key(const Key& key, const Level& level) {
  if (level.allows(key)) return std::nullopt;
  for (const int semitones : {-1, 1, -2, 2, -3, 3, -4, 4, -5, 5, 6}) {
    const Key other = simplest_spelling({PitchClass(key.tonic.fifths() + 7 * semitones % 12), key.mode});
    if (level.allows(other)) return other;
  }
  return std::nullopt;
}

/// The kinds for the level in an order that the seed decides, those of a new character first.
std::vector<const ExerciseKind*> drawn_kinds(const ExerciseRequest& request) {
  std::vector<const ExerciseKind*> left;
  for (const ExerciseKind& kind : exercise_kinds()) {
    if (request.family && kind.family != *request.family) continue;
    if (request.level.number >= kind.lowest && request.level.number <= kind.highest) left.push_back(&kind);
  }
  std::vector<const ExerciseKind*> drawn;
  std::uint64_t state = SeedDigits::mixed(request.seed + 0x9e3779b97f4a7c15ULL);
  const auto differs = [&](const ExerciseKind* kind) {
    return std::none_of(drawn.begin(), drawn.end(), [&](const ExerciseKind* other) {
      return kind->character == other->character || (!request.family && kind->family == other->family);
    });
  };
  while (!left.empty()) {
    std::vector<const ExerciseKind*> next;
    std::copy_if(left.begin(), left.end(), std::back_inserter(next), differs);
    if (next.empty()) next = left;
    state = SeedDigits::mixed(state + 1);
    drawn.push_back(next[state % next.size()]);
    left.erase(std::find(left.begin(), left.end(), drawn.back()));
  }
  return drawn;
}

}  // namespace

std::string_view to_string(ExerciseFamily family) { return family_names[static_cast<std::size_t>(family)]; }

std::optional<ExerciseFamily> parse_exercise_family(std::string_view text) {
  const auto found = std::find(family_names.begin(), family_names.end(), text);
  if (found == family_names.end()) return std::nullopt;
  return static_cast<ExerciseFamily>(found - family_names.begin());
}

Progression Exercise::shown() const {
  Progression result = progression;
  std::size_t place = 0;
  return with_chords(std::move(result), [&](const auto& content) {
    const bool is_hidden = std::binary_search(hidden.begin(), hidden.end(), place);
    ++place;
    return is_hidden ? std::variant<Chord, Numeral, NoChord, Hold>(NoChord{}) : content;
  });
}

Voicing Exercise::keyboard_notes() const {
  constexpr int middle_c = 60;
  Voicing rising;
  for (const PitchClass note : notes) {
    rising.push_back(lowest_at_or_above(note, rising.empty() ? middle_c : rising.back().midi()));
  }
  return rising;
}

Parsed<std::vector<Exercise>> set_exercises(const ExerciseRequest& given) {
  ExerciseRequest request = given;
  if (request.key.mode == Mode::locrian || !request.key.can_be_written()) {
    return fault(fmt::format("there are no exercises in {}", to_string(request.key)),
                 request.key.can_be_written()
                     ? "its tonic chord is diminished; use phrygian, the nearest mode"
                     : fmt::format("{} sounds the same", to_string(simplest_spelling(request.key))));
  }
  std::optional<Key> song_key;
  if (request.song && request.key_is_free) {
    if (const auto easier = easier_key(request.key, request.level)) {
      request.song = transposed(*request.song, interval_between(request.key.tonic, easier->tonic));
      song_key = std::exchange(request.key, *easier);
    }
  }
  if (request.song) {
    request.song = beginning_of(*request.song, request.key, request.level, request.made_simpler, request.tune);
    if (!request.song) return fault("the song begins without chords", "give it a section with chords first");
  }
  std::vector<Exercise> result;
  const auto count = static_cast<std::size_t>(std::clamp(request.choices, 1, 8));
  if (!request.id.empty()) {
    const auto kind = kind_asked_for(request);
    if (!kind) return kind.error();
    for (std::size_t i = 0; i < count; ++i) {
      result.push_back(make(**kind, request, request.seed + i));
      if (result.back().own_song) result.back().song_key = song_key;
    }
    return result;
  }
  const auto kinds = drawn_kinds(request);
  for (std::size_t i = 0; i < count && !kinds.empty(); ++i) {
    // If there are fewer kinds than choices they are used again with another seed.
    result.push_back(make(*kinds[i % kinds.size()], request, request.seed + i / kinds.size()));
    if (result.back().own_song) result.back().song_key = song_key;
  }
  return result;
}

}  // namespace romanesca
