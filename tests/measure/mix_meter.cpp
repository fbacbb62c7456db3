// Compares the mix of each style with the same notes through a SoundFont: octave bands relative to the whole, in dB
// (ours less the font's), width, and how loud each part is beside the drums, in LU. Nobody listens: it only measures.
// A part outside the range of part_balance.h is marked with the change of its level_db that brings it in.
// usage: mix_meter FONT.sf2 [-k] [-p] [STYLE...]
//          -k with the student's keys
//          -p each part alone too, with its loudness beside the first; and the font's parts as loud as ours
//        mix_meter FONT.sf2 -d     the same bands of each drum, and its loudness beside the snare drum
//        mix_meter -i              the loudness of each instrument in a bar of chords, for its gain
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string_view>

#include "cli/studio/backing_track.h"
#include "synth/files/soundfont_player.h"
#include "tests/measure/octave_bands.h"
#include "tests/measure/part_balance.h"
#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

constexpr double sample_rate_hz = 48000;

/// A verse and a chorus in the style's meter, twice, with intro and ending, so that every grid is heard.
Performance song_in(const Style& style, bool keys) {
  NamedProgression source{
      *parse_progression("key: C\n\n[Verse]\n| C | G/B | Am | F |\n| C | G | Am7 | G7 |\n\n[Chorus]\n"
                         "| F | C/E | Dm7 | G7 |\n| F | G | C | C |\n",
                         "song"),
      "song", std::nullopt};
  source.progression.written_meter = style.meter;
  BandRequest band;
  band.style = style.id;
  band.times = 2;
  band.intro_bars = 2;
  band.ending = Ending::slow;
  if (keys && std::any_of(style.parts.begin(), style.parts.end(), [](const auto& p) { return p.name == "keys"; }))
    band.with = {"keys"};
  return arrange_backing(*place_in_key(std::move(source), std::nullopt), band)->song.performance;
}

/// Energy of the difference of the channels against their sum, in dB.
double side_db(const test::StereoSound& sound) {
  double side = 1e-20, middle = 1e-20;
  for (std::size_t i = 0; i < sound.left.size(); ++i) {
    const auto left = static_cast<double>(sound.left[i]);
    const auto right = static_cast<double>(sound.right[i]);
    side += (left - right) * (left - right);
    middle += (left + right) * (left + right);
  }
  return 10 * std::log10(side / middle);
}

/// What measure_style is asked for.
struct Asked {
  bool keys = false, parts = false;
};

struct Sum {
  test::OctaveBands bands{}, largest{};
  int styles = 0;

  void print(std::string_view name, const test::OctaveBands& own, const test::OctaveBands& font) {
    fmt::print("{:17}", name);
    for (std::size_t b = 0; b < own.size(); ++b) {
      const double difference = own[b] - font[b];
      fmt::print(" {:5.1f}", difference);
      bands[b] += difference;
      largest[b] = std::max(largest[b], std::abs(difference));
    }
    ++styles;
  }

  void print_all() const {
    fmt::print("{:17}", "mean");
    for (const double band : bands) fmt::print(" {:5.1f}", band / styles);
    fmt::print("\n{:17}", "largest");
    for (const double band : largest) fmt::print(" {:5.1f}", band);
    fmt::print("\n");
  }
};

void add(test::StereoSound& sum, const test::StereoSound& part, double gain_db) {
  const auto gain = static_cast<float>(std::pow(10, gain_db / 20));
  sum.left.resize(std::max(sum.left.size(), part.left.size()));
  sum.right.resize(sum.left.size());
  for (std::size_t i = 0; i < part.left.size(); ++i) {
    sum.left[i] += gain * part.left[i];
    sum.right[i] += gain * part.right[i];
  }
}

/// The same notes by us and by a SoundFont.
struct Compared {
  test::StereoSound own, font;
  double own_lufs = 0, font_lufs = 0;
};

Compared compared(const Performance& performance, const std::string& font) {
  Performer performer(performance, sample_rate_hz);
  SoundFontPlayer player(performance, font, {sample_rate_hz, false});
  Compared result{test::whole_sound(performer), test::whole_sound(player)};
  result.own_lufs = test::loudness_lufs(result.own, sample_rate_hz);
  result.font_lufs = test::loudness_lufs(result.font, sample_rate_hz);
  return result;
}

/// A row: the bands, ours less the font's, and how loud each is beside its first.
void print_beside(std::string_view name, const Compared& here, double own_first_lufs, double font_first_lufs) {
  fmt::print("  {:15}", name);
  const test::OctaveBands bands = test::octave_bands(here.own, sample_rate_hz);
  const test::OctaveBands wanted = test::octave_bands(here.font, sample_rate_hz);
  for (std::size_t b = 0; b < bands.size(); ++b) fmt::print(" {:5.1f}", bands[b] - wanted[b]);
  fmt::print(" | {:5.1f} LU (font {:5.1f})\n", here.own_lufs - own_first_lufs, here.font_lufs - font_first_lufs);
}

