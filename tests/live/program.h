#pragma once

#include <sys/types.h>

#include <string>
#include <vector>

namespace romanesca::test {

/// The program at a terminal of its own: keys go in, what it shows comes out.
class Program {
 public:
  /// Starts romanesca with these arguments. ROMANESCA_PROGRAM in the environment names another build of it.
  explicit Program(const std::vector<std::string>& arguments);
  ~Program();
  Program(const Program&) = delete;
  Program& operator=(const Program&) = delete;

  void press(const std::string& keys);
  void signal(int number) const;
  void close_terminal();
  /// Reads on until the text has come, for so long at most. @return whether it has
  bool shows(const std::string& text, int within_ms);
  /// Lets it run and reads what it shows.
  void run(int ms);
  /// Waits for its end. @return its exit status; -1 if it did not end in time and was killed, 128 and the signal's
  /// number if one ended it
  int status(int within_ms);
  [[nodiscard]] const std::string& shown() const { return shown_; }

 private:
  void read_on(int ms);
  pid_t pid_ = -1;
  int terminal_ = -1;
  std::string shown_;
};

}  // namespace romanesca::test
