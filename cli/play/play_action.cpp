#include "cli/play/play_action.h"

#include <algorithm>
#include <array>

namespace romanesca {
namespace {

using A = PlayAction;

constexpr std::array<PlayActionRow, 21> action_rows{{
    {A::start_stop, "start-stop", "space", "start, stop", ' ', 0},
    {A::leave, "leave", "q", "quit", 'q', 'Q'},
    {A::slower, "slower", "down", "slower", key_arrow_down, '-'},
    {A::faster, "faster", "up", "faster", key_arrow_up, '+'},
    {A::tap, "tap", "t", "tap the tempo", 't', 0},
    {A::key_down, "key-down", "left", "key down", key_arrow_left, 0},
    {A::key_up, "key-up", "right", "key up", key_arrow_right, 0},
    {A::fifth_down, "fifth-down", "<", "a fifth down", '<', ','},
    {A::fifth_up, "fifth-up", ">", "a fifth up", '>', '.'},
    {A::at_once, "at-once", "a", "change at once, at the bar", 'a', 0},
    {A::mute, "mute", "1-9", "part on, off", 0, 0},
    {A::solo, "solo", "s 1-9", "solo part", 0, 0},
    {A::next_section, "next-section", "n", "next section", 'n', 0},
    {A::previous_section, "previous-section", "p", "previous section", 'p', 0},
    {A::loop_section, "loop-section", "l", "loop the section", 'l', 0},
    {A::next_style, "next-style", "y", "next style", 'y', 0},
    {A::previous_style, "previous-style", "Y", "previous style", 'Y', 0},
    {A::count_in, "count-in", "c", "count-in", 'c', 0},
    {A::guide, "guide", "g", "guide", 'g', 0},
    {A::click, "click", "m", "metronome", 'm', 0},
    {A::silence, "silence", "!", "silence all notes", '!', 0},
}};

}  // namespace

std::span<const PlayActionRow> play_actions() { return action_rows; }

const PlayActionRow& row_of(PlayAction action) {
  return *std::find_if(action_rows.begin(), action_rows.end(),
                       [&](const PlayActionRow& row) { return row.action == action; });
}

std::optional<PlayAction> play_action_named(std::string_view word) {
  for (const PlayActionRow& row : action_rows) {
    if (row.word == word) return row.action;
  }
  return std::nullopt;
}

std::optional<PlayRequest> PlayKeys::press(int key) {
  const bool solo = solo_next_;
  solo_next_ = key == 's';
  if (key >= '0' && key <= '9') return PlayRequest{solo ? A::solo : A::mute, key == '0' ? 10 : key - '0'};
  if (key == key_closed) return PlayRequest{A::leave, 0};
  for (const PlayActionRow& row : action_rows) {
    if (row.first != 0 && (row.first == key || row.second == key)) return PlayRequest{row.action, 0};
  }
  return std::nullopt;
}

}  // namespace romanesca
