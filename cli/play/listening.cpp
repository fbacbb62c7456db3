#include "cli/play/listening.h"

#include "theory/chords/chord_naming.h"
#include "theory/listening/playing_report.h"

namespace romanesca {
namespace {

double ms(std::int64_t ns) { return static_cast<double>(ns) * 1e-6; }

constexpr int percussion = 9;

}  // namespace

Listening::Listening(Kind kind, bool waits, const Key& key)
    : kind_(kind), waits_(waits), key_(key), chords_(key), line_(key) {}

void Listening::ask(const LiveArrangement& arrangement, std::size_t chord, std::int64_t at_ns, double length_ns) {
  if (arrangement.key != key_) {
    key_ = arrangement.key;
    chords_.change_key(key_);
    line_.change_key(key_);
  }
  now_ = arrangement.chords[chord].chord;
  now_until_ns_ = at_ns + static_cast<std::int64_t>(length_ns);
  if (kind_ == Kind::chords) chords_.ask({*now_, arrangement.chords[chord].bar + 1, ms(at_ns), length_ns * 1e-6});
}

void Listening::beat(const LiveArrangement& arrangement, int bar, int pulse, std::int64_t at_ns) {
  if (kind_ != Kind::line || !is_strong(arrangement.piece.meter, pulse)) return;
  // The beat is told before the chord that begins on it.
  const std::int32_t tick = arrangement.piece.bar_ticks * bar + arrangement.piece.pulse_ticks * pulse;
  std::optional<Chord> chord;
  for (std::size_t i = 0; i < arrangement.piece.chords.size(); ++i) {
    if (arrangement.piece.chords[i].tick <= tick && tick < arrangement.piece.chords[i].until)
      chord = arrangement.chords[i].chord;
  }
  line_.beat(ms(at_ns), chord, bar + 1);
}

void Listening::hear(const MidiHeard& heard) {
  const int kind = heard.status & 0xF0;
  if ((heard.status & 0x0F) == percussion) return;
  const double at = ms(heard.time_ns);
  if (kind == 0x90 && heard.second > 0) {
    keys_.key_down(heard.first);
    chords_.key_down(heard.first, at);
    line_.key_down(heard.first, at);
    last_struck_ns_ = heard.time_ns;
    struck_ = true;
  } else if (kind == 0x80 || kind == 0x90) {
    keys_.key_up(heard.first);
    chords_.key_up(heard.first, at);
    line_.key_up(heard.first, at);
  } else if (kind == 0xB0 && heard.first == sustain_controller) {
    keys_.pedal(heard.second);
    chords_.pedal(heard.second, at);
  }
}

void Listening::pass(std::int64_t now_ns) {
  chords_.pass(ms(now_ns));
  line_.pass(ms(now_ns));
}

void Listening::stop(std::int64_t now_ns) {
  chords_.stop(ms(now_ns));
  line_.pass(ms(now_ns) + 1000);
}

std::string Listening::latest() const {
  if (kind_ != Kind::chords || chords_.heard().empty()) return "";
  const ChordHeard& last = chords_.heard().back();
  return last.verdict == ChordHeard::Verdict::nothing && !struck_ ? "" : describe(last, !waits_);
}

bool Listening::is_played(const Chord& chord, std::int64_t since_ns) const {
  if (last_struck_ns_ <= since_ns) return false;
  std::vector<int> midi;
  for (int key = 0; key < 128; ++key) {
    if (keys_.sounding()[static_cast<std::size_t>(key)]) midi.push_back(key);
  }
  const ChordMatch match = match_chord(midi, chord, key_);
  return match.complete() && (chord.bass == chord.root || match.bass_fits);
}

std::vector<std::string> Listening::report() const {
  return kind_ == Kind::line ? line_.report() : report_on(chords_.heard(), !waits_).sentences();
}

}  // namespace romanesca
