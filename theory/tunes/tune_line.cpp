#include "theory/tunes/tune_line.h"

#include <fmt/format.h>

#include "theory/text/characters.h"
#include "theory/tunes/written_pitch.h"

namespace romanesca {
namespace {

using SignKind = MusicSign::Kind;

/// A bar while it is read.
struct OpenBar {
  BarNotes notes;
  Beats length{};
  std::size_t from = 0, to = 0;  ///< bytes
  bool whole_rest = false;
  bool any = false;  ///< a note or rest stands in it
};

class TuneLineReader {
 public:
  TuneLineReader(std::string_view line, const TuneLineSettings& settings)
      : line_(line), settings_(settings), accidentals_(settings.signature), tied_(settings.tied_from) {}

  TuneLine read() {
    MusicCode code = read_music_code(line_, {settings_.unit, settings_.meter, false});
    result_.unit = settings_.unit;
    if (code.fault) {
      result_.fault = std::move(code.fault);
      result_.is_notes = false;
      return std::move(result_);
    }
    for (const MusicSign& sign : code.signs) {
      if (!result_.fault) add(sign);
    }
    if (!result_.fault) finish_bar();
    if (!result_.fault) take_upbeat();
    if (!result_.fault) check_bars();
    if (!result_.fault && tied_) result_.tied_to = tied_;
    for (OpenBar& bar : bars_) result_.bars.push_back(std::move(bar.notes));
    return std::move(result_);
  }

 private:
  void add(const MusicSign& sign) {
    if (sign.kind == SignKind::bar_line) return read_bar_line(sign);
    if (sign.kind == SignKind::field) return read_field(sign);
    if (!bar_.any) bar_.from = sign.at;
    bar_.to = sign.at + sign.length;
    bar_.any = true;
    if (sign.kind == SignKind::bar_rest) return add_bar_rests(sign);
    if (sign.kind == SignKind::note) {
      note_flat_behind(sign);
      add_note(sign);
    }
    if (sign.kind == SignKind::rest && tied_) fail_tie(sign);
    bar_.length += sign.duration;
  }

  void read_bar_line(const MusicSign& sign) {
    if (!result_.repeats && (sign.closes || sign.opens || sign.ending > 0)) {
      result_.repeats = MusicFault{sign.at, std::max<std::size_t>(sign.length, 1), "a repeat sign in a tune",
                                   "put it in the line of chords over the tune, or write the bars once more"};
    }
    finish_bar();
  }

  /// "Bb2", where the writer may mean B flat.
  void note_flat_behind(const MusicSign& sign) {
    const bool behind = line_[sign.at] == 'b' && sign.at > 0 &&
                        std::string_view("ABDEG").find(line_[sign.at - 1]) != std::string_view::npos;
    if (!behind || (sign.at > 1 && is_letter(line_[sign.at - 2]))) return;
    const std::string_view flat = line_.substr(sign.at - 1, 2);
    flat_behind_ = fmt::format("a flat stands before its note: _{}", flat.front());
    if (!result_.doubt) {
      result_.doubt = MusicFault{sign.at - 1, 2, fmt::format("\"{}\" read as two notes; {}", flat, flat_behind_), ""};
    }
  }

  void read_field(const MusicSign& sign) {
    if (sign.text.front() != 'L') {
      return fail(sign.at, sign.length, fmt::format("\"[{}]\" says nothing in a tune", sign.text),
                  "only [L:1/4] does: a letter alone is a quarter note then");
    }
    result_.unit = parse_unit_length(trimmed(std::string_view(sign.text).substr(2))).value_or(result_.unit);
  }

  void add_note(const MusicSign& sign) {
    const bool same_letter = tied_ && tied_->name().letter() == sign.letter && tied_->octave() == sign.octave;
    // A tie over the bar line takes the accidental with it.
    const Pitch pitch =
        same_letter && !sign.accidental ? *tied_ : accidentals_.read(sign.letter, sign.octave, sign.accidental);
    if (tied_ && pitch != *tied_) return fail_tie(sign);
    if (tied_ && !bar_.notes.empty()) {
      bar_.notes.back().length += sign.duration;
      bar_.notes.back().tied = sign.tied;
    } else {
      bar_.notes.push_back({bar_.length, sign.duration, pitch, sign.tied});
    }
    tied_ = sign.tied ? std::optional(pitch) : std::nullopt;
  }

