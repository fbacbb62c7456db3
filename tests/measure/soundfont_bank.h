#pragma once

#include <fluidsynth.h>

#include <memory>
#include <optional>
#include <string>

#include "tests/measure/note_bank.h"

namespace romanesca::test {

/// The notes of a General MIDI program of a SoundFont, without reverb or chorus, the loudest sample at 1.
/// @return nothing if the file cannot be read
inline std::optional<NoteBank> soundfont_bank(const std::string& file, int program, int velocity) {
  const std::unique_ptr<fluid_settings_t, void (*)(fluid_settings_t*)> settings(new_fluid_settings(),
                                                                                delete_fluid_settings);
  fluid_settings_setnum(settings.get(), "synth.sample-rate", hearing_rate_hz);
  fluid_settings_setint(settings.get(), "synth.reverb.active", 0);
  fluid_settings_setint(settings.get(), "synth.chorus.active", 0);
  const std::unique_ptr<fluid_synth_t, void (*)(fluid_synth_t*)> synth(new_fluid_synth(settings.get()),
                                                                       delete_fluid_synth);
  const int font = fluid_synth_sfload(synth.get(), file.c_str(), 1);
  if (font == FLUID_FAILED) return std::nullopt;
  fluid_synth_program_select(synth.get(), 0, font, 0, program);
  NoteBank bank;
  float loudest = 1e-6f;
  for (int midi = lowest_bank_note; midi <= highest_bank_note; ++midi) {
    std::vector<float> left(bank_samples(1.8)), right(left.size());
    fluid_synth_noteon(synth.get(), 0, midi, velocity);
    fluid_synth_write_float(synth.get(), static_cast<int>(left.size()), left.data(), 0, 1, right.data(), 0, 1);
    fluid_synth_all_sounds_off(synth.get(), 0);
    std::vector<float> rest(bank_samples(0.2)), other(rest.size());
    fluid_synth_write_float(synth.get(), static_cast<int>(rest.size()), rest.data(), 0, 1, other.data(), 0, 1);
    for (std::size_t i = 0; i < left.size(); ++i) {
      left[i] = 0.5f * (left[i] + right[i]);
      loudest = std::max(loudest, std::abs(left[i]));
    }
    bank[static_cast<std::size_t>(midi)] = std::move(left);
  }
  for (std::vector<float>& note : bank) {
    for (float& sample : note) sample /= loudest;
  }
  return bank;
}

}  // namespace romanesca::test
