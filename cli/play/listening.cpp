#include "cli/play/listening.h"

#include <algorithm>

#include "theory/chords/chord_naming.h"
#include "theory/listening/heard_tones.h"
#include "theory/listening/playing_report.h"

namespace romanesca {
namespace {

double ms(std::int64_t ns) { return static_cast<double>(ns) * 1e-6; }

constexpr int percussion_channel = 9;  // from 0 (General MIDI)
constexpr float surely_a_tone = 0.9f;

}  // namespace

Listening::Listening(Kind kind, bool waits, const Key& key)
    : kind_(kind), waits_(waits), key_(key), chords_(key), line_(key) {}

void Listening::begin_chord(const LiveArrangement& arrangement, std::size_t chord, std::int64_t at_ns,
                            double length_ns) {
  if (arrangement.key != key_) {
    key_ = arrangement.key;
    chords_.change_key(key_);
    line_.change_key(key_);
  }
  const ShownChord& shown = arrangement.chords[chord];
  if (kind_ == Kind::chords) chords_.ask({shown.chord, shown.bar + 1, ms(at_ns), length_ns * 1e-6});
}

void Listening::begin_beat(const LiveArrangement& arrangement, int bar, int pulse, std::int64_t at_ns) {
  if (kind_ != Kind::line || !is_strong(arrangement.piece.meter_of(bar), pulse)) return;
  // The event of a beat comes before that of the chord that begins on it, so the chord is looked up here.
  const std::int32_t tick = arrangement.piece.tick_of(bar, pulse);
  std::optional<Chord> chord;
  for (std::size_t i = 0; i < arrangement.piece.chords.size(); ++i) {
    if (arrangement.piece.chords[i].tick <= tick && tick < arrangement.piece.chords[i].until)
      chord = arrangement.chords[i].chord;
  }
  line_.beat(ms(at_ns), chord, bar + 1);
}

void Listening::handle_message(const MidiHeard& message) {
  const int kind = message.status & 0xF0;
  if ((message.status & 0x0F) == percussion_channel) return;
  const double at = ms(message.time_ns);
  if (kind == 0x90 && message.second > 0) {
    keys_.key_down(message.first);
    chords_.key_down(message.first, at);
    line_.key_down(message.first, at);
    last_note_on_ns_ = message.time_ns;
    any_note_ = true;
  } else if (kind == 0x80 || kind == 0x90) {
    keys_.key_up(message.first);
    chords_.key_up(message.first, at);
    line_.key_up(message.first, at);
  } else if (kind == 0xB0 && message.first == sustain_controller) {
    keys_.pedal(message.second);
    chords_.pedal(message.second, at);
  }
}

void Listening::handle_sound(std::span<const float> samples, double rate_hz, std::int64_t offset_ns) {
  if (!tones_) tones_.emplace(rate_hz);
  tones_->push(samples, [&](TonesHeard heard) {
    heard.onset_ms += ms(offset_ns);
    heard.at_ms += ms(offset_ns);
    const float strongest = *std::max_element(heard.probability.begin(), heard.probability.end());
    any_note_ = any_note_ || strongest > surely_a_tone;
    sounding_ = heard;
    chords_.tones_sound(heard);
  });
}

void Listening::advance_to(std::int64_t now_ns) {
  chords_.pass(ms(now_ns));
  line_.pass(ms(now_ns));
}

void Listening::stop(std::int64_t now_ns) {
  chords_.stop(ms(now_ns));
  line_.pass(ms(now_ns) + 1000);
}

std::string Listening::latest_result() const {
  if (kind_ != Kind::chords || chords_.heard().empty()) return "";
  const ChordHeard& last = chords_.heard().back();
  return last.verdict == ChordHeard::Verdict::nothing && !any_note_ ? "" : describe(last, !waits_);
}

bool Listening::is_played(const Chord& chord, std::int64_t since_ns) const {
  if (tones_) {
    return sounding_.onset_ms > ms(since_ns) && sounding_.at_ms - sounding_.onset_ms >= tones_settle_ms &&
           match_sound(sounding_.probability, chord, key_).answer == SoundMatch::Answer::right;
  }
  if (last_note_on_ns_ <= since_ns) return false;
  std::vector<int> midi;
  for (int key = 0; key < 128; ++key) {
    if (keys_.sounding()[static_cast<std::size_t>(key)]) midi.push_back(key);
  }
  const ChordMatch match = match_chord(midi, chord, key_);
  return match.complete() && (chord.bass == chord.root || match.bass_fits);
}

ChordsPlayed Listening::chords_played() const {
  ChordsPlayed played;
  played.chords = chords_.heard();
  played.timing_matters = !waits_;
  played.basses_heard = !tones_;
  return played;
}

std::vector<std::string> Listening::report() const {
  if (tones_ && !any_note_) {
    return {
        "Nothing was heard from the piano. Is it the right microphone, and near enough? romanesca microphone tries "
        "it."};
  }
  return kind_ == Kind::line ? line_.report() : report_on(chords_.heard(), !waits_).sentences();
}

}  // namespace romanesca
