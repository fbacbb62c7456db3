// Renders one MIDI file with a SoundFont by libfluidsynth (reverb and chorus on) and with our own instruments, in one
// run, to a 48 kHz stereo file each, and prints what each cost: ours both as the font's, the mix alone, and mastered;
// then what a voice of each instrument costs.
// usage: soundfont_benchmark FILE.mid FONT.sf2 [RUNS]
#include <fmt/format.h>
#include <sys/resource.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iterator>
#include <vector>

#include "synth/files/audio_file.h"
#include "synth/files/midi_reader.h"
#include "synth/files/soundfont_player.h"
#include "synth/files/temporary_store.h"
#include "synth/files/true_peak_meter.h"
#include "synth/sound/performer.h"
#include "synth/sound/track_renderer.h"

#if defined(__x86_64__)
#include <x86intrin.h>
#endif

namespace romanesca {
namespace {

double processor_seconds() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  const auto seconds = [](const timeval& time) {
    return static_cast<double>(time.tv_sec) + 1e-6 * static_cast<double>(time.tv_usec);
  };
  return seconds(usage.ru_utime) + seconds(usage.ru_stime);
}

class Patience final : public Progress {
 public:
  bool at(double /*fraction*/) override { return true; }
};

std::string output_path() {
  return (std::filesystem::temp_directory_path() / fmt::format("romanesca-benchmark-{}.wav", std::time(nullptr)))
      .string();
}

TrackSettings ring_out() {
  TrackSettings settings;
  settings.loop = false;
  return settings;
}

/// Ours: everything from notes to the finished file on disk, with compressor, loudness, limiter and true peak.
double render_own(const Performance& performance) {
  const std::string path = output_path();
  Performer performer(performance, {48000, false, nullptr});
  TemporaryStore store(std::filesystem::temp_directory_path().string());
  EburPeakMeter meter(48000);
  AudioFile file(path, {});
  Patience patience;
  const TrackResult result = render_track(performer, ring_out(), store, meter, file, patience);
  file.close();
  std::filesystem::remove(path);
  return static_cast<double>(result.frames) / 48000;
}

/// From notes to the same kind of file, without any mastering.
double render_plainly(SoundSource& source) {
  const std::string path = output_path();
  AudioFile file(path, {});
  std::vector<float> left(8192), right(8192);
  std::int64_t frames = 0;
  for (; frames < source.length_frames() || !source.finished(); frames += 8192) {
    source.render({left.data(), right.data(), left.size()});
    file.write({left.data(), right.data(), left.size()});
  }
  file.close();
  std::filesystem::remove(path);
  return static_cast<double>(frames) / 48000;
}

struct Cost {
  double processor_s = 1e9, audio_s = 0;
};

/// The fastest of several runs: other load only adds time.
void measure(Cost& cost, const std::function<double()>& render) {
  const double before = processor_seconds();
  cost.audio_s = render();
  cost.processor_s = std::min(cost.processor_s, processor_seconds() - before);
}

double ticks() {
#if defined(__x86_64__)
  return static_cast<double>(__rdtsc());
#else
  return 1e9 * static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
#endif
}

/// Cycles of the time stamp counter for a frame of one voice: eight held notes, from a tenth of a second on.
double cycles_per_frame(const InstrumentRow& row) {
  constexpr int notes = 8;
  constexpr std::size_t blocks = 400;
  double best = 1e9;
  for (int run = 0; run < 5; ++run) {
    const auto player = make_player(row.id, 48000, KeySet().set());
    std::vector<float> left(2 * block_frames), right(2 * block_frames);
    for (int i = 0; i < notes; ++i) player->note_on(row.drums ? 38 + i % 2 : 52 + 3 * i, 90, 1, 0);
    if (row.drums) {
      // Drums are short: only their first blocks are measured.
      const double start = ticks();
      for (int i = 0; i < 20; ++i) player->add_to(left.data(), right.data());
      best = std::min(best, (ticks() - start) / (20.0 * block_frames * notes));
      continue;
    }
    for (int i = 0; i < 75; ++i) player->add_to(left.data(), right.data());
    const double start = ticks();
    for (std::size_t i = 0; i < blocks; ++i) player->add_to(left.data(), right.data());
    best = std::min(best, (ticks() - start) / (static_cast<double>(blocks * block_frames) * notes));
  }
  return best;
}

int run(int argc, char** argv) {
  if (argc < 3) {
    fmt::print(stderr, "usage: {} FILE.mid FONT.sf2 [RUNS]\n", argv[0]);
    return 2;
  }
  std::ifstream file(argv[1], std::ios::binary);
  const std::vector<std::uint8_t> bytes{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
  const auto read = read_midi(bytes);
  if (!read) {
    fmt::print(stderr, "{}: {}\n", argv[1], read.error().message);
    return 2;
  }
  const Performance& performance = read->performance;
  Cost own, mix, font;
  for (int i = argc > 3 ? std::atoi(argv[3]) : 5; i > 0; --i) {
    measure(own, [&] { return render_own(performance); });
    measure(mix, [&] {
      Performer performer(performance, {48000, false, nullptr});
      return render_plainly(performer);
    });
    measure(font, [&] {
      SoundFontPlayer player(performance, argv[2], {48000, false});
      return render_plainly(player);
    });
  }
  const auto print = [](const char* name, const Cost& cost) {
    fmt::print("{:19} {:6.1f} s of sound, {:6.3f} s of processor time, {:6.1f} times real time\n", name, cost.audio_s,
               cost.processor_s, cost.audio_s / cost.processor_s);
  };
  const auto beside_font = [&](const Cost& cost) {
    return (font.processor_s / font.audio_s) / (cost.processor_s / cost.audio_s);
  };
  print("libfluidsynth, mix", font);
  print("romanesca, mix", mix);
  print("romanesca, mastered", own);
  fmt::print("as much sound a second: mix {:.2f} times, mastered {:.2f} times\n\n", beside_font(mix), beside_font(own));
  for (const InstrumentRow& row : instruments())
    fmt::print("{:15} {:5.2f} cycles a voice and frame\n", row.name, cycles_per_frame(row));
  return 0;
}

}  // namespace
}  // namespace romanesca

int main(int argc, char** argv) { return romanesca::run(argc, argv); }
