#include "cli/play/live_controller.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "cli/errors.h"
#include "theory/text/characters.h"
#include "theory/text/nearest_word.h"

namespace romanesca {
namespace {

constexpr double tempo_step = 2;
constexpr std::size_t most_retired = 8;  // their notes may still ring
constexpr std::int64_t longest_tap_gap_ns = 3'000'000'000;
constexpr std::size_t most_taps = 5;

/// The section of that name, without regard to case, blanks and hyphens. Throws Failure.
std::size_t section_named(const LiveArrangement& arrangement, const std::string& name) {
  std::vector<std::string> names;
  for (std::size_t i = 0; i < arrangement.section_names.size(); ++i) {
    if (plain_name(arrangement.section_names[i]) == plain_name(name)) return i;
    if (!arrangement.section_names[i].empty()) names.push_back(arrangement.section_names[i]);
  }
  const auto near = nearest_word(name, names);
  throw Failure(ExitStatus::wrong_input, fmt::format("--section: the song has no section {}", name),
                near            ? fmt::format("did you mean {}?", *near)
                : names.empty() ? "it has no sections with names"
                                : fmt::format("it has {}", fmt::join(names, ", ")));
}

}  // namespace

LiveController::LiveController(LiveArranger arranger, Settings settings)
    : arranger_(std::move(arranger)), settings_(std::move(settings)) {
  arrangements_.push_back(value_or_throw(arranger_.make(settings_.key, settings_.style, nullptr)));
  playing_ = arrangements_.back().get();
  tempo_ = settings_.tempo_bpm > 0 ? settings_.tempo_bpm : playing_->tempo_bpm;
  for (const LivePart& part : playing_->piece.parts) {
    if (part.muted) muted_.insert(part.name);
  }
  if (!settings_.guide) muted_.insert("guide");
  if (!settings_.click) muted_.insert("click");
  engine_ = std::make_unique<LiveEngine>(playing_->piece, tempo_);
  send_mutes();
  push(LiveCommand::Kind::rounds, settings_.rounds);
  if (settings_.wait) push(LiveCommand::Kind::wait_mode, 1);
  if (settings_.with_clock) push(LiveCommand::Kind::clock, 1);
  if (!settings_.section.empty()) {
    const std::size_t section = section_named(*playing_, settings_.section);
    loop_over(section);
    bar_ = playing_->piece.sections[section].first_bar;
  }
}

void LiveController::push(LiveCommand::Kind kind, int number, int count, double value) {
  LiveCommand command;
  command.kind = kind;
  command.number = number;
  command.count = count;
  command.value = value;
  engine_->push_command(command);
}

// Requests ------------------------------------------------------------------------------------------------------------

std::string LiveController::perform(const PlayRequest& request, std::int64_t now_ns) {
  using A = PlayAction;
  switch (request.action) {
    case A::start_stop:
      running_ ? stop() : start();
      return "";
    case A::slower:
      return set_tempo(tempo_ - tempo_step);
    case A::faster:
      return set_tempo(tempo_ + tempo_step);
    case A::tap:
      return tap(now_ns);
    case A::key_down:
      return change_key(-7);
    case A::key_up:
      return change_key(7);
    case A::fifth_down:
      return change_key(-1);
    case A::fifth_up:
      return change_key(1);
    case A::at_once:
      change_at_once_ = !change_at_once_;
      return change_at_once_ ? "keys and styles change at once" : "keys and styles change at the next bar";
    case A::mute:
    case A::solo:
      return mute(request.number, request.action == A::solo);
    case A::next_section:
      return go_to_section(1);
    case A::previous_section:
      return go_to_section(-1);
    case A::loop_section:
      return loop_section();
    case A::next_style:
      return change_style(1);
    case A::previous_style:
      return change_style(-1);
    case A::count_in:
      settings_.count_in_bars = (settings_.count_in_bars + 1) % 3;
      return fmt::format("{} bars of count-in", settings_.count_in_bars);
    case A::guide:
      return toggle_part("guide");
    case A::click:
      return toggle_part("click");
    case A::silence:
      push(LiveCommand::Kind::panic);
      return "all notes silenced";
    case A::leave:
      break;
  }
  return "";
}

void LiveController::start() {
  push(LiveCommand::Kind::start, playing_->piece.sections[section()].first_bar, settings_.count_in_bars);
  running_ = true;
  ended_ = false;
}

void LiveController::restart_at_bar() {
  push(LiveCommand::Kind::start, bar_, 0);
  running_ = true;
}

void LiveController::stop() {
  push(LiveCommand::Kind::stop);
  running_ = false;
}

std::string LiveController::set_tempo(double bpm) {
  tempo_ = std::clamp(std::round(bpm), slowest_bpm, fastest_bpm);
  push(LiveCommand::Kind::tempo, 0, 0, tempo_);
  return fmt::format("tempo {:g}", tempo_);
}

/// The tempo is the mean of the last few intervals between taps.
std::string LiveController::tap(std::int64_t now_ns) {
  if (!taps_.empty() && now_ns - taps_.back() > longest_tap_gap_ns) taps_.clear();
  taps_.push_back(now_ns);
  if (taps_.size() > most_taps) taps_.erase(taps_.begin());
  if (taps_.size() < 2) return "tap again";
  const double interval_ns = static_cast<double>(taps_.back() - taps_.front()) / static_cast<double>(taps_.size() - 1);
  return interval_ns > 0 ? set_tempo(60e9 / interval_ns) : "";
}

std::string LiveController::change_key(int fifths) {
  const Key from = upcoming().key;
  const Key to = simplest_spelling({PitchClass(from.tonic.fifths() + fifths), from.mode});
  return change_arrangement(KeyText{to.tonic, to.mode}, upcoming().style);
}

std::string LiveController::change_style(int step) {
  const std::vector<std::string>& all = arranger_.fitting_styles();
  const auto here = std::find(all.begin(), all.end(), upcoming().style) - all.begin();
  const auto count = static_cast<std::ptrdiff_t>(all.size());
  const std::string& style = all[static_cast<std::size_t>((here + step + count) % count)];
  const Key key = upcoming().key;
  return change_arrangement(KeyText{key.tonic, key.mode}, style);
}

std::string LiveController::change_arrangement(const std::optional<KeyText>& key, const std::string& style) {
  auto arrangement = value_or_throw(arranger_.make(key, style, &upcoming()));
  LiveCommand command;
  command.kind = LiveCommand::Kind::piece;
  command.at_once = change_at_once_;
  command.piece = &arrangement->piece;
  command.number = static_cast<std::int32_t>(mutes_of(*arrangement));
  if (!engine_->push_command(command)) return "too many changes at once; try again";
  const bool other_key = arrangement->key != upcoming().key;
  arrangements_.push_back(std::move(arrangement));
  if (!running_) playing_ = arrangements_.back().get();
  const std::string what = other_key ? to_string(upcoming().key) : upcoming().style;
  return running_ && !change_at_once_ ? what + " at the next bar" : what;
}

std::string LiveController::toggle_part(const std::string& name) {
  const bool on = muted_.erase(name) > 0;
  if (!on) muted_.insert(name);
  if (solo_ == name) solo_.reset();
  send_mutes();
  return fmt::format("{} {}", name == "click" ? "metronome" : name, on ? "on" : "off");
}

std::string LiveController::mute(int number, bool solo) {
  const auto& parts = playing_->piece.parts;
  if (number < 1 || static_cast<std::size_t>(number) > parts.size()) return fmt::format("there is no part {}", number);
  const std::string& name = parts[static_cast<std::size_t>(number - 1)].name;
  if (!solo) return toggle_part(name);
  const bool off = solo_ == name;
  solo_ = off ? std::nullopt : std::optional(name);
  send_mutes();
  return off ? "solo off" : "solo " + name;
}

std::uint32_t LiveController::mutes_of(const LiveArrangement& arrangement) const {
  std::uint32_t mutes = 0;
  for (std::size_t i = 0; i < arrangement.piece.parts.size(); ++i) {
    const std::string& name = arrangement.piece.parts[i].name;
    const bool muted = solo_ ? *solo_ != name && name != "click" : muted_.contains(name);
    if (muted) mutes |= 1U << i;
  }
  return mutes;
}

bool LiveController::is_muted(std::size_t part) const { return (mutes_of(*playing_) >> part & 1U) != 0; }

void LiveController::send_mutes() { push(LiveCommand::Kind::mutes, static_cast<std::int32_t>(mutes_of(*playing_))); }

std::size_t LiveController::section() const {
  return looped_section_.value_or(playing_->piece.section_at(std::min(bar_, playing_->piece.bars - 1)));
}

std::string LiveController::go_to_section(int step) {
  const auto count = static_cast<std::ptrdiff_t>(playing_->piece.sections.size());
  const auto target = static_cast<std::size_t>((static_cast<std::ptrdiff_t>(section()) + step + count) % count);
  if (looped_section_) loop_over(target);
  const int bar = playing_->piece.sections[target].first_bar;
  push(LiveCommand::Kind::go_to, bar);
  if (!running_) bar_ = bar;
  const std::string& name = playing_->section_names[target];
  return fmt::format("to {}", name.empty() ? fmt::format("bar {}", bar + 1) : name);
}

void LiveController::loop_over(std::size_t section) {
  looped_section_ = section;
  const LiveSection& looped = playing_->piece.sections[section];
  push(LiveCommand::Kind::loop, looped.first_bar, looped.first_bar + looped.bars);
}

std::string LiveController::loop_section() {
  if (looped_section_) {
    looped_section_.reset();
    push(LiveCommand::Kind::loop, 0, 0);
    return "the whole song";
  }
  loop_over(section());
  const std::string& name = playing_->section_names[section()];
  return name.empty() ? "looping this section" : "looping " + name;
}

// Events of the engine ------------------------------------------------------------------------------------------------

const LiveArrangement* LiveController::arrangement_of(const LivePiece* piece) const {
  for (const auto* list : {&arrangements_, &retired_}) {
    for (const auto& arrangement : *list) {
      if (&arrangement->piece == piece) return arrangement.get();
    }
  }
  return nullptr;
}

/// The chord that sounds at a tick, by the index at which it was struck; nothing during a rest.
std::optional<int> LiveController::chord_at(std::int32_t tick) const {
  const std::vector<LiveChord>& chords = playing_->piece.chords;
  auto found = std::upper_bound(chords.begin(), chords.end(), tick,
                                [](std::int32_t at, const LiveChord& chord) { return at < chord.tick; });
  if (found == chords.begin() || tick >= (found - 1)->until) return std::nullopt;
  --found;
  while (found->held && found != chords.begin()) --found;
  return static_cast<int>(found - chords.begin());
}

/// In the last bar of a round: the next round is another performance of the same, which begins at the bar line.
void LiveController::prepare_round(const LiveEvent& event) {
  const LivePiece& piece = playing_->piece;
  int last = piece.bars - 1;
  if (looped_section_) {
    const LiveSection& looped = piece.sections[*looped_section_];
    last = looped.first_bar + looped.bars - 1;
  }
  const bool changes = playing_ != &upcoming();
  if (event.bar != last || !running_ || changes || settings_.wait) return;
  const Key key = playing_->key;
  auto next = arranger_.make(KeyText{key.tonic, key.mode}, playing_->style, playing_,
                             static_cast<std::uint32_t>(event.round) + 1);
  if (!next) return;
  LiveCommand command;
  command.kind = LiveCommand::Kind::piece;
  command.piece = &(*next)->piece;
  command.count = 1;  // what is muted until then stays so
  if (engine_->push_command(command)) arrangements_.push_back(std::move(*next));
}

void LiveController::handle_event(const LiveEvent& event) {
  using Kind = LiveEvent::Kind;
  if (const LiveArrangement* arrangement = arrangement_of(event.piece)) playing_ = arrangement;
  if (event.kind != Kind::count_in) counting_ = 0;
  switch (event.kind) {
    case Kind::count_in:
      counting_ = event.pulse;
      break;
    case Kind::pulse:
      bar_ = event.bar;
      pulse_ = event.pulse;
      chord_ = chord_at(playing_->piece.tick_of(event.bar, event.pulse));
      if (event.pulse == 0) prepare_round(event);
      break;
    case Kind::chord:
    case Kind::waiting:
      chord_ = event.chord;
      waiting_ = event.kind == Kind::waiting;
      break;
    case Kind::stopped:
      if (event.pulse == 0) {
        ended_ = true;
        running_ = false;
      }
      waiting_ = false;
      chord_.reset();
      pulse_ = 0;
      break;
    case Kind::started:
    case Kind::piece_changed:
    case Kind::slipped:
      break;
  }
}

void LiveController::free_retired() {
  for (const LivePiece* piece = nullptr; engine_->pop_retired(piece);) {
    const auto found = std::find_if(arrangements_.begin(), arrangements_.end(),
                                    [&](const auto& arrangement) { return &arrangement->piece == piece; });
    if (found == arrangements_.end() || found->get() == playing_) continue;
    retired_.push_back(std::move(*found));
    arrangements_.erase(found);
    if (retired_.size() > most_retired) retired_.erase(retired_.begin());
  }
}

}  // namespace romanesca
