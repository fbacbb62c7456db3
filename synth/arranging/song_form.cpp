#include "synth/arranging/song_form.h"

#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <utility>

#include "theory/text/characters.h"

namespace romanesca {
namespace {

struct SectionWord {
  std::string_view word;
  Intensity intensity;
};
constexpr std::array<SectionWord, 14> section_words{{{"intro", Intensity::soft},
                                                     {"bridge", Intensity::soft},
                                                     {"middle", Intensity::soft},
                                                     {"interlude", Intensity::soft},
                                                     {"break", Intensity::soft},
                                                     {"outro", Intensity::soft},
                                                     {"ending", Intensity::soft},
                                                     {"coda", Intensity::soft},
                                                     {"pre", Intensity::medium},
                                                     {"verse", Intensity::medium},
                                                     {"chorus", Intensity::full},
                                                     {"refrain", Intensity::full},
                                                     {"hook", Intensity::full},
                                                     {"solo", Intensity::full}}};

constexpr int bars_between_fills = 8;
constexpr std::size_t fading_bars = 8;
constexpr std::size_t tag_bars = 2;
constexpr double slowest_factor = 0.62;  // of the song's tempo, at the end of a ritardando

bool last_bar_is_tonic(const Score& score, const Chord& home) {
  const Beats last = score.bars.back().start;
  const auto in_last = std::count_if(score.chords.begin(), score.chords.end(),
                                     [&](const ScoreChord& chord) { return chord.start >= last; });
  return in_last == 1 && score.chords.back().start == last && score.chords.back().chord.root == home.root;
}

class Planner {
 public:
  Planner(std::span<const Timeline> rounds, std::span<const Section> sections, double song_bpm,
          const FormRequest& request)
      : rounds_(rounds), sections_(sections), song_bpm_(song_bpm), request_(request) {
    score_.meters = MeterMap(rounds.front().meter());
    score_.song_meters = rounds.front().meters;
    score_.tempos.push_back({});
    section_of_bar_.resize(static_cast<std::size_t>(rounds.front().bars));
    for (const TimedChord& timed : rounds.front().chords) {
      section_of_bar_[static_cast<std::size_t>(timed.bar - 1)] = timed.section;
    }
  }

  Score plan() {
    add_intro();
    for (const Timeline& round : rounds_) {
      add_bars(round, 0, round.bars, false);
      ++round_;
    }
    --round_;
    if (request_.ending == Ending::tag) add_tag();
    mark_fills();
    mark_pick_up();
    if (request_.trade_bars > 0) trade();
    if (request_.ending == Ending::fade) {
      const std::size_t bars = score_.bars.size();
      score_.fades_from = score_.bars[bars > fading_bars ? bars - fading_bars : 0].start;
    } else if (request_.ending != Ending::none) {
      end_the_piece();
    }
    return std::move(score_);
  }

 private:
  void add_intro() {
    if (request_.intro_bars <= 0) return;
    const Timeline& first = rounds_.front();
    int section_bars = 0;
    while (section_bars < first.bars && section_at(section_bars) == section_at(0)) ++section_bars;
    // A short section is repeated.
    for (int left = request_.intro_bars; left > 0;) {
      const int bars = left % section_bars == 0 ? section_bars : left % section_bars;
      add_bars(first, section_bars - bars, section_bars, true);
      left -= bars;
    }
    if (request_.drums_begin) leave_first_half_to_drums();
  }

  /// At the strength of a verse, with a fill before the others come in.
  void leave_first_half_to_drums() {
    const std::size_t bars = score_.bars.size() / 2;
    if (bars == 0) return;
    for (std::size_t i = 0; i < bars; ++i) score_.bars[i].intensity = request_.intensity.value_or(Intensity::medium);
    score_.bars[bars - 1].fill = true;
    const Beats others = score_.bars[bars].start;
    std::erase_if(score_.chords, [&](const ScoreChord& chord) { return chord.start < others; });
    if (!score_.chords.empty()) score_.chords.front().held = false;
  }