  void fail_tie(const MusicSign& sign) {
    fail(sign.at, sign.length, "the tie before this leads to another pitch",
         "- ties a note to the same one after it: C2-|C2; for a slur write (CD)");
  }

  void add_bar_rests(const MusicSign& sign) {
    if (tied_) return fail_tie(sign);
    if (bar_.length > Beats(0)) {
      return fail(sign.at, sign.length, "Z is a rest for a whole bar", "inside a bar a rest is z, z2 or z4");
    }
    for (int i = 0; i < sign.number; ++i) {
      bar_.any = true;
      bar_.from = sign.at;
      bar_.to = sign.at + sign.length;
      bar_.length = settings_.meter.bar_length();
      if (i + 1 < sign.number) finish_bar();
    }
  }

  void finish_bar() {
    if (!bar_.any) return;
    if (bar_.length > settings_.meter.bar_length()) {
      const bool unit_known = result_.unit == Beats(1, 2);
      return fail(bar_.from, bar_.to - bar_.from,
                  fmt::format("the notes of this bar last {}, {} has {}", beats_text(bar_.length, settings_.meter),
                              to_string(settings_.meter), settings_.meter.upper),
                  !flat_behind_.empty() ? flat_behind_
                  : unit_known          ? "C is an eighth, C2 a quarter, C3 a dotted quarter, C4 a half note"
                                        : "shorten a note, or put a bar line in");
    }
    bars_.push_back(std::move(bar_));
    bar_ = {};
    accidentals_.begin_bar();
  }

  [[nodiscard]] bool is_short(const OpenBar& bar) const { return bar.length < settings_.meter.bar_length(); }

  /// A first bar that is short, before as many as the chords have.
  void take_upbeat() {
    if (bars_.empty())
      return fail(0, line_.size(), "a tune without notes", "write some, like C2 D2 E4, or take the line out");
    const bool one_more = settings_.bars == 0 ? bars_.size() > 1 : bars_.size() == settings_.bars + 1;
    if (!one_more || !is_short(bars_.front())) return;
    result_.upbeat_length = bars_.front().length;
    result_.upbeat = std::move(bars_.front().notes);
    bars_.erase(bars_.begin());
    for (BarNote& note : result_.upbeat) note.start -= result_.upbeat_length;
  }

  void check_bars() {
    for (std::size_t i = 0; i < bars_.size(); ++i) {
      const OpenBar& bar = bars_[i];
      if (is_short(bar)) {
        result_.short_bars.push_back({i, bar.from, bar.to - bar.from, settings_.meter.bar_length() - bar.length});
      }
    }
    if (settings_.bars == 0 || bars_.size() == settings_.bars) return;
    const bool fewer = bars_.size() < settings_.bars;
    fail(0, line_.size(),
         fmt::format("the tune has {} {} here, the chords above have {}", bars_.size(),
                     bars_.size() == 1 ? "bar" : "bars", settings_.bars),
         fewer ? "write Z for a bar of rest" : "put the bar lines | where those of the chords are");
  }

  void fail(std::size_t at, std::size_t length, std::string message, std::string hint) {
    if (!result_.fault) result_.fault = MusicFault{at, length, std::move(message), std::move(hint)};
  }

  std::string_view line_;
  const TuneLineSettings& settings_;
  TuneLine result_;
  BarAccidentals accidentals_;
  OpenBar bar_;
  std::vector<OpenBar> bars_;
  std::optional<Pitch> tied_;
  std::string flat_behind_;  ///< what to do about a "b" behind a note, where there is one
};

}  // namespace

TuneLine read_tune_line(std::string_view line, const TuneLineSettings& settings) {
  return TuneLineReader(line, settings).read();
}

std::string beats_text(Beats time, Meter meter) {
  const Beats beats = time * meter.lower / 4;
  const std::int64_t whole = whole_times(beats, Beats(1));
  const Beats part = beats - Beats(whole);
  const std::string word = beats == Beats(1) ? "beat" : "beats";
  if (part == Beats(0)) return fmt::format("{} {}", whole, word);
  const std::string fraction = fmt::format("{}/{}", part.numerator(), part.denominator());
  if (whole == 0) return fmt::format("{} of a beat", fraction);
  return fmt::format("{} {} beats", whole, fraction);
}

}  // namespace romanesca
