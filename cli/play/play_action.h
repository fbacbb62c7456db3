#pragma once

#include <optional>
#include <span>
#include <string_view>

namespace romanesca {

/// What can be requested while the band plays.
enum class PlayAction {
  start_stop,
  slower,
  faster,
  tap,
  key_down,
  key_up,
  fifth_down,
  fifth_up,
  at_once,
  mute,  ///< of a part, by its number
  solo,  ///< by its number too
  next_section,
  previous_section,
  loop_section,
  next_style,
  previous_style,
  count_in,
  guide,
  click,
  silence,
  leave
};

/// A key of the computer's keyboard: a character, or one of these.
enum : int { key_arrow_up = 0x1000, key_arrow_down, key_arrow_left, key_arrow_right, key_closed };

/// One action. The table is used for the keys, the help on the screen and the learning of foot switches.
struct PlayActionRow {
  PlayAction action;
  std::string_view word;         ///< in the file of learned controls: "start-stop"
  std::string_view keys;         ///< as shown: "space"
  std::string_view description;  ///< as shown: "start, stop"
  int first = 0, second = 0;     ///< keys; 0 for none
};
[[nodiscard]] std::span<const PlayActionRow> play_actions();
[[nodiscard]] const PlayActionRow& row_of(PlayAction action);
[[nodiscard]] std::optional<PlayAction> play_action_named(std::string_view word);

/// A requested action; the number is that of a part, from 1, for mute and solo.
struct PlayRequest {
  PlayAction action = PlayAction::start_stop;
  int number = 0;
};

/// Turns keys into requests: a digit mutes a part, "s" and a digit is a solo; 0 is part 10.
class PlayKeys {
 public:
  [[nodiscard]] std::optional<PlayRequest> press(int key);

 private:
  bool solo_next_ = false;
};

}  // namespace romanesca
