#pragma once

#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "cli/play/play_action.h"
#include "cli/studio/live_arrangement.h"
#include "synth/live/live_engine.h"

namespace romanesca {

/// The controls of the band: turns requests into commands to the engine, and knows the state of playback.
class LiveController {
 public:
  struct Settings {
    std::optional<KeyText> key;
    std::string style;      ///< empty for the song's own
    double tempo_bpm = 0;   ///< 0 for the song's own
    int count_in_bars = 1;  ///< 0 to 8
    int rounds = 0;         ///< stop after so many; 0 for never
    std::string section;    ///< to loop; empty for the whole song
    bool wait = false;      ///< the band waits before every chord until it is played
    bool with_clock = false;
    bool guide = false, click = false;
  };
  /// Throws Failure.
  LiveController(LiveArranger arranger, Settings settings);

  [[nodiscard]] LiveEngine& engine() noexcept { return *engine_; }
  /// @param now_ns time of the request, for tapping the tempo @return a few words for the screen; may be empty
  std::string perform(const PlayRequest& request, std::int64_t now_ns);
  /// Updates the state from an event of the engine.
  void handle_event(const LiveEvent& event);
  /// Frees arrangements that the engine no longer plays.
  void free_retired();
  /// From the beginning of the current section, with a count-in.
  void start();
  /// From the current bar, without a count-in: after a port was lost and came back.
  void restart_at_bar();
  void stop();
  /// Goes on after waiting for a chord.
  void resume() { push(LiveCommand::Kind::go); }

  [[nodiscard]] const LiveArrangement& playing() const noexcept { return *playing_; }
  [[nodiscard]] const LiveArrangement& upcoming() const noexcept { return *arrangements_.back(); }
  [[nodiscard]] bool running() const noexcept { return running_; }
  [[nodiscard]] bool waiting() const noexcept { return waiting_; }
  [[nodiscard]] double tempo_bpm() const noexcept { return tempo_; }
  [[nodiscard]] int bar() const noexcept { return bar_; }
  [[nodiscard]] int pulse() const noexcept { return pulse_; }
  [[nodiscard]] int counting() const noexcept { return counting_; }  ///< remaining pulses of the count-in
  [[nodiscard]] bool looping() const noexcept { return looped_section_.has_value(); }
  [[nodiscard]] std::optional<int> chord() const noexcept { return chord_; }
  [[nodiscard]] bool is_muted(std::size_t part) const;
  [[nodiscard]] bool ended_by_itself() const noexcept { return ended_; }
  [[nodiscard]] std::size_t section() const;
  [[nodiscard]] const LiveArranger& arranger() const noexcept { return arranger_; }
  /// The arrangement of an event's piece; null if it has been freed.
  [[nodiscard]] const LiveArrangement* arrangement_of(const LivePiece* piece) const;

 private:
  void push(LiveCommand::Kind kind, int number = 0, int count = 0, double value = 0);
  std::string set_tempo(double bpm);
  std::string tap(std::int64_t now_ns);
  std::string change_key(int fifths);
  std::string change_style(int step);
  std::string change_arrangement(const std::optional<KeyText>& key, const std::string& style);
  std::string toggle_part(const std::string& name);
  std::string mute(int number, bool solo);
  std::string go_to_section(int step);
  std::string loop_section();
  void send_mutes();
  [[nodiscard]] std::uint32_t mutes_of(const LiveArrangement& arrangement) const;
  void loop_over(std::size_t section);
  void prepare_round(const LiveEvent& event);
  [[nodiscard]] std::optional<int> chord_at(std::int32_t tick) const;

  LiveArranger arranger_;
  Settings settings_;
  std::vector<std::unique_ptr<LiveArrangement>> arrangements_;  ///< the last is the one requested
  std::vector<std::unique_ptr<LiveArrangement>> retired_;
  const LiveArrangement* playing_ = nullptr;
  std::unique_ptr<LiveEngine> engine_;
  double tempo_ = 0;
  std::set<std::string> muted_;      ///< names of muted parts
  std::optional<std::string> solo_;  ///< the only part that plays
  bool change_at_once_ = false, running_ = false, waiting_ = false, ended_ = false;
  std::optional<std::size_t> looped_section_;
  int bar_ = 0, pulse_ = 0, counting_ = 0;
  std::optional<int> chord_;
  std::vector<std::int64_t> taps_;
};

}  // namespace romanesca
