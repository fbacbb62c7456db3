#include "cli/formats/written_tune.h"

#include <algorithm>
#include <bit>

namespace romanesca {
namespace {

bool is_binary_length(Beats length) { return std::has_single_bit(static_cast<std::uint64_t>(length.denominator())); }

/// A note or rest inside a bar, before it has a value.
struct Piece {
  std::optional<std::size_t> note;
  Beats start, length;
  bool begins = true, goes_on = false;
};

/// The notes of a bar and the rests between them. @param origin of the bar in the tune's time
std::vector<Piece> pieces_of(const Tune& tune, Beats origin, Beats begin, Beats end) {
  std::vector<Piece> pieces;
  Beats now = begin;
  const auto first = std::partition_point(tune.notes.begin(), tune.notes.end(), [&](const TuneNote& note) {
    return note.start + note.length <= origin + begin;
  });
  for (auto note = first; note != tune.notes.end() && note->start < origin + end; ++note) {
    const Beats from = std::max(note->start - origin, now);
    const Beats to = std::min(note->start + note->length - origin, end);
    if (from >= to) continue;
    if (from > now) pieces.push_back({std::nullopt, now, from - now});
    pieces.push_back({static_cast<std::size_t>(note - tune.notes.begin()), from, to - from,
                      note->start - origin >= from, note->start + note->length - origin > end});
    now = to;
  }
  if (now < end) pieces.push_back({std::nullopt, now, end - now});
  return pieces;
}

class BarWriter {
 public:
  BarWriter(std::vector<Piece> pieces, const Meter& meter) : meter_(meter) {
    find_tuplets(pieces);
    for (const Piece& piece : pieces) cut(piece);
  }

  std::vector<WrittenTuneNote> run() {
    for (std::size_t i = 0; i < pieces_.size();) {
      const Region* region = tuplet_at(pieces_[i].start);
      if (region == nullptr) {
        add_plain(pieces_[i++]);
        continue;
      }
      const std::size_t first = i;
      while (i < pieces_.size() && pieces_[i].start < region->end) ++i;
      add_tuplet(first, i, *region);
    }
    return std::move(written_);
  }

 private:
  /// Whole pulses that are written as tuplets.
  struct Region {
    Beats begin, end;
  };

  [[nodiscard]] Beats pulse_start(Beats at) const {
    return meter_.pulse_length() * whole_times(at, meter_.pulse_length());
  }
  [[nodiscard]] bool has_halves() const { return meter_.pulses() % 2 == 0; }
  [[nodiscard]] Beats half() const { return has_halves() ? meter_.bar_length() / 2 : meter_.bar_length(); }

  /// Every pulse with a place in it that is no binary fraction; joined with the next one where a note goes over from
  /// one such place to another.
  void find_tuplets(const std::vector<Piece>& pieces) {
    const auto add = [&](Beats begin) {
      if (tuplets_.empty() || tuplets_.back().end <= begin) tuplets_.push_back({begin, begin + meter_.pulse_length()});
    };
    for (const Piece& piece : pieces) {
      const Beats stop = piece.start + piece.length;
      const bool odd_start = !is_binary_length(piece.start), odd_stop = !is_binary_length(stop);
      if (odd_start) add(pulse_start(piece.start));
      if (odd_stop) add(pulse_start(stop));
      if (!odd_start || !odd_stop || pulse_start(stop) == pulse_start(piece.start)) continue;
      // Over a pulse: one tuplet for both, where they lie side by side.
      if (tuplets_.size() >= 2 && tuplets_[tuplets_.size() - 2].end == tuplets_.back().begin) {
        tuplets_[tuplets_.size() - 2].end = tuplets_.back().end;
        tuplets_.pop_back();
      }
    }
  }

  [[nodiscard]] const Region* tuplet_at(Beats at) const {
    for (const Region& region : tuplets_) {
      if (region.begin <= at && at < region.end) return &region;
    }
    return nullptr;
  }

  /// Cuts a piece where tuplets begin and end.
  void cut(Piece piece) {
    for (const Region& region : tuplets_) {
      for (const Beats border : {region.begin, region.end}) {
        if (border <= piece.start || border >= piece.start + piece.length) continue;
        Piece before = piece;
        before.length = border - piece.start;
        before.goes_on = piece.note.has_value();
        pieces_.push_back(before);
        piece.length = piece.start + piece.length - border;
        piece.start = border;
        piece.begins = false;
      }
    }
    pieces_.push_back(piece);
  }

  void put(const Piece& piece, Beats at, Beats length, NoteValue value, std::optional<Tuplet> tuplet) {
    const bool ends = at + length >= piece.start + piece.length;
    written_.push_back({piece.note, at, length, value, tuplet, piece.begins && at == piece.start,
                        piece.note.has_value() && (!ends || piece.goes_on), false});
  }

