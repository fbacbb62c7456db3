#pragma once

#include <termios.h>

#include <string>

#include "cli/play/live_environment.h"
#include "cli/studio/interrupt.h"

namespace romanesca {

/// Turns the bytes of a terminal into keys: arrows come as several bytes (ECMA-48).
class KeyDecoder {
 public:
  /// @return a key, once its bytes are there; others than arrows that come as several bytes are left out.
  [[nodiscard]] std::optional<int> feed(char byte);

 private:
  std::string escape_;
};

/// This computer: its clock, terminal and ports. While one lives, keys come one by one and are not shown, and Ctrl-C
/// and the like are remembered; afterwards the terminal is as it was.
class SystemEnvironment final : public LiveEnvironment {
 public:
  /// @param keys whether keys are read from the standard input at all
  explicit SystemEnvironment(bool keys);
  ~SystemEnvironment() override;

  [[nodiscard]] std::int64_t now_ns() override;
  [[nodiscard]] std::optional<int> next_key(int wait_ms) override;
  [[nodiscard]] bool asked_to_end() override { return InterruptGuard::requested(); }
  [[nodiscard]] Size size() override;
  [[nodiscard]] bool has_blocks() override;
  [[nodiscard]] std::unique_ptr<LiveOutput> open_port(LiveEngine& engine, const PortSelector& wish,
                                                      bool with_clock) override;
  [[nodiscard]] std::unique_ptr<LiveOutput> open_speakers(LiveEngine& engine, const AudioDeviceSettings& wish) override;
  [[nodiscard]] std::unique_ptr<MidiInput> open_input(const PortSelector& wish) override;

 private:
  InterruptGuard interrupt_;
  KeyDecoder decoder_;
  bool keys_, terminal_ = false;
  termios before_{};
  void (*pipe_before_)(int);
};

}  // namespace romanesca
