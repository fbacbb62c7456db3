#include "cli/play/system_environment.h"

#include <poll.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <cerrno>
#include <csignal>
#include <cstdlib>
#include <string_view>

#include "cli/play/play_action.h"
#include "synth/live/clock_thread.h"
#include "synth/live/microphone.h"
#include "synth/live/midi_keyboard.h"
#include "synth/live/midi_out.h"
#include "synth/live/speakers.h"

namespace romanesca {

std::optional<int> KeyDecoder::feed(char byte) {
  if (byte == '\x1b') {
    escape_ = byte;
    return std::nullopt;
  }
  if (escape_.empty()) return static_cast<unsigned char>(byte);
  escape_ += byte;
  if (escape_.size() == 2 && (byte == '[' || byte == 'O')) return std::nullopt;
  if (escape_.size() > 2 && (byte < '@' || byte > '~')) {
    if (escape_.size() > 16) escape_.clear();  // longer than the sequence of any key
    return std::nullopt;
  }
  const bool is_unmodified = escape_.size() == 3;
  escape_.clear();
  if (!is_unmodified) return std::nullopt;
  switch (byte) {
    case 'A':
      return key_arrow_up;
    case 'B':
      return key_arrow_down;
    case 'C':
      return key_arrow_right;
    case 'D':
      return key_arrow_left;
    default:
      return std::nullopt;
  }
}

SystemEnvironment::SystemEnvironment(bool keys) : keys_(keys), saved_sigpipe_(std::signal(SIGPIPE, SIG_IGN)) {
  terminal_ = keys_ && isatty(STDIN_FILENO) != 0 && tcgetattr(STDIN_FILENO, &saved_terminal_) == 0;
  if (!terminal_) return;
  termios raw = saved_terminal_;
  raw.c_lflag &= ~static_cast<tcflag_t>(ICANON | ECHO);
  raw.c_cc[VMIN] = 0;
  raw.c_cc[VTIME] = 0;
  raw.c_cc[VSUSP] = _POSIX_VDISABLE;  // Ctrl-Z would leave notes sounding
  tcsetattr(STDIN_FILENO, TCSANOW, &raw);
}

SystemEnvironment::~SystemEnvironment() {
  if (terminal_) tcsetattr(STDIN_FILENO, TCSANOW, &saved_terminal_);
  std::signal(SIGPIPE, saved_sigpipe_);
}

std::int64_t SystemEnvironment::now_ns() { return monotonic_ns(); }

std::optional<int> SystemEnvironment::next_key(int wait_ms) {
  pollfd wait{STDIN_FILENO, POLLIN, 0};
  const int ready = poll(&wait, keys_ ? 1 : 0, wait_ms);
  if (ready <= 0) return std::nullopt;
  char byte = 0;
  const ssize_t count = read(STDIN_FILENO, &byte, 1);
  if (count == 1) return decoder_.feed(byte);
  if (count < 0 && (errno == EINTR || errno == EAGAIN)) return std::nullopt;
  keys_ = false;
  return terminal_ ? std::optional<int>(key_closed) : std::nullopt;  // the end of a pipe only means no more keys
}

LiveEnvironment::Size SystemEnvironment::size() {
  winsize size{};
  if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 20 && size.ws_row > 5) {
    return {size.ws_col, size.ws_row};
  }
  return {};
}

bool SystemEnvironment::has_blocks() {
  for (const char* const name : {"LC_ALL", "LC_CTYPE", "LANG"}) {
    const char* const value = std::getenv(name);
    if (value == nullptr || *value == 0) continue;
    const std::string_view text(value);
    const auto has = [&](std::string_view word) { return text.find(word) != std::string_view::npos; };
    return has("UTF-8") || has("utf8") || has("UTF8");
  }
  return false;
}

std::unique_ptr<LiveOutput> SystemEnvironment::open_port(LiveEngine& engine, const PortSelector& selector,
                                                         bool with_clock) {
  return std::make_unique<MidiOut>(engine, selector, with_clock);
}

std::unique_ptr<LiveOutput> SystemEnvironment::open_speakers(LiveEngine& engine, const AudioDeviceSettings& settings) {
  return std::make_unique<Speakers>(engine, settings);
}

std::unique_ptr<MidiInput> SystemEnvironment::open_input(const PortSelector& selector) {
  return std::make_unique<MidiKeyboard>(selector);
}

std::unique_ptr<SoundInput> SystemEnvironment::open_microphone(const AudioDeviceSettings& settings) {
  return std::make_unique<Microphone>(settings);
}

}  // namespace romanesca