  /// The bars before the last chord twice more: before the last bar if that is the held one, else the last bars.
  void add_tag() {
    const Timeline& last = rounds_.back();
    const int end = last_bar_is_tonic(score_, request_.home) ? last.bars - 1 : last.bars;
    const int from = end - static_cast<int>(tag_bars);
    if (from < 0) return;
    if (end < last.bars) drop_last_bar();
    add_bars(last, from, end, false);
    add_bars(last, from, end, false);
    for (std::size_t i = score_.bars.size() - 2 * tag_bars; i < score_.bars.size(); ++i)
      score_.bars[i].section_start = false;
  }

  /// It comes again as the held bar.
  void drop_last_bar() {
    while (!score_.chords.empty() && score_.chords.back().start >= score_.bars.back().start) score_.chords.pop_back();
    score_.bars.pop_back();
  }

  /// Chords without sections belong to a nameless one.
  [[nodiscard]] const Section& section(std::uint32_t index) const {
    static const Section nameless;
    return index < sections_.size() ? sections_[index] : nameless;
  }

  [[nodiscard]] std::uint32_t section_at(int bar) const { return section_of_bar_[static_cast<std::size_t>(bar)]; }

  void add_bars(const Timeline& round, int from, int to, bool intro) {
    const Beats shift = score_.length() - round.meters.start_of(from + 1);
    double bpm = song_bpm_;
    std::size_t stated = 0;
    for (int bar = from; bar < to; ++bar) {
      ScoreBar planned;
      planned.start = score_.length();
      planned.meter = round.meters.at(bar + 1);
      planned.round = round_;
      planned.song_bar = intro ? 0 : bar + 1;
      score_.meters.change(static_cast<int>(score_.bars.size()) + 1, planned.meter);
      const bool new_tempo = stated < round.tempos.size() && round.tempos[stated].bar <= bar + 1;
      while (stated < round.tempos.size() && round.tempos[stated].bar <= bar + 1) bpm = round.tempos[stated++].bpm;
      const Section& now = section(section_at(bar));
      planned.section_start = bar == from || section_at(bar - 1) != section_at(bar);
      planned.in_section = planned.section_start ? 0 : score_.bars.back().in_section + 1;
      planned.intensity = request_.intensity.value_or(intro ? Intensity::soft : intensity_of(now.name));
      if (planned.section_start) {
        set_tempo(planned.start, intro ? 1 : now.tempo_bpm.value_or(bpm) / song_bpm_);
      } else if (new_tempo && !intro) {
        set_tempo(planned.start, bpm / song_bpm_);
      }
      score_.bars.push_back(planned);
    }
    for (const TimedChord& timed : round.chords) {
      if (timed.bar <= from || timed.bar > to || !timed.chord) continue;
      // A chord held over the first bar line of an intro begins there.
      const bool held = timed.held && timed.bar > from + 1;
      score_.chords.push_back({timed.start + shift, timed.length, *timed.chord, held});
    }
  }

  void set_tempo(Beats at, double factor) {
    if (score_.tempos.back().at == at) {
      score_.tempos.back().factor = factor;
    } else if (score_.tempos.back().factor != factor) {
      score_.tempos.push_back({at, factor});
    }
  }

  /// Before a section of another intensity always; before any other section or the end if the last fill is long past.
  void mark_fills() {
    int since = 0;
    for (std::size_t i = 0; i < score_.bars.size(); ++i) {
      ++since;
      const bool last = i + 1 == score_.bars.size();
      if (!last && !score_.bars[i + 1].section_start) continue;
      score_.bars[i].leads_up = !last && score_.bars[i + 1].intensity > score_.bars[i].intensity;
      const bool changes = !last && score_.bars[i + 1].intensity != score_.bars[i].intensity;
      if (!changes && since < bars_between_fills) continue;
      score_.bars[i].fill = true;
      since = 0;
    }
  }

