#include "cli/studio/external_decoder.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <poll.h>
#include <signal.h>  // NOLINT(modernize-deprecated-headers): kill() is POSIX's
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <string>
#include <vector>

#include "cli/studio/interrupt.h"

extern char** environ;  // NOLINT(readability-redundant-declaration): POSIX leaves it to the program

namespace romanesca {
namespace {

struct EndingFormat {
  std::string_view ending, format;
};
constexpr std::array<EndingFormat, 14> ending_formats{{{"m4a", "mov"},
                                                       {"mp4", "mov"},
                                                       {"m4b", "mov"},
                                                       {"mov", "mov"},
                                                       {"3gp", "mov"},
                                                       {"3ga", "mov"},
                                                       {"aac", "aac"},
                                                       {"webm", "matroska"},
                                                       {"mka", "matroska"},
                                                       {"mkv", "matroska"},
                                                       {"weba", "matroska"},
                                                       {"wma", "asf"},
                                                       {"amr", "amr"},
                                                       {"opus", "ogg"}}};

/// A pipe of which the reading end stays here; closed at the end of the scope.
struct DecoderPipe {
  std::array<int, 2> ends{-1, -1};
  bool open() { return pipe2(ends.data(), O_CLOEXEC) == 0; }
  void close_end(std::size_t end) {
    if (ends[end] >= 0) close(ends[end]);
    ends[end] = -1;
  }
  ~DecoderPipe() {
    close_end(0);
    close_end(1);
  }
};

/// Starts it with the pipe as standard output and nothing as input and messages. @return 0 or a number of errno
int start(std::vector<std::string> words, const DecoderPipe& pipe, pid_t& process) {
  std::vector<char*> arguments;
  for (std::string& word : words) arguments.push_back(word.data());
  arguments.push_back(nullptr);
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_adddup2(&actions, pipe.ends[1], STDOUT_FILENO);
  posix_spawn_file_actions_addopen(&actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
  posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
  const int error = posix_spawn(&process, words.front().c_str(), &actions, nullptr, arguments.data(), environ);
  posix_spawn_file_actions_destroy(&actions);
  return error;
}

enum class Reading { to_the_end, stopped, interrupted };

Reading read_floats(int pipe, const std::function<bool(std::span<const float>)>& use) {
  std::vector<char> bytes(1 << 16);
  std::vector<float> samples;
  std::size_t held = 0;  // bytes of a float that is not whole yet
  for (;;) {
    if (InterruptGuard::requested()) return Reading::interrupted;
    pollfd wait{pipe, POLLIN, 0};
    if (poll(&wait, 1, 200) <= 0) continue;
    const ssize_t count = read(pipe, bytes.data() + held, bytes.size() - held);
    if (count < 0 && errno == EINTR) continue;
    if (count <= 0) return Reading::to_the_end;
    const std::size_t all = held + static_cast<std::size_t>(count);
    samples.resize(all / sizeof(float));
    std::memcpy(samples.data(), bytes.data(), samples.size() * sizeof(float));
    held = all % sizeof(float);
    std::memmove(bytes.data(), bytes.data() + all - held, held);
    if (!use(samples)) return Reading::stopped;
  }
}

}  // namespace

std::optional<std::string_view> external_format(std::string_view ending) {
  for (const EndingFormat& row : ending_formats) {
    if (row.ending == ending) return row.format;
  }
  return std::nullopt;
}

std::filesystem::path external_decoder() {
  const char* const folders = std::getenv("PATH");  // NOLINT(concurrency-mt-unsafe)
  std::string_view rest = folders != nullptr ? folders : "";
  while (!rest.empty()) {
    const std::size_t end = std::min(rest.find(':'), rest.size());
    const std::filesystem::path folder(rest.substr(0, end));
    rest.remove_prefix(std::min(end + 1, rest.size()));
    if (!folder.is_absolute()) continue;
    std::filesystem::path program = folder / "ffmpeg";
    std::error_code none;
    if (std::filesystem::is_regular_file(program, none) && access(program.c_str(), X_OK) == 0) return program;
  }
  return {};
}

Status decode_externally(const std::filesystem::path& program, const std::filesystem::path& file,
                         std::string_view format, int sample_rate_hz,
                         const std::function<bool(std::span<const float>)>& use) {
  const InterruptGuard guard;
  DecoderPipe pipe;
  pid_t process = -1;
  // "file:" before the name, so that nothing in it is taken for an option or an address.
  const int error = pipe.open() ? start({program.string(),
                                         "-nostdin",
                                         "-v",
                                         "error",
                                         "-protocol_whitelist",
                                         "file,pipe",
                                         "-f",
                                         std::string(format),
                                         "-i",
                                         "file:" + file.string(),
                                         "-vn",
                                         "-sn",
                                         "-dn",
                                         "-ac",
                                         "1",
                                         "-ar",
                                         std::to_string(sample_rate_hz),
                                         "-f",
                                         "f32le",
                                         "pipe:1"},
                                        pipe, process)
                                : errno;
  if (error != 0)
    return Failure(ExitStatus::file_refused, fmt::format("ffmpeg cannot be started: {}", std::strerror(error)),
                   "convert the recording to WAV, FLAC, Ogg or MP3");
  pipe.close_end(1);
  const Reading reading = read_floats(pipe.ends[0], use);
  if (reading != Reading::to_the_end) kill(process, SIGKILL);
  int status = 0;
  while (waitpid(process, &status, 0) < 0 && errno == EINTR) {
  }
  if (reading == Reading::interrupted) return Failure(ExitStatus::interrupted, "stopped");
  if (reading == Reading::to_the_end && (!WIFEXITED(status) || WEXITSTATUS(status) != 0))
    return Failure(ExitStatus::file_refused, fmt::format("{}: ffmpeg cannot read that file", file.string()),
                   "convert the recording to WAV, FLAC, Ogg or MP3");
  return ok;
}

}  // namespace romanesca