/// Each part alone, ours against the font; then the font's parts together, each as loud as ours.
void measure_parts(const Performance& performance, const std::string& font, Sum& sum) {
  std::optional<std::pair<double, double>> first;
  test::StereoSound own_mix, font_mix;
  for (std::size_t i = 0; i < performance.parts.size(); ++i) {
    if (performance.parts[i].muted) continue;
    Performance alone = performance;
    for (std::size_t k = 0; k < alone.parts.size(); ++k) alone.parts[k].muted = k != i;
    const Compared here = compared(alone, font);
    if (!first) first = {here.own_lufs, here.font_lufs};
    print_beside(performance.parts[i].name, here, first->first, first->second);
    add(own_mix, here.own, 0);
    add(font_mix, here.font, here.own_lufs - here.font_lufs);
  }
  sum.print("  as loud as ours", test::octave_bands(own_mix, sample_rate_hz),
            test::octave_bands(font_mix, sample_rate_hz));
  fmt::print("\n");
}

void measure_style(const Style& style, const std::string& font, const Asked& asked, Sum& sum, Sum& as_loud) {
  const Performance performance = song_in(style, asked.keys);
  Performer performer(performance, sample_rate_hz);
  SoundFontPlayer player(performance, font, {sample_rate_hz, false});
  const test::StereoSound own = test::whole_sound(performer);
  const test::StereoSound other = test::whole_sound(player);
  sum.print(style.id, test::octave_bands(own, sample_rate_hz), test::octave_bands(other, sample_rate_hz));
  fmt::print(" | side {:5.1f} ({:5.1f}) |", side_db(own), side_db(other));
  double drums = 0;
  for (std::size_t i = 0; i < performance.parts.size(); ++i) {
    if (performance.parts[i].muted) continue;
    const double loudness = test::part_loudness_lufs(performance, i, sample_rate_hz);
    if (i == 0) drums = loudness;
    fmt::print(" {} {:.1f}", performance.parts[i].name, i == 0 ? loudness : loudness - drums);
    const double change = test::balance_correction_db(performance.parts[i].name, loudness - drums).value_or(0);
    if (i > 0 && change != 0) fmt::print(" ({:+.0f} dB)", change);
  }
  fmt::print("\n");
  if (asked.parts) measure_parts(performance, font, as_loud);
}

/// A triad, or a low note of a bass, on four beats.
void measure_instruments() {
  for (const InstrumentRow& row : instruments()) {
    if (row.drums) continue;
    const bool bass = row.highest <= 60;
    Performance bar;
    bar.parts = {{"one", row.id, 0, false}};
    bar.length = Beats(4);
    for (int beat = 0; beat < 4; ++beat) {
      for (const int midi : {60, 64, 67}) {
        if (bass && midi > 60) continue;
        bar.events.push_back({Beats(beat), Beats(9, 10), static_cast<std::uint8_t>(bass ? 36 : midi), 80, 0});
      }
    }
    fmt::print("{:15} {:6.1f} LUFS at {:5.1f} dB\n", row.name, test::part_loudness_lufs(bar, 0, sample_rate_hz),
               row.gain_db);
  }
}

/// Four strokes of each drum of General MIDI, ours against the font, with their loudness beside the snare drum.
void measure_drums(const std::string& font) {
  constexpr int snare = 38, lowest = 35, highest = 81;
  const auto strokes = [&](int key) {
    Performance bars;
    bars.parts = {{"drums", InstrumentId::drum_kit, 0, false}};
    bars.length = Beats(8);
    for (int beat = 0; beat < 8; beat += 2)
      bars.events.push_back({Beats(beat), Beats(1, 4), static_cast<std::uint8_t>(key), 90, 0});
    return compared(bars, font);
  };
  const Compared first = strokes(snare);
  for (int key = lowest; key <= highest; ++key)
    print_beside(std::to_string(key), strokes(key), first.own_lufs, first.font_lufs);
}

int run(std::span<char*> arguments) {
  if (arguments.size() < 2) {
    fmt::print(stderr, "usage: {} FONT.sf2 [-k] [-p] [STYLE...], or FONT.sf2 -d, or -i\n", arguments[0]);
    return 2;
  }
  if (std::string_view(arguments[1]) == "-i") {
    measure_instruments();
    return 0;
  }
  const std::vector<std::string_view> rest(arguments.begin() + 2, arguments.end());
  const auto asked = [&](std::string_view word) { return std::find(rest.begin(), rest.end(), word) != rest.end(); };
  if (asked("-d")) {
    measure_drums(arguments[1]);
    return 0;
  }
  const Asked wanted{asked("-k"), asked("-p")};
  const bool all = rest.size() == (wanted.keys ? 1U : 0U) + (wanted.parts ? 1U : 0U);
  fmt::print("{:17}", "octave bands, Hz");
  for (const double centre : test::octave_centres_hz) fmt::print(" {:5.0f}", centre);
  fmt::print(" | width, dB (font) | parts, LUFS and LU beside the first\n");
  Sum sum, as_loud;
  for (const Style& style : styles()) {
    if (all || asked(style.id)) measure_style(style, arguments[1], wanted, sum, as_loud);
  }
  if (sum.styles == 0) return 1;
  sum.print_all();
  if (wanted.parts) {
    fmt::print("with the font's parts as loud as ours:\n");
    as_loud.print_all();
  }
  return 0;
}

}  // namespace
}  // namespace romanesca

int main(int argc, char** argv) { return romanesca::run({argv, static_cast<std::size_t>(argc)}); }
