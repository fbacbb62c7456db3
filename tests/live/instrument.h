#pragma once

#include <RtMidi.h>

#include <cstdint>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

namespace romanesca::test {

/// A MIDI instrument that records what it receives: the port NAME:in.
class Instrument {
 public:
  struct Got {
    std::int64_t at_ns;
    std::vector<std::uint8_t> bytes;
  };
  explicit Instrument(const std::string& name);

  [[nodiscard]] std::vector<Got> got() const;
  /// Keys that went down more often than up, or up more often than down.
  [[nodiscard]] std::map<std::pair<int, int>, int> unbalanced() const;
  [[nodiscard]] std::size_t notes() const;

 private:
  static void on_message(double delta, std::vector<unsigned char>* bytes, void* self);
  mutable std::mutex mutex_;
  std::vector<Got> got_;
  std::unique_ptr<RtMidiIn> midi_;
};

/// A keyboard that sends what the test plays: the port NAME:out.
class Keyboard {
 public:
  explicit Keyboard(const std::string& name);
  ~Keyboard();
  Keyboard(const Keyboard&) = delete;
  Keyboard& operator=(const Keyboard&) = delete;
  void send(const std::vector<unsigned char>& bytes);

 private:
  std::unique_ptr<RtMidiOut> midi_;
};

}  // namespace romanesca::test
