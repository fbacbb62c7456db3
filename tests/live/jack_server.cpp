#include "tests/live/jack_server.h"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <thread>

#include "synth/live/jack_watch.h"

namespace romanesca::test {
namespace {

void wait_ms(int ms) { std::this_thread::sleep_for(std::chrono::milliseconds(ms)); }

}  // namespace

JackServer::JackServer(std::string name) : name_(std::move(name)) {
  setenv("JACK_DEFAULT_SERVER", name_.c_str(), 1);
  setenv("JACK_NO_START_SERVER", "1", 1);
  setenv("JACK_NO_AUDIO_RESERVATION", "1", 1);
  start();
}

JackServer::~JackServer() { stop(SIGTERM); }

void JackServer::start() {
  pid_ = fork();
  if (pid_ == 0) {
    const int nowhere = open("/dev/null", O_RDWR);
    for (const int stream : {0, 1, 2}) dup2(nowhere, stream);
    // Synchronous, since an asynchronous server drops MIDI when a client misses a cycle.
    execlp("jackd", "jackd", "-n", name_.c_str(), "-r", "-S", "-s", "-d", "dummy", "-r", "48000", "-p", "128", nullptr);
    _exit(127);
  }
  for (int i = 0; i < 100; ++i) {
    wait_ms(100);
    if (JackWatch::of_running_server() != nullptr) return;
    if (waitpid(pid_, nullptr, WNOHANG) == pid_) break;
  }
  pid_ = -1;
  GTEST_FAIL() << "jackd (Debian's jackd2) does not start";
}

void JackServer::stop(int signal) {
  if (pid_ < 0) return;
  kill(pid_, signal);
  for (int i = 0; i < 100; ++i) {
    if (waitpid(pid_, nullptr, WNOHANG) == pid_) break;
    wait_ms(100);
    if (i == 80) kill(pid_, SIGKILL);
  }
  pid_ = -1;
  sweep();
}

/// What a killed server leaves in shared memory.
void JackServer::sweep() const {
  std::error_code ignored;
  for (const auto& entry : std::filesystem::directory_iterator("/dev/shm", ignored)) {
    const std::string file = entry.path().filename();
    const bool ours = file.starts_with("jack_" + name_ + "_") ||
                      (file.starts_with("jack_sem.") && file.find("_" + name_ + "_") != file.npos);
    if (ours) std::filesystem::remove(entry.path(), ignored);
  }
}

}  // namespace romanesca::test
