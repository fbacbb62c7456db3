#include "tests/live/program.h"

#include <poll.h>
#include <pty.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <chrono>
#include <csignal>
#include <cstdlib>

namespace romanesca::test {
namespace {

using Clock = std::chrono::steady_clock;

}  // namespace

Program::Program(const std::vector<std::string>& arguments) {
  const char* const other = std::getenv("ROMANESCA_PROGRAM");
  const std::string path = other != nullptr ? other : PROGRAM_PATH;
  std::vector<std::string> words{path};
  words.insert(words.end(), arguments.begin(), arguments.end());
  std::vector<char*> argv;
  for (std::string& word : words) argv.push_back(word.data());
  argv.push_back(nullptr);
  winsize size{24, 80, 0, 0};
  pid_ = forkpty(&terminal_, nullptr, nullptr, &size);
  if (pid_ == 0) {
    std::signal(SIGHUP, SIG_DFL);  // a run of the tests in the background hands it on ignored
    execv(path.c_str(), argv.data());
    _exit(127);
  }
}

Program::~Program() {
  close_terminal();
  if (pid_ > 0) status(1);
}

void Program::press(const std::string& keys) {
  for (std::size_t done = 0; done < keys.size();) {
    const ssize_t count = write(terminal_, keys.data() + done, keys.size() - done);
    if (count <= 0) return;
    done += static_cast<std::size_t>(count);
  }
}

void Program::signal(int number) const { kill(pid_, number); }

void Program::close_terminal() {
  if (terminal_ >= 0) close(terminal_);
  terminal_ = -1;
}

void Program::read_on(int ms) {
  pollfd wait{terminal_, POLLIN, 0};
  std::array<char, 4096> buffer{};
  if (poll(&wait, terminal_ >= 0 ? 1 : 0, ms) <= 0) return;
  const ssize_t count = read(terminal_, buffer.data(), buffer.size());
  if (count > 0) {
    shown_.append(buffer.data(), static_cast<std::size_t>(count));
  } else {
    close_terminal();
  }
}

void Program::run(int ms) {
  const auto until = Clock::now() + std::chrono::milliseconds(ms);
  while (Clock::now() < until) read_on(10);
}

bool Program::shows(const std::string& text, int within_ms) {
  const auto until = Clock::now() + std::chrono::milliseconds(within_ms);
  while (shown_.find(text) == std::string::npos) {
    if (Clock::now() > until) return false;
    read_on(20);
  }
  return true;
}

int Program::status(int within_ms) {
  const auto until = Clock::now() + std::chrono::milliseconds(within_ms);
  int state = 0;
  while (waitpid(pid_, &state, WNOHANG) != pid_) {
    if (Clock::now() > until) {
      kill(pid_, SIGKILL);
      waitpid(pid_, &state, 0);
      pid_ = -1;
      return -1;
    }
    read_on(10);
  }
  pid_ = -1;
  return WIFEXITED(state) ? WEXITSTATUS(state) : 128 + WTERMSIG(state);
}

}  // namespace romanesca::test
