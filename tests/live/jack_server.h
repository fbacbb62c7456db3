#pragma once

#include <sys/types.h>

#include <string>

namespace romanesca::test {

/// A separate JACK server, with the dummy driver, which needs no sound card. Clients of this process and of its
/// children connect to it.
class JackServer {
 public:
  /// @param name of the server; fails the test where jackd does not start.
  explicit JackServer(std::string name);
  ~JackServer();
  JackServer(const JackServer&) = delete;
  JackServer& operator=(const JackServer&) = delete;

  void start();
  /// @param signal SIGTERM or SIGKILL
  void stop(int signal);

 private:
  void sweep() const;
  std::string name_;
  pid_t pid_ = -1;
};

}  // namespace romanesca::test
