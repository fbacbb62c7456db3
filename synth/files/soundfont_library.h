#pragma once

#include <fluidsynth.h>

namespace romanesca {

/// What is used of libfluidsynth, found when it is needed: the program starts as fast without it, and does everything
/// else where it is not installed.
struct SoundFontLibrary {
  decltype(&fluid_set_log_function) set_log_function;
  decltype(&fluid_is_soundfont) is_soundfont;
  decltype(&new_fluid_settings) new_settings;
  decltype(&delete_fluid_settings) delete_settings;
  decltype(&fluid_settings_setnum) set_number;
  decltype(&fluid_settings_setint) set_whole;
  decltype(&new_fluid_synth) new_synth;
  decltype(&delete_fluid_synth) delete_synth;
  decltype(&fluid_synth_sfload) load;
  decltype(&fluid_synth_set_channel_type) set_channel_type;
  decltype(&fluid_synth_program_change) program_change;
  decltype(&fluid_synth_cc) control_change;
  decltype(&fluid_synth_noteon) note_on;
  decltype(&fluid_synth_noteoff) note_off;
  decltype(&fluid_synth_write_float) write_float;
  decltype(&fluid_synth_get_active_voice_count) active_voices;
};

/// The library, loaded on the first call. Throws SystemError when the system does not have it.
[[nodiscard]] const SoundFontLibrary& soundfont_library();

}  // namespace romanesca
