// The parts of synth/hearing, each against what is known of the sound that is made here.
#include <gtest/gtest.h>

#include <complex>

#include "synth/hearing/fourier.h"
#include "synth/hearing/pitch_spectrum.h"
#include "synth/hearing/resampler.h"
#include "tests/measure/note_bank.h"
#include "tests/measure/sound_meter.h"

namespace romanesca {
namespace {

std::vector<float> sine(double hz, double amplitude, std::size_t length, double rate_hz) {
  std::vector<float> sound(length);
  for (std::size_t i = 0; i < length; ++i) {
    sound[i] = static_cast<float>(amplitude * std::sin(2 * M_PI * hz * static_cast<double>(i) / rate_hz));
  }
  return sound;
}

/// Against the sum that defines the transform, in double precision.
TEST(Fourier, IsTheSumThatDefinesIt) {
  test::SceneRandom random(3);
  constexpr std::size_t size = 64;
  std::vector<float> real(size), imaginary(size);
  for (std::size_t i = 0; i < size; ++i) {
    real[i] = static_cast<float>(random.uniform(-1, 1));
    imaginary[i] = static_cast<float>(random.uniform(-1, 1));
  }
  const std::vector<float> a = real;
  const std::vector<float> b = imaginary;
  Fourier(size).transform(real.data(), imaginary.data());
  for (std::size_t k = 0; k < size; ++k) {
    std::complex<double> sum;
    for (std::size_t i = 0; i < size; ++i) {
      sum += std::complex<double>(a[i], b[i]) *
             std::polar(1.0, -2 * M_PI * static_cast<double>(i * k) / static_cast<double>(size));
    }
    EXPECT_NEAR(real[k], sum.real(), 1e-5);
    EXPECT_NEAR(imaginary[k], sum.imag(), 1e-5);
  }
}

TEST(AmplitudeSpectrum, ASineHasItsAmplitude) {
  AmplitudeSpectrum spectrum(4096);
  std::vector<float> lines(2049);
  const double line_hz = hearing_rate_hz / 4096;
  spectrum.compute(sine(100 * line_hz, 0.5, 4096, hearing_rate_hz), lines);
  EXPECT_NEAR(lines[100], 0.5, 1e-4);
  EXPECT_NEAR(lines[101], 0.25, 1e-3) << "the neighbour of a Hann window has half";
  EXPECT_LT(lines[110], 1e-5);
}

/// Level of a sine after the conversion, in dB.
double converted_db(double hz, double from_hz) {
  HearingResampler resampler(from_hz);
  std::vector<float> converted;
  resampler.push(sine(hz, 1, static_cast<std::size_t>(from_hz), from_hz),
                 [&](float sample) { converted.push_back(sample); });
  EXPECT_NEAR(static_cast<double>(converted.size()), hearing_rate_hz, 2);
  double energy = 0;
  for (std::size_t i = 2000; i < 20000; ++i)
    energy += static_cast<double>(converted[i]) * static_cast<double>(converted[i]);
  return 10 * std::log10(energy / 18000 * 2 + 1e-30);
}

TEST(HearingResampler, KeepsWhatIsHeardAndRemovesWhatWouldAlias) {
  for (const double rate_hz : {44100.0, 48000.0, 96000.0}) {
    for (const double hz : {50.0, 440.0, 2000.0, 5000.0, 8000.0})
      EXPECT_NEAR(converted_db(hz, rate_hz), 0, 0.5) << hz << " of " << rate_hz;
    // 22050 - 13050 = 9000
    for (const double hz : {13050.0, 15000.0, 18000.0, 20000.0})
      EXPECT_LT(converted_db(hz, rate_hz), -60) << hz << " of " << rate_hz;
  }
  EXPECT_NEAR(converted_db(1000, 16000), 0, 0.5);
}

TEST(HearingResampler, KeepsThePitch) {
  HearingResampler resampler(48000);
  std::vector<float> converted;
  resampler.push(sine(440, 0.5, 48000, 48000), [&](float sample) { converted.push_back(sample); });
  EXPECT_NEAR(test::cents_off(std::span(converted).subspan(2000, 16384), 440, hearing_rate_hz), 0, 0.05);
}

/// The piano of the project, in equal temperament from 440 Hz (ISO 16), read faster or slower.
TEST(TuningMeter, FindsHowAPianoIsTuned) {
  const test::NoteBank bank = test::own_piano(80);
  for (const double cents : {-51.0, -35.0, 0.0, 17.0, 43.0}) {
    TuningMeter meter;
    AmplitudeSpectrum spectrum(pitch_block);
    std::vector<float> lines(pitch_block / 2 + 1);
    for (const int root : {55, 60, 64}) {
      std::vector<float> dry(22050);
      test::add_notes(dry, {{0, 1, root, 1}, {0, 1, root + 4, 1}, {0, 1, root + 7, 1}}, bank);
      std::vector<float> sound(static_cast<std::size_t>(22050 / std::exp2(cents / 1200)) - 1);
      for (std::size_t i = 0; i < sound.size(); ++i) {
        const double place = static_cast<double>(i) * std::exp2(cents / 1200);
        const auto whole = static_cast<std::size_t>(place);
        const auto share = static_cast<float>(place - static_cast<double>(whole));
        sound[i] = dry[whole] * (1 - share) + dry[std::min<std::size_t>(whole + 1, 22049)] * share;
      }
      spectrum.compute(std::span<const float>(sound).subspan(1000, pitch_block), lines);
      meter.add(lines);
    }
    EXPECT_NEAR(meter.cents(), cents, 3) << "stretched tuning of the strings' partials raises it a little";
    EXPECT_GT(meter.agreement(), 0.5);
  }
}

}  // namespace
}  // namespace romanesca
