#pragma once

#include <termios.h>

#include <string>

#include "cli/play/live_environment.h"
#include "cli/studio/interrupt.h"

namespace romanesca {

/// Turns the bytes of a terminal into keys: arrows come as several bytes (ECMA-48).
class KeyDecoder {
 public:
  /// @return a key once it is complete; keys of several bytes other than arrows are ignored
  [[nodiscard]] std::optional<int> feed(char byte);

 private:
  std::string escape_;
};

/// This computer: its clock, terminal and ports. While an object exists the terminal sends each key at once without
/// echo, and Ctrl-C and other requests to end are recorded; the destructor restores the terminal.
class SystemEnvironment final : public LiveEnvironment {
 public:
  /// @param keys whether keys are read from the standard input
  explicit SystemEnvironment(bool keys);
  ~SystemEnvironment() override;

  [[nodiscard]] std::int64_t now_ns() override;
  [[nodiscard]] std::optional<int> next_key(int wait_ms) override;
  [[nodiscard]] bool asked_to_end() override { return InterruptGuard::requested(); }
  [[nodiscard]] Size size() override;
  [[nodiscard]] bool has_blocks() override;
  [[nodiscard]] std::unique_ptr<LiveOutput> open_port(LiveEngine& engine, const PortSelector& selector,
                                                      bool with_clock) override;
  [[nodiscard]] std::unique_ptr<LiveOutput> open_speakers(LiveEngine& engine,
                                                          const AudioDeviceSettings& settings) override;
  [[nodiscard]] std::unique_ptr<MidiInput> open_input(const PortSelector& selector) override;
  [[nodiscard]] std::unique_ptr<SoundInput> open_microphone(const AudioDeviceSettings& settings) override;

 private:
  InterruptGuard interrupt_;
  KeyDecoder decoder_;
  bool keys_, terminal_ = false;
  termios saved_terminal_{};
  void (*saved_sigpipe_)(int);
};

}  // namespace romanesca
