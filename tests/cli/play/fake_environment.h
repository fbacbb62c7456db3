#pragma once

#include <algorithm>
#include <deque>
#include <map>
#include <string>
#include <vector>

#include "cli/play/live_environment.h"
#include "cli/play/play_action.h"
#include "synth/live/midi_performer.h"
#include "theory/text/errors.h"

namespace romanesca::test {

/// An environment whose clock moves only inside next_key. The test scripts keys, the student's notes and when the port
/// is lost.
class FakeEnvironment final : public LiveEnvironment {
 public:
  struct Message {
    std::int64_t at_ns;
    std::vector<std::uint8_t> bytes;
  };
  // The script; times in milliseconds.
  std::multimap<int, int> keys;
  std::multimap<int, MidiHeard> student;
  std::vector<float> sound;  ///< of the room from the beginning, at sound_rate_hz; silence follows
  static constexpr double sound_rate_hz = 22050;
  int port_gone_ms = -1, port_back_ms = -1;
  int microphone_gone_ms = 600'000;
  int end_ms = 600'000;  ///< when asked_to_end() becomes true
  bool ports = true;     ///< whether any MIDI port exists
  Size shown{80, 24};

  // Results.
  std::vector<Message> sent;
  std::vector<std::string> opened;
  int reopened = 0;

  /// The student plays a chord.
  void plays(int at_ms, int length_ms, const std::vector<int>& midi) {
    for (const int note : midi) {
      student.insert({at_ms, {0, 0x90, static_cast<std::uint8_t>(note), 80}});
      student.insert({at_ms + length_ms, {0, 0x80, static_cast<std::uint8_t>(note), 64}});
    }
  }
  /// Notes that are still on, by channel (1 to 16) and MIDI number.
  [[nodiscard]] std::map<std::pair<int, int>, int> sounding() const {
    std::map<std::pair<int, int>, int> down;
    for (const Message& message : sent) {
      const std::pair key{(message.bytes[0] & 0x0F) + 1, message.bytes.size() > 1 ? message.bytes[1] : 0};
      if ((message.bytes[0] & 0xF0) == 0x90) ++down[key];
      if ((message.bytes[0] & 0xF0) == 0x80) --down[key];
    }
    std::erase_if(down, [](const auto& each) { return each.second == 0; });
    return down;
  }
  /// Note-ons of one channel (1 to 16): time in milliseconds and MIDI number.
  [[nodiscard]] std::vector<std::pair<int, int>> struck(int channel) const {
    std::vector<std::pair<int, int>> notes;
    for (const Message& message : sent) {
      if (message.bytes[0] == (0x90 | (channel - 1))) {
        notes.emplace_back(static_cast<int>(message.at_ns / 1'000'000), message.bytes[1]);
      }
    }
    return notes;
  }

  [[nodiscard]] std::int64_t now_ns() override { return now_; }
  [[nodiscard]] bool asked_to_end() override { return ms() >= end_ms; }
  [[nodiscard]] Size size() override { return shown; }
  [[nodiscard]] bool has_blocks() override { return true; }

  [[nodiscard]] std::optional<int> next_key(int wait_ms) override {
    for (int waited = 0; waited < std::max(wait_ms, 1); ++waited) {
      now_ += 1'000'000;
      if (output_ != nullptr) output_->run(now_);
      while (!student.empty() && student.begin()->first <= ms()) {
        MidiHeard message = student.begin()->second;
        message.time_ns = now_;
        waiting_.push_back(message);
        student.erase(student.begin());
      }
      if (!keys.empty() && keys.begin()->first <= ms()) {
        const int key = keys.begin()->second;
        keys.erase(keys.begin());
        return key;
      }
    }
    return std::nullopt;
  }

