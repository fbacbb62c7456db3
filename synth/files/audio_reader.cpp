#include "synth/files/audio_reader.h"

#include <fcntl.h>
#include <sndfile.h>
#include <unistd.h>

#include <cerrno>
#include <cmath>
#include <cstddef>
#include <cstring>
#include <memory>
#include <vector>

#include "theory/text/errors.h"

namespace romanesca {

std::optional<bool> read_audio_file(const std::string& path, const std::function<void(const AudioFileFacts&)>& begin,
                                    const std::function<bool(std::span<const float>)>& use) {
  // Opened here, so that the system's reason is known: libsndfile has one for all.
  const int descriptor = open(path.c_str(), O_RDONLY | O_CLOEXEC);     // NOLINT(cppcoreguidelines-pro-type-vararg)
  if (descriptor < 0) throw SystemError(std::strerror(errno), errno);  // NOLINT(concurrency-mt-unsafe)
  SF_INFO info{};
  const std::unique_ptr<SNDFILE, int (*)(SNDFILE*)> file(sf_open_fd(descriptor, SFM_READ, &info, SF_TRUE), sf_close);
  if (file == nullptr) return std::nullopt;
  if (info.channels < 1 || info.samplerate < 1) return std::nullopt;
  begin({static_cast<double>(info.samplerate), info.channels, info.frames});
  constexpr std::size_t block = 4096;
  const auto channels = static_cast<std::size_t>(info.channels);
  std::vector<float> frames(block * channels), mono(block);
  for (;;) {
    const sf_count_t count = sf_readf_float(file.get(), frames.data(), static_cast<sf_count_t>(block));
    if (count <= 0) return true;
    for (std::size_t i = 0; i < static_cast<std::size_t>(count); ++i) {
      float sum = 0;
      for (std::size_t channel = 0; channel < channels; ++channel) sum += frames[i * channels + channel];
      mono[i] = std::isfinite(sum) ? sum / static_cast<float>(channels) : 0;
    }
    if (!use(std::span(mono).first(static_cast<std::size_t>(count)))) return false;
  }
}

}  // namespace romanesca
