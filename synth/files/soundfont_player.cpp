#include "synth/files/soundfont_player.h"

#include <dlfcn.h>
#include <fluidsynth.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>

#include "synth/sound/offset_remover.h"
#include "synth/sound/timed_action.h"
#include "theory/text/errors.h"

namespace romanesca {

/// The functions used of libfluidsynth, looked up on first use: the program starts as fast without it, and does
/// everything else where it is not installed.
struct FluidSynth {
  decltype(&fluid_set_log_function) set_log_function;
  decltype(&fluid_is_soundfont) is_soundfont;
  decltype(&new_fluid_settings) new_settings;
  decltype(&delete_fluid_settings) delete_settings;
  decltype(&fluid_settings_setnum) set_number;
  decltype(&fluid_settings_setint) set_int;
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

namespace {

template <typename Function>
void find_symbol(void* library, const char* name, Function& function) {
  function = reinterpret_cast<Function>(dlsym(library, name));
  if (function == nullptr) throw SystemError("this version of libfluidsynth has no function " + std::string(name));
}

FluidSynth load_fluid_synth() {
  void* library = dlopen("libfluidsynth.so.3", RTLD_NOW | RTLD_LOCAL);
  if (library == nullptr) throw SystemError("libfluidsynth, which plays SoundFonts, is not installed");
  FluidSynth found{};
  find_symbol(library, "fluid_set_log_function", found.set_log_function);
  find_symbol(library, "fluid_is_soundfont", found.is_soundfont);
  find_symbol(library, "new_fluid_settings", found.new_settings);
  find_symbol(library, "delete_fluid_settings", found.delete_settings);
  find_symbol(library, "fluid_settings_setnum", found.set_number);
  find_symbol(library, "fluid_settings_setint", found.set_int);
  find_symbol(library, "new_fluid_synth", found.new_synth);
  find_symbol(library, "delete_fluid_synth", found.delete_synth);
  find_symbol(library, "fluid_synth_sfload", found.load);
  find_symbol(library, "fluid_synth_set_channel_type", found.set_channel_type);
  find_symbol(library, "fluid_synth_program_change", found.program_change);
  find_symbol(library, "fluid_synth_cc", found.control_change);
  find_symbol(library, "fluid_synth_noteon", found.note_on);
  find_symbol(library, "fluid_synth_noteoff", found.note_off);
  find_symbol(library, "fluid_synth_write_float", found.write_float);
  find_symbol(library, "fluid_synth_get_active_voice_count", found.active_voices);
  // Errors are reported by what the calls return.
  for (const int level : {FLUID_PANIC, FLUID_ERR, FLUID_WARN, FLUID_INFO, FLUID_DBG})
    found.set_log_function(level, nullptr, nullptr);
  return found;
}

/// The library, loaded on the first call. Throws SystemError when the system does not have it.
const FluidSynth& fluid_synth() {
  static const FluidSynth library = load_fluid_synth();
  return library;
}

constexpr double reverb_tail_s = 3;  // of the library's reverb, after the last voice
constexpr double font_gain = 0.6;    // about as loud as the built-in instruments
constexpr int volume_controller = 7;
constexpr double offset_hz = 7;  // as in the band: half a decibel down at 20 Hz, where hearing ends

/// MIDI's volume: 40 log10(value / 127) dB (General MIDI Level 2, MIDI Association); 100 is the default.
int font_volume_of(float gain_db) {
  return static_cast<int>(std::clamp(std::lround(100 * std::pow(10.0, static_cast<double>(gain_db) / 40)), 0L, 127L));
}

}  // namespace

struct SoundFontPlayer::State {
  const FluidSynth& library = fluid_synth();
  fluid_settings_t* settings = nullptr;
  fluid_synth_t* synth = nullptr;
  ActionList list;
  std::size_t next_action = 0;
  std::int64_t frame = 0;
  std::int64_t reverb_tail_frames = 0;
  std::int64_t quiet_since = 0;  ///< the frame when the last voice ended
  OffsetRemover left_offset, right_offset;
  std::array<float, block_frames> left{}, right{};  ///< the present block
  std::size_t used = block_frames;                  ///< frames of it that the caller has read

  explicit State(double sample_rate_hz)
      : left_offset(sample_rate_hz, offset_hz), right_offset(sample_rate_hz, offset_hz) {}
  State(const State&) = delete;
  State& operator=(const State&) = delete;
  ~State() {
    if (synth != nullptr) library.delete_synth(synth);
    if (settings != nullptr) library.delete_settings(settings);
  }