  void add_tuplet(std::size_t first, std::size_t end, const Region& region) {
    std::vector<Beats> lengths;
    for (std::size_t i = first; i < end; ++i) lengths.push_back(pieces_[i].length);
    const auto pulses = static_cast<int>(whole_times(region.end - region.begin, meter_.pulse_length()));
    const Meter own = meter_.is_compound() ? Meter{3 * pulses, 8} : Meter{pulses, meter_.lower};
    Beats at = region.begin;
    for (const WrittenNote& note : written_bar(lengths, own)) {
      put(pieces_[first + note.event], at, note.length, note.value, note.tuplet);
      at += note.length;
    }
  }

  /// How far a note or rest may reach without hiding a pulse that must be seen.
  [[nodiscard]] Beats reach(const Piece& piece, Beats at) const {
    const Beats pulse = meter_.pulse_length();
    const Beats left = piece.start + piece.length - at;
    const Beats into_pulse = at - pulse_start(at);
    const Beats half_end = half() * (whole_times(at, half()) + 1);
    if (into_pulse != Beats(0)) {
      const bool syncopation =
          piece.note && !meter_.is_compound() && into_pulse * 2 == pulse && left <= pulse && at + left <= half_end;
      return syncopation ? left : std::min(left, pulse - into_pulse);
    }
    const std::int64_t pulses = whole_times(left, pulse);
    if (pulses == 0) return left;
    if (!piece.note) {
      const bool half_rest = has_halves() && pulses >= 2 && at + pulse * 2 <= half_end;
      return half_rest ? pulse * 2 : pulse;
    }
    if (meter_.is_compound()) return pulses == 3 ? pulse * 2 : pulse * pulses;
    if (pulses == 1 && left * 2 == pulse * 3) return left;  // dotted: over the next pulse by a half
    return pulses == 5 ? pulse * 3 : pulse * pulses;
  }

  void add_plain(const Piece& piece) {
    const Beats end = piece.start + piece.length;
    for (Beats at = piece.start; at < end;) {
      const Beats limit = reach(piece, at);
      NoteValue best{-8, false};
      for (int power = 2; power > -8; --power) {
        for (const bool dotted : {true, false}) {
          const NoteValue value{power, dotted};
          const bool simple_rest = !piece.note && !meter_.is_compound();
          if (value.length() <= limit && best.length() < value.length() && !(dotted && simple_rest)) best = value;
        }
      }
      put(piece, at, best.length(), best, std::nullopt);
      at += best.length();
    }
  }

  Meter meter_;
  std::vector<Region> tuplets_;
  std::vector<Piece> pieces_;
  std::vector<WrittenTuneNote> written_;
};

}  // namespace

Beats tune_bar_begin(const Tune& tune, const MeterMap& meters, int bar) {
  if (bar > 0) return {};
  const Beats length = meters.first().bar_length();
  const std::int64_t whole = whole_times(tune.upbeat, length);
  const Beats within = tune.upbeat - length * whole;
  return within == Beats(0) ? Beats(0) : length - within;
}

Beats tune_bar_end(const Tune& tune, const MeterMap& meters, int bar) {
  const Beats length = (bar > 0 ? meters.at(bar) : meters.first()).bar_length();
  const bool is_short = std::binary_search(tune.short_bars.begin(), tune.short_bars.end(), bar);
  return is_short ? length - tune.upbeat : length;
}

void shorten_chords(Timeline& timeline, const Tune& tune) {
  for (std::size_t i = 0; i < timeline.chords.size(); ++i) {
    TimedChord& chord = timeline.chords[i];
    const bool ends_bar = i + 1 == timeline.chords.size() || timeline.chords[i + 1].bar != chord.bar;
    if (ends_bar && std::binary_search(tune.short_bars.begin(), tune.short_bars.end(), chord.bar))
      chord.length -= tune.upbeat;
  }
}

std::vector<WrittenTuneNote> written_tune_bar(const Tune& tune, const MeterMap& meters, int bar) {
  const Meter meter = bar > 0 ? meters.at(bar) : meters.first();
  const Beats begin = tune_bar_begin(tune, meters, bar);
  const Beats origin = bar > 0 ? meters.start_of(bar) : Beats(0) - meter.bar_length();
  const Beats end = tune_bar_end(tune, meters, bar);
  std::vector<Piece> pieces = pieces_of(tune, origin, begin, end);
  if (bar > 0 && pieces.size() == 1 && !pieces.front().note) {
    return {{std::nullopt, {}, meter.bar_length(), {2, false}, {}, true, false, true}};
  }
  return BarWriter(std::move(pieces), meter).run();
}

}  // namespace romanesca
