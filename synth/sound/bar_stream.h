#pragma once

#include <cstdint>
#include <memory>
#include <vector>

#include "synth/sound/band.h"
#include "synth/sound/compressor.h"
#include "synth/sound/limiter.h"
#include "synth/sound/performance.h"

namespace romanesca {

/// One bar for a BarStream.
struct StreamBar {
  Performance performance;  ///< notes that begin in the bar, at their places in the piece; length is that of the bar
  Beats from;               ///< where the bar begins in the piece; the tempo map counts from here
  double gain_db = 0;       ///< before the limiter
  /// For each part the notes that the piece has for it; for fewer sets than parts, the rest may play all. Drums are
  /// made for their keys: other keys are other players.
  std::vector<KeySet> keys{};
};

/// Plays bar after bar of pieces that become known only one bar at a time: what rings at a bar line goes on ringing in
/// the next bar, whatever that bar is. The mix goes through a compressor, a gain and a limiter, as live playing does.
///
/// Bars begin on the grid of block_frames: at most half a block off their exact time, without drift. The sound comes
/// out delay frames late.
class BarStream {
 public:
  /// @param sample_rate_hz 8000 to 192000.
  explicit BarStream(double sample_rate_hz);
  ~BarStream();

  static constexpr std::size_t delay = Limiter::delay;
  /// Nothing sounds any more but what is on its way through the limiter.
  [[nodiscard]] bool silent() const noexcept;

  /// Renders the next bar in place of what is in @p left and @p right. Parts with other instruments than before are new
  /// players; the old ones ring on. Changed gains and mutes of the same players act within some milliseconds. Notes of
  /// muted or missing parts are left out.
  void render(const StreamBar& bar, std::vector<float>& left, std::vector<float>& right);

 private:
  struct Release {
    std::int64_t frame;  ///< from the start of the stream
    std::uint32_t note;
    std::uint8_t part, midi;
  };
  struct Players;
  void choose_players(const StreamBar& bar);
  void list_actions_of(const StreamBar& bar, std::int64_t frames);
  void render_run(StereoBlock run, double gain_db);
  void add_fading(StereoBlock run);

  double sample_rate_hz_;
  std::unique_ptr<Players> current_;
  std::vector<std::unique_ptr<Players>> fading_;  ///< that ring on
  Compressor compressor_;
  Limiter limiter_;
  float gain_ = 0;  ///< linear; 0 before the first bar
  std::uint32_t last_note_ = 0;
  std::int64_t frame_ = 0;           ///< first of the next bar
  double exact_frame_ = 0;           ///< the same, before rounding
  std::int64_t run_frame_ = 0;       ///< first of the next run of blocks
  std::vector<Release> releases_;    ///< of notes that sound at the end of the bar
  std::vector<BandAction> actions_;  ///< of the bar; offsets count from its start
  std::size_t next_action_ = 0;
  std::vector<BandAction> run_actions_;
  std::vector<float> other_left_, other_right_;
};

/// The gain in dB, before the limiter, that brings a performance to a loudness, measured on its first seconds; 0 for a
/// silent one. @param loudness_lufs integrated (ITU-R BS.1770-4), -40 to -8 @param longest_s what is measured at most
[[nodiscard]] double performance_gain_db(const Performance& performance, double sample_rate_hz, double loudness_lufs,
                                         double longest_s);

}  // namespace romanesca
