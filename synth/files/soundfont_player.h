#pragma once

#include <memory>
#include <string>

#include "synth/sound/performance.h"
#include "synth/sound/sound_source.h"

namespace romanesca {

/// Plays a performance with the sounds of a SoundFont, by libfluidsynth with its reverb and chorus. Each part has a
/// channel of its own and the General MIDI program of its instrument; drums play the font's drum sets. Part gains and
/// mutes are those of the performance, but a part gets at most 4 dB louder, the limit of MIDI volume. A
/// loop has the lead-in of SoundSource. Notes begin on a grid of 64 frames, that of libfluidsynth. Samples of
/// many fonts have a constant offset, which would cost headroom and click where a part ends: it is removed
/// (offset_remover.h).
class SoundFontPlayer final : public SoundSource {
 public:
  struct Settings {
    double sample_rate_hz = 48000;  ///< 8000 to 96000
    bool loop = false;
  };
  /// Throws SystemError when the library or the file is missing, or the file is not a SoundFont.
  SoundFontPlayer(const Performance& performance, const std::string& soundfont, const Settings& settings);
  ~SoundFontPlayer() override;
  SoundFontPlayer(const SoundFontPlayer&) = delete;
  SoundFontPlayer& operator=(const SoundFontPlayer&) = delete;

  /// May allocate: it is meant for files, not for an audio thread.
  void render(StereoBlock block) noexcept override;
  [[nodiscard]] std::int64_t length_frames() const noexcept override;
  [[nodiscard]] std::int64_t lead_in_frames() const noexcept override;
  [[nodiscard]] bool finished() const noexcept override;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace romanesca
