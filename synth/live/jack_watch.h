#pragma once

#include <atomic>
#include <cstdint>
#include <memory>
#include <string>

namespace romanesca {

/// Stops libjack and libasound from writing to the terminal. May be called again.
void silence_backend_logs() noexcept;

/// A separate JACK client that notices when the server ends or stalls. RtMidi does not report that, and its send call
/// blocks for ever once its buffer is full. libjack is looked up at run time; without it, or without a server, there is
/// no watch. (JACK Audio Connection Kit API.)
class JackWatch {
 public:
  /// @return null if no server runs.
  [[nodiscard]] static std::unique_ptr<JackWatch> of_running_server();
  ~JackWatch();
  JackWatch(const JackWatch&) = delete;
  JackWatch& operator=(const JackWatch&) = delete;

  /// Whether the server has not ended. For any thread.
  [[nodiscard]] bool running() const noexcept { return !ended_.load(std::memory_order_relaxed); }
  /// Number of process cycles so far.
  [[nodiscard]] std::uint32_t cycles() const noexcept { return cycles_.load(std::memory_order_relaxed); }
  /// Whether a port of that full name exists.
  [[nodiscard]] bool has_port(const std::string& name) const;

  struct Library;

 private:
  JackWatch(const Library& library, void* client) : library_(library), client_(client) {}
  static void on_end(void* self) noexcept;
  static int on_cycle(std::uint32_t frames, void* self) noexcept;

  const Library& library_;
  void* client_;
  std::atomic<bool> ended_{false};
  std::atomic<std::uint32_t> cycles_{0};
};

}  // namespace romanesca
