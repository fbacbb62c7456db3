#include "cli/studio/live_arrangement.h"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

#include "cli/studio/progression_source.h"
#include "progressions/call_phrase.h"
#include "synth/live/live_band.h"
#include "synth/live/speakers.h"
#include "theory/chords/numeral_text.h"
#include "theory/songs/song_tune.h"

namespace romanesca {
namespace {

std::string joined(const Voicing& notes) {
  std::string text;
  for (const Pitch& note : notes) text += (text.empty() ? "" : " ") + to_string(note);
  return text;
}

std::string joined(const Fingers& fingers) {
  std::string text;
  for (const int finger : fingers) text += fmt::format("{}{}", text.empty() ? "" : " ", finger);
  return text;
}

/// The chords of the timeline, as often as the score goes through it; rests are none.
void add_chords(LiveArrangement& arrangement, const Placement& placed, const Hands& hands, const Score& score) {
  const std::vector<AnalysedChord>& analysed = placed.analysis.chords;
  std::vector<std::size_t> sounding;
  for (std::size_t i = 0; i < analysed.size(); ++i) {
    if (analysed[i].timed.chord) sounding.push_back(i);
  }
  for (std::size_t i = 0; i < score.chords.size() && !sounding.empty(); ++i) {
    const ScoreChord& timed = score.chords[i];
    const std::size_t which = sounding[i % sounding.size()];
    const HandsChord& hand = hands.chords[which];
    ShownChord chord;
    chord.chord = timed.chord;
    chord.symbol = name_in(timed.chord, placed.progression.names);
    if (analysed[which].reading) chord.numeral = to_string(analysed[which].reading->numeral);
    chord.left_alone = hand.right.empty();
    chord.right = joined(chord.left_alone ? hand.left : hand.right);
    chord.fingers = joined(chord.left_alone ? hand.left_fingers : hand.right_fingers);
    const std::int32_t tick = live_tick_of(timed.start);
    chord.bar = arrangement.piece.bar_at(tick);
    chord.starts_bar = tick == arrangement.piece.start_of(chord.bar);
    arrangement.piece.chords.push_back({tick, live_tick_of(timed.start + timed.length), timed.held});
    arrangement.chords.push_back(std::move(chord));
  }
}

/// Sections of the piece; one round after the other where it goes round more than once.
void add_sections(LiveArrangement& arrangement, const Placement& placed, const Score& score) {
  const Timeline& timeline = placed.analysis.timeline;
  std::vector<std::uint32_t> section_of_bar(static_cast<std::size_t>(timeline.bars));
  for (const TimedChord& timed : timeline.chords)
    section_of_bar[static_cast<std::size_t>(timed.bar - 1)] = timed.section;
  arrangement.piece.sections.clear();
  for (std::size_t bar = 0; bar < score.bars.size(); ++bar) {
    const std::size_t in_round = bar % section_of_bar.size();
    if (in_round == 0 || section_of_bar[in_round] != section_of_bar[in_round - 1]) {
      const std::uint32_t section = section_of_bar[in_round];
      const auto& sections = placed.progression.sections;
      arrangement.piece.sections.push_back({static_cast<int>(bar), 0});
      arrangement.section_names.push_back(section < sections.size() ? sections[section].name : "");
    }
    ++arrangement.piece.sections.back().bars;
  }
}

/// A part that calls for so many bars and rests as many, each time with another phrase.
void add_calls(Performance& performance, const Score& score, int call_bars, int level, std::uint32_t seed) {
  const auto part = static_cast<std::uint8_t>(performance.parts.size());
  performance.parts.push_back({"call", InstrumentId::vibraphone, 0, false});
  std::uint32_t number = seed;
  const int bars = static_cast<int>(score.bars.size());
  for (int bar = 1; bar + call_bars <= bars + 1; bar += 2 * call_bars) {
    const Beats start = score.meters.start_of(bar);
    const Meter meter = score.meters.at(bar);
    const Beats turn = meter.bar_length() * call_bars;
    if (score.meters.start_of(bar + call_bars) != start + turn) continue;  // the meter changes inside
    std::vector<CallChord> chords;
    for (const ScoreChord& chord : score.chords) {
      if (chord.start + chord.length > start && chord.start < start + turn) {
        chords.push_back({chord.start - start, chord.length, chord.chord});
      }
    }
    for (NoteEvent note : call_phrase(chords, meter, call_bars, level, number++, part)) {
      note.start += start;
      performance.events.push_back(note);
    }
  }
}

}  // namespace

std::string LiveArrangement::bar_text(int bar) const {
  const int wanted = bar % piece.bars;
  std::string text = "|";
  const ShownChord* before = nullptr;
  bool any = false;
  for (const ShownChord& chord : chords) {
    if (chord.bar < wanted) before = &chord;
    if (chord.bar != wanted) continue;
    if (!any && !chord.starts_bar && before == nullptr) text += " N.C. ";
    text += " " + chord.symbol + " ";
    any = true;
  }
  return text + (any ? "|" : " N.C. |");
}

LiveArranger::LiveArranger(NamedProgression source, std::vector<Style> styles, Settings settings)
    : source_(std::move(source)), styles_(std::move(styles)), settings_(std::move(settings)) {
  for (const Style& style : styles_) {
    if (style.meter == source_.progression.meter()) fitting_.push_back(style.id);
  }
}

Result<std::unique_ptr<LiveArrangement>> LiveArranger::make(const std::optional<KeyText>& key, const std::string& style,
                                                            const LiveArrangement* before, std::uint32_t round) const {
  const auto placed_or_error = place(source_, key);
  if (!placed_or_error) return placed_or_error.error();
  const Placement& placed = *placed_or_error;
  BandRequest band = settings_.band;
  if (!style.empty()) band.style = style;
  band.seed += round;
  band.click = true;  // there, and silent until it is switched on
  if (!band.guide) band.guide = has_tune(placed.progression) ? Guide::tune : Guide::chords;
  if (settings_.call_bars > 0) {
    constexpr int different_calls = 4;
    const int bars = placed.analysis.timeline.bars;
    band.times = std::lcm(bars, 2 * settings_.call_bars * different_calls) / bars;
  }
  auto arranged = arrange_backing(placed, band, styles_);
  if (!arranged) return arranged.error();
  BackingTrack& track = *arranged;
  if (settings_.call_bars > 0) {
    add_calls(track.song.performance, track.score, settings_.call_bars, settings_.level, band.seed);
  }
  if (track.bars > most_live_bars) {
    return Failure(ExitStatus::wrong_input, fmt::format("the song has {} bars", track.bars),
                   fmt::format("up to {} can be played live; take a part of it", most_live_bars));
  }
  auto arrangement = std::make_unique<LiveArrangement>();
  arrangement->key = placed.key;
  arrangement->style = track.style;
  arrangement->tempo_bpm = track.tempo_bpm;
  arrangement->piece = lay_out(track.song.performance, track.score.meters, {}, {});
  arrangement->piece.pick_up = track.score.bars.empty() ? 0 : live_tick_of(track.score.bars.front().silent_until);
  const Hands hands = hands_for(placed.analysis.timeline, settings_.hands, placed.analysis.keys.by_bar);
  add_chords(*arrangement, placed, hands, track.score);
  add_sections(*arrangement, placed, track.score);
  if (settings_.loudness_lufs) {
    const bool same_band = before != nullptr && before->style == arrangement->style && before->piece.players != nullptr;
    arrangement->piece.players =
        same_band ? before->piece.players
                  : std::make_shared<LivePlayers>(
                        arrangement->piece, Speakers::sample_rate_hz,
                        live_gain_db(track.song.performance, Speakers::sample_rate_hz, *settings_.loudness_lufs));
  }
  return arrangement;
}

}  // namespace romanesca