  void mark_pick_up() {
    const Beats bar_end = score_.meter().bar_length();
    const Beats begins = score_.chords.empty() ? Beats(0) : score_.chords.front().start;
    if (begins > Beats(0) && begins < bar_end) score_.bars.front().silent_until = begins;
  }

  void trade() {
    const auto alone = [&](Beats at) {
      return at >= Beats(0) && (score_.meters.bar_at(at) - 1) / request_.trade_bars % 2 == 1;
    };
    for (ScoreBar& bar : score_.bars) bar.drums_alone = alone(bar.start);
    std::erase_if(score_.chords, [&](const ScoreChord& chord) { return alone(chord.start); });
    // The first chord of each turn is struck, even if it continues from the bar before.
    for (ScoreChord& chord : score_.chords) {
      chord.held = chord.held && chord.start > Beats(0) && !alone(chord.start - Beats(1, 64));
    }
  }

  void end_the_piece() {
    if (score_.chords.empty()) return;
    const Beats bar_length = score_.bars.back().meter.bar_length();
    if (score_.bars.size() < 2 || !last_bar_is_tonic(score_, request_.home)) {
      ScoreBar last = score_.bars.back();
      last.start = score_.length();
      last.section_start = false;
      last.song_bar = 0;
      score_.bars.push_back(last);
      score_.chords.push_back({last.start, bar_length, request_.home, false});
    }
    score_.bars.back().held = true;
    score_.bars.back().cut_short = request_.ending == Ending::button;
    score_.bars.back().fill = false;
    score_.bars.back().leads_up = false;
    score_.bars.back().drums_alone = false;
    if (request_.ending == Ending::slow) slow_down(score_.bars.back().start);
  }

  /// Pulse by pulse over the two bars before @p held, in even steps.
  void slow_down(Beats held) {
    const double from = score_.tempos.back().factor;
    const Meter meter = score_.bars.back().meter;
    const std::int64_t pulses = 2 * static_cast<std::int64_t>(meter.pulses());
    const Beats pulse = meter.pulse_length();
    for (std::int64_t k = 0; k < pulses; ++k) {
      const Beats at = held - pulse * (pulses - k);
      if (at < score_.tempos.back().at) continue;
      set_tempo(at, from * (1 - (1 - slowest_factor) * static_cast<double>(k + 1) / static_cast<double>(pulses)));
    }
  }

  std::span<const Timeline> rounds_;
  std::span<const Section> sections_;
  double song_bpm_;
  const FormRequest& request_;
  std::vector<std::uint32_t> section_of_bar_;
  int round_ = 0;
  Score score_;
};

}  // namespace

std::optional<Intensity> parse_intensity(std::string_view text) {
  if (text == "soft") return Intensity::soft;
  if (text == "medium") return Intensity::medium;
  if (text == "full") return Intensity::full;
  return std::nullopt;
}

std::optional<Ending> parse_ending(std::string_view text) {
  constexpr std::array<std::pair<std::string_view, Ending>, 7> words{{{"none", Ending::none},
                                                                      {"hold", Ending::hold},
                                                                      {"slow", Ending::slow},
                                                                      {"button", Ending::button},
                                                                      {"tag", Ending::tag},
                                                                      {"fade", Ending::fade},
                                                                      {"own", Ending::own}}};
  for (const auto& [word, ending] : words) {
    if (word == text) return ending;
  }
  return std::nullopt;
}

Intensity intensity_of(std::string_view section_name) {
  const std::string name = small_letters(section_name);
  for (const SectionWord& word : section_words) {
    if (name.starts_with(word.word)) return word.intensity;
  }
  return Intensity::medium;
}

Score plan_form(std::span<const Timeline> rounds, std::span<const Section> sections, double song_bpm,
                const FormRequest& request) {
  return Planner(rounds, sections, song_bpm, request).plan();
}

}  // namespace romanesca
