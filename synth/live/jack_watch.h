#pragma once

#include <atomic>
#include <cstdint>
#include <memory>
#include <string>

namespace romanesca {

/// Keeps libjack and libasound from writing to the terminal by themselves. May be called again.
void hush_sound_systems() noexcept;

/// A client of the JACK server of its own, which notices when the server ends or stands still. RtMidi does not tell,
/// and its sending never comes back once its buffer is full. libjack is looked up at run time; without it, or without a
/// server, there is no watch. (JACK Audio Connection Kit API.)
class JackWatch {
 public:
  /// @return nothing where no server answers.
  [[nodiscard]] static std::unique_ptr<JackWatch> of_running_server();
  ~JackWatch();
  JackWatch(const JackWatch&) = delete;
  JackWatch& operator=(const JackWatch&) = delete;

  /// The server has not said that it ends. For any thread.
  [[nodiscard]] bool running() const noexcept { return !ended_.load(std::memory_order_relaxed); }
  /// How often the server has come round.
  [[nodiscard]] std::uint32_t cycles() const noexcept { return cycles_.load(std::memory_order_relaxed); }
  /// Whether a port of that full name is there.
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
