#pragma once

#include <algorithm>
#include <cmath>
#include <vector>

#include "synth/hearing/fourier.h"
#include "tests/measure/note_bank.h"

namespace romanesca::test {

/// What lies between a piano and the program: the piano's tuning, a room, a telephone's microphone, noise, hum and
/// automatic gain. The ranges are those of the study that came before the program (rooms of 0.2 to 0.7 s, noise 10 to
/// 25 dB below the piano, a band from 100-220 Hz to 4-8 kHz); they are judgement, not measurements of telephones.
struct RoomSettings {
  bool telephone = true;                                   ///< false: only room and a little noise
  double flattest_cents = -45, sharpest_cents = 45;        ///< of the piano
  double least_noise_db = -25, most_noise_db = -10;        ///< re the piano
  double far_share = 0;                                    ///< of simulated rooms where the microphone is far away
  const std::vector<std::vector<float>>* rooms = nullptr;  ///< impulse responses; null: a simulated one each time
};

/// Sound at a position in a simulated small room: the direct sound, six early reflections, and noise that decays.
inline std::vector<float> simulated_room(SceneRandom& random) {
  const double decay_s = random.uniform(0.2, 0.7);
  std::vector<float> response(bank_samples(decay_s * 1.2));
  const double level = random.uniform(0.02, 0.08);
  for (std::size_t i = 44; i < response.size(); ++i) {
    response[i] = static_cast<float>(level * random.normal() *
                                     std::pow(10, -3 * static_cast<double>(i) / hearing_rate_hz / decay_s));
  }
  for (int i = 0; i < 6; ++i)
    response[bank_samples(random.uniform(0.002, 0.03))] += static_cast<float>(random.uniform(-0.5, 0.5));
  response[0] = 1;
  return response;
}

namespace scene_detail {

inline std::size_t power_of_two(std::size_t least) {
  std::size_t size = 2;
  while (size < least) size *= 2;
  return size;
}

struct ComplexSound {
  std::vector<float> real, imaginary;
};

inline ComplexSound spectrum_of(const Fourier& fourier, const std::vector<float>& sound) {
  ComplexSound spectrum{std::vector<float>(fourier.size()), std::vector<float>(fourier.size())};
  std::copy(sound.begin(), sound.begin() + static_cast<std::ptrdiff_t>(std::min(sound.size(), fourier.size())),
            spectrum.real.begin());
  fourier.transform(spectrum.real.data(), spectrum.imaginary.data());
  return spectrum;
}

/// The inverse transform: real and imaginary part change places before and after.
inline std::vector<float> sound_of(const Fourier& fourier, ComplexSound spectrum, std::size_t length) {
  fourier.transform(spectrum.imaginary.data(), spectrum.real.data());
  spectrum.real.resize(length);
  for (float& sample : spectrum.real) sample /= static_cast<float>(fourier.size());
  return std::move(spectrum.real);
}

inline double energy_of(const std::vector<float>& sound) {
  double sum = 0;
  for (const float sample : sound) sum += static_cast<double>(sample) * static_cast<double>(sample);
  return sum / static_cast<double>(std::max<std::size_t>(sound.size(), 1));
}

}  // namespace scene_detail

/// Noise whose energy falls by 3 dB an octave, with a mean square of 1.
inline std::vector<float> pink_noise(std::size_t length, SceneRandom& random) {
  const Fourier fourier(scene_detail::power_of_two(length));
  scene_detail::ComplexSound spectrum{std::vector<float>(fourier.size()), std::vector<float>(fourier.size())};
  for (std::size_t i = 1; i < fourier.size() / 2; ++i) {
    const double size = 1 / std::sqrt(static_cast<double>(i) + 1);
    spectrum.real[i] = static_cast<float>(size * random.uniform(-1, 1));
    spectrum.imaginary[i] = static_cast<float>(size * random.uniform(-1, 1));
  }
  std::vector<float> noise = scene_detail::sound_of(fourier, std::move(spectrum), length);
  const auto scale = static_cast<float>(1 / std::sqrt(scene_detail::energy_of(noise) + 1e-20));
  for (float& sample : noise) sample *= scale;
  return noise;
}

/// Another tuning: the sound is read faster or slower, which changes its tempo too (by less than 3 %).
inline std::vector<float> detuned(const std::vector<float>& sound, double cents) {
  const double ratio = std::exp2(cents / 1200);
  std::vector<float> result(static_cast<std::size_t>(static_cast<double>(sound.size() - 1) / ratio));
  for (std::size_t i = 0; i < result.size(); ++i) {
    const double place = static_cast<double>(i) * ratio;
    const auto whole = static_cast<std::size_t>(place);
    const auto share = static_cast<float>(place - static_cast<double>(whole));
    result[i] = sound[whole] + share * (sound[std::min(whole + 1, sound.size() - 1)] - sound[whole]);
  }
  return result;
}

/// A simulated room where the direct sound is weaker than what the walls give, which grows for some time.
inline std::vector<float> simulated_far_room(SceneRandom& random) {
  std::vector<float> response = simulated_room(random);
  const double growth_s = random.uniform(0.003, 0.03);
  for (std::size_t i = 1; i < response.size(); ++i)
    response[i] *= static_cast<float>(1 - std::exp(-static_cast<double>(i) / hearing_rate_hz / growth_s));
  response[0] = static_cast<float>(random.uniform(0.1, 0.6));
  return response;
}

/// What the microphone gives of a dry sound that has its tuning already.
inline std::vector<float> through_room(const std::vector<float>& dry, const RoomSettings& settings,
                                       SceneRandom& random) {
  using namespace scene_detail;
  const std::vector<float> room =
      settings.rooms != nullptr && !settings.rooms->empty()
          ? (*settings.rooms)[static_cast<std::size_t>(random.index(static_cast<int>(settings.rooms->size())))]
      : settings.far_share > 0 && random.chance(settings.far_share) ? simulated_far_room(random)
                                                                    : simulated_room(random);
  const Fourier fourier(power_of_two(dry.size() + room.size()));
  ComplexSound sound = spectrum_of(fourier, dry);
  const ComplexSound response = spectrum_of(fourier, room);
  const double tilt_db = random.uniform(-4, 4) / 2;
  std::array<std::array<double, 2>, 3> bells{};
  for (auto& bell : bells) bell = {random.uniform(-6, 6), std::log2(random.uniform(80, 6000))};
  const double low_hz = random.uniform(100, 220);
  const double high_hz = random.uniform(4000, 8000);
  const auto gain_at = [&](std::size_t line) {
    const double hz = static_cast<double>(line) * hearing_rate_hz / static_cast<double>(fourier.size()) + 1;
    const double octave = std::log2(hz);
    double gain_db = tilt_db * (octave - std::log2(1000.0));
    for (const auto& [size_db, centre] : bells) {
      const double distance = (octave - centre) / 0.6;
      if (std::abs(distance) < 4) gain_db += size_db * std::exp(-0.5 * distance * distance);
    }
    double gain = std::exp2(gain_db / 6.0206);
    if (settings.telephone) {
      const double low = low_hz / hz;
      const double high = hz / high_hz;
      gain /= std::sqrt(1 + low * low * low * low) * std::sqrt(1 + high * high * high * high * high * high);
    }
    return static_cast<float>(gain);
  };
  constexpr std::size_t step = 8;  // lines that share a gain, to save time
  std::vector<float> gains(fourier.size() / 2 / step + 1);
  for (std::size_t i = 0; i < gains.size(); ++i) gains[i] = gain_at(i * step);
  for (std::size_t i = 0; i < fourier.size(); ++i) {
    const float factor = gains[std::min(i, fourier.size() - i) / step];
    const float real = sound.real[i] * response.real[i] - sound.imaginary[i] * response.imaginary[i];
    const float imaginary = sound.real[i] * response.imaginary[i] + sound.imaginary[i] * response.real[i];
    sound.real[i] = real * factor;
    sound.imaginary[i] = imaginary * factor;
  }
  std::vector<float> heard = sound_of(fourier, std::move(sound), dry.size());
  const double level = std::sqrt(energy_of(heard)) + 1e-4;
  const std::vector<float> noise = pink_noise(heard.size(), random);
  const double noise_level =
      level *
      std::pow(10, (settings.telephone ? random.uniform(settings.least_noise_db, settings.most_noise_db) : -45) / 20);
  const std::array<double, 4> hums{50, 60, 100, 120};
  const double hum_hz = hums[static_cast<std::size_t>(random.index(4))];
  const double hum = settings.telephone ? level * std::pow(10, random.uniform(-40, -25) / 20) : 0;
  double follower = 0;
  float loudest = 1e-6f;
  for (std::size_t i = 0; i < heard.size(); ++i) {
    double sample = static_cast<double>(heard[i]) + noise_level * static_cast<double>(noise[i]) +
                    hum * std::sin(2 * M_PI * hum_hz * static_cast<double>(i) / hearing_rate_hz);
    follower += 0.0002 * (sample * sample - follower);
    if (settings.telephone) sample /= std::sqrt(std::sqrt(follower + 1e-8));  // half of a change in level is evened out
    heard[i] = static_cast<float>(sample);
    loudest = std::max(loudest, std::abs(heard[i]));
  }
  for (float& sample : heard) sample *= 0.9f / loudest;
  return heard;
}

}  // namespace romanesca::test