  void make_synth(double sample_rate_hz, std::size_t parts) {
    settings = library.new_settings();
    if (settings == nullptr) throw SystemError("libfluidsynth does not start");
    library.set_number(settings, "synth.sample-rate", sample_rate_hz);
    library.set_number(settings, "synth.gain", font_gain);
    library.set_int(settings, "synth.midi-channels", static_cast<int>((parts + 15) / 16 * 16));
    library.set_int(settings, "synth.threadsafe-api", 0);
    library.set_int(settings, "synth.dynamic-sample-loading", 1);
    synth = library.new_synth(settings);
    if (synth == nullptr) throw SystemError("libfluidsynth does not start");
  }

  void load(const std::string& soundfont) const {
    if (!std::filesystem::exists(soundfont)) throw SystemError("there is no file " + soundfont);
    if (library.is_soundfont(soundfont.c_str()) == 0 || library.load(synth, soundfont.c_str(), 1) < 0)
      throw SystemError(soundfont + " is not a SoundFont");
  }

  void assign_channels(const std::vector<Part>& parts) const {
    for (std::size_t i = 0; i < parts.size(); ++i) {
      const InstrumentRow& row = instrument(parts[i].instrument);
      const int channel = static_cast<int>(i);
      library.set_channel_type(synth, channel, row.drums ? CHANNEL_TYPE_DRUM : CHANNEL_TYPE_MELODIC);
      library.program_change(synth, channel, row.program);
      library.control_change(synth, channel, volume_controller, font_volume_of(parts[i].gain_db));
    }
  }

  void apply(const TimedAction& action) const noexcept {
    if (action.down) {
      library.note_on(synth, action.part, action.midi, action.velocity);
    } else {
      library.note_off(synth, action.part, action.midi);
    }
  }

  /// The next block of the grid.
  void render_block() noexcept {
    const std::vector<TimedAction>& actions = list.actions;
    for (std::size_t done = 0; done < block_frames;) {
      while (next_action < actions.size() && actions[next_action].frame <= frame) apply(actions[next_action++]);
      std::size_t count = block_frames - done;
      if (next_action < actions.size()) {
        const std::int64_t until_next = actions[next_action].frame - frame;
        count = static_cast<std::size_t>(std::min(static_cast<std::int64_t>(count), until_next));
      }
      library.write_float(synth, static_cast<int>(count), left.data() + done, 0, 1, right.data() + done, 0, 1);
      frame += static_cast<std::int64_t>(count);
      if (library.active_voices(synth) > 0) quiet_since = frame;
      done += count;
    }
    left_offset.process(left.data());
    right_offset.process(right.data());
    used = 0;
  }
};

SoundFontPlayer::SoundFontPlayer(const Performance& performance, const std::string& soundfont, const Settings& settings)
    : state_(std::make_unique<State>(settings.sample_rate_hz)) {
  state_->make_synth(settings.sample_rate_hz, std::max<std::size_t>(performance.parts.size(), 1));
  state_->load(soundfont);
  state_->assign_channels(performance.parts);
  state_->list = list_actions(performance, settings.sample_rate_hz, settings.loop);
  state_->frame = state_->list.first_frame;
  state_->quiet_since = state_->frame;
  state_->reverb_tail_frames = std::llround(reverb_tail_s * settings.sample_rate_hz);
}

SoundFontPlayer::~SoundFontPlayer() = default;

void SoundFontPlayer::render(StereoBlock block) noexcept {
  State& state = *state_;
  while (block.frames > 0) {
    if (state.used == block_frames) state.render_block();
    const std::size_t count = std::min(block.frames, block_frames - state.used);
    std::copy_n(state.left.data() + state.used, count, block.left);
    std::copy_n(state.right.data() + state.used, count, block.right);
    state.used += count;
    block = block.from(count);
  }
}

std::int64_t SoundFontPlayer::length_frames() const noexcept { return state_->list.length_frames; }

std::int64_t SoundFontPlayer::lead_in_frames() const noexcept { return -state_->list.first_frame; }

bool SoundFontPlayer::finished() const noexcept {
  return state_->next_action == state_->list.actions.size() &&
         state_->frame - state_->quiet_since >= state_->reverb_tail_frames;
}

}  // namespace romanesca
