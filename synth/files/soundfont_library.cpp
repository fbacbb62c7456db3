#include "synth/files/soundfont_library.h"

#include <dlfcn.h>

#include "theory/text/errors.h"

namespace romanesca {
namespace {

template <typename Function>
void find(void* library, const char* name, Function& function) {
  function = reinterpret_cast<Function>(dlsym(library, name));
  if (function == nullptr) throw SystemError("libfluidsynth is of another version: it has no " + std::string(name));
}

SoundFontLibrary load() {
  void* library = dlopen("libfluidsynth.so.3", RTLD_NOW | RTLD_LOCAL);
  if (library == nullptr) throw SystemError("libfluidsynth, which plays SoundFonts, is not installed");
  SoundFontLibrary found{};
  find(library, "fluid_set_log_function", found.set_log_function);
  find(library, "fluid_is_soundfont", found.is_soundfont);
  find(library, "new_fluid_settings", found.new_settings);
  find(library, "delete_fluid_settings", found.delete_settings);
  find(library, "fluid_settings_setnum", found.set_number);
  find(library, "fluid_settings_setint", found.set_whole);
  find(library, "new_fluid_synth", found.new_synth);
  find(library, "delete_fluid_synth", found.delete_synth);
  find(library, "fluid_synth_sfload", found.load);
  find(library, "fluid_synth_set_channel_type", found.set_channel_type);
  find(library, "fluid_synth_program_change", found.program_change);
  find(library, "fluid_synth_cc", found.control_change);
  find(library, "fluid_synth_noteon", found.note_on);
  find(library, "fluid_synth_noteoff", found.note_off);
  find(library, "fluid_synth_write_float", found.write_float);
  find(library, "fluid_synth_get_active_voice_count", found.active_voices);
  // What goes wrong is told by what the calls return.
  for (const int level : {FLUID_PANIC, FLUID_ERR, FLUID_WARN, FLUID_INFO, FLUID_DBG})
    found.set_log_function(level, nullptr, nullptr);
  return found;
}

}  // namespace

const SoundFontLibrary& soundfont_library() {
  static const SoundFontLibrary library = load();
  return library;
}

}  // namespace romanesca