  [[nodiscard]] std::unique_ptr<LiveOutput> open_port(LiveEngine& engine, const PortSelector& selector,
                                                      bool with_clock) override {
    if (!ports) throw SystemError("there is no MIDI port", "switch the instrument on and connect it");
    opened.push_back(selector.name);
    return std::make_unique<Output>(*this, engine, with_clock);
  }
  [[nodiscard]] std::unique_ptr<LiveOutput> open_speakers(LiveEngine& engine,
                                                          const AudioDeviceSettings& settings) override {
    return open_port(engine, {"speakers " + settings.name, settings.system, false}, false);
  }
  [[nodiscard]] std::unique_ptr<MidiInput> open_input(const PortSelector& selector) override {
    if (!ports) throw SystemError("there is no MIDI port", "switch the instrument on and connect it");
    opened.push_back("from " + selector.name);
    return std::make_unique<Input>(*this, selector.name);
  }
  [[nodiscard]] std::unique_ptr<SoundInput> open_microphone(const AudioDeviceSettings& settings) override {
    if (!ports) throw SystemError("there is no microphone", "connect one");
    opened.push_back("microphone " + settings.name);
    return std::make_unique<Room>(*this);
  }

 private:
  [[nodiscard]] int ms() const { return static_cast<int>(now_ / 1'000'000); }

  class Wire final : public MidiOutput {
   public:
    explicit Wire(FakeEnvironment& world) : world_(world) {}
    void send(std::span<const std::uint8_t> message) noexcept override {
      if (!world_.is_gone()) world_.sent.push_back({world_.now_, {message.begin(), message.end()}});
    }

   private:
    FakeEnvironment& world_;
  };

  class Output final : public LiveOutput {
   public:
    Output(FakeEnvironment& world, LiveEngine& engine, bool with_clock)
        : world_(world), engine_(engine), wire_(world), performer_(wire_, lateness_, nullptr, with_clock) {
      world_.output_ = this;
    }
    ~Output() override { world_.output_ = nullptr; }
    void run(std::int64_t now) { engine_.run(now, now, performer_); }
    [[nodiscard]] State check() override {
      const bool gone = world_.is_gone();
      if (!gone && was_gone_) return was_gone_ = false, State::back;
      was_gone_ = gone;
      return gone ? State::gone : State::open;
    }
    [[nodiscard]] std::int64_t offset_ns() const noexcept override { return 0; }
    [[nodiscard]] TimingStats::Summary lateness() const noexcept override { return lateness_.summary(); }
    [[nodiscard]] std::string name() const override { return "the test port"; }
    bool end() override { return true; }

   private:
    FakeEnvironment& world_;
    LiveEngine& engine_;
    TimingStats lateness_;
    Wire wire_;
    MidiPerformer performer_;
    bool was_gone_ = false;
  };

  class Input final : public MidiInput {
   public:
    Input(FakeEnvironment& world, std::string name) : world_(world), name_(std::move(name)) {}
    bool take(MidiHeard& message) noexcept override {
      if (world_.waiting_.empty()) return false;
      message = world_.waiting_.front();
      world_.waiting_.pop_front();
      return true;
    }
    [[nodiscard]] std::string name() const override { return name_; }
    [[nodiscard]] std::uint32_t lost() const noexcept override { return 0; }
    void reopen() override { ++world_.reopened; }

   private:
    FakeEnvironment& world_;
    std::string name_;
  };

  class Room final : public SoundInput {
   public:
    explicit Room(FakeEnvironment& world) : world_(world) {}
    std::size_t take(std::span<float> samples) noexcept override {
      if (world_.ms() >= world_.microphone_gone_ms) return 0;
      const auto now = static_cast<std::size_t>(static_cast<double>(world_.now_) * 1e-9 * sound_rate_hz);
      std::size_t count = 0;
      for (; count < samples.size() && at_ < now; ++at_)
        samples[count++] = at_ < world_.sound.size() ? world_.sound[at_] : 0;
      return count;
    }
    [[nodiscard]] double rate_hz() const noexcept override { return sound_rate_hz; }
    [[nodiscard]] std::int64_t offset_ns() const noexcept override { return 0; }
    [[nodiscard]] std::string name() const override { return "the test microphone"; }
    [[nodiscard]] std::uint32_t lost() const noexcept override { return 0; }

   private:
    FakeEnvironment& world_;
    std::size_t at_ = 0;
  };

  [[nodiscard]] bool is_gone() const {
    return port_gone_ms >= 0 && ms() >= port_gone_ms && (port_back_ms < 0 || ms() < port_back_ms);
  }

  std::int64_t now_ = 0;
  Output* output_ = nullptr;
  std::deque<MidiHeard> waiting_;
};

}  // namespace romanesca::test
