#include "theory/listening/chord_listener.h"

#include <algorithm>
#include <array>

#include "theory/listening/heard_tones.h"

namespace romanesca {
namespace {

constexpr std::size_t most_messages = 4096;  // between two chords; more is no playing
constexpr double settle_ms = 60;             // by which messages may come behind a chord's
constexpr std::size_t most_looks = 1024;     // between two chords
constexpr int looks_of_right = 3;            // that have the chord, one after the other
constexpr float sure_of_a_tone = 0.85f, doubt_of_a_tone = 0.2f;
constexpr float least_of_a_tone = 0.5f;  // with less nothing was played

std::vector<int> list(const HeardNotes::Keys& keys) {
  std::vector<int> midi;
  for (int key = 0; key < 128; ++key) {
    if (keys[static_cast<std::size_t>(key)]) midi.push_back(key);
  }
  return midi;
}

}  // namespace

void ChordListener::note(const Message& message) {
  if (messages_.size() >= most_messages) {
    play(messages_.front());
    messages_.pop_front();
  }
  messages_.push_back(message);
}

void ChordListener::play(const Message& message) {
  switch (message.kind) {
    case Kind::down:
      return notes_.key_down(message.value);
    case Kind::up:
      return notes_.key_up(message.value);
    case Kind::pedal:
      return notes_.pedal(message.value);
  }
}

double ChordListener::begin_of(const AskedChord& chord) const {
  return chord.at_ms - std::min(settings_.ahead_ms, chord.length_ms / 4);
}

void ChordListener::ask(const AskedChord& chord) { asked_.push_back(chord); }

void ChordListener::pass(double now_ms) {
  while (asked_.size() > 1 && now_ms >= asked_[1].at_ms + settle_ms) judge(begin_of(asked_[1]));
  if (!asked_.empty()) return;
  // No chord is due: only the state of the keys matters, and what was struck just now.
  while (!looks_.empty() && looks_.front().onset_ms < now_ms - 2 * settings_.ahead_ms) looks_.pop_front();
  while (!messages_.empty() && messages_.front().at_ms < now_ms - 2 * settings_.ahead_ms) {
    play(messages_.front());
    messages_.pop_front();
  }
}

void ChordListener::stop(double now_ms) {
  while (asked_.size() > 1) judge(begin_of(asked_[1]));
  if (!asked_.empty()) judge(now_ms);
}

/// What was struck together until then, each with all that the fingers hold at its end; and last, what is held
/// throughout.
std::vector<ChordListener::Attack> ChordListener::attacks(double until_ms) {
  std::vector<Attack> found;
  HeardNotes::Keys struck;  // in this attack
  double last_ms = 0;
  const auto close = [&] {
    if (struck.any()) found.back().midi = list(struck | notes_.held());
    struck.reset();
  };
  HeardNotes::Keys kept = notes_.held();  // from the chord before, until this one is due
  while (!messages_.empty() && messages_.front().at_ms < until_ms) {
    const Message message = messages_.front();
    messages_.pop_front();
    if (message.kind == Kind::down && message.value >= 0 && message.value < 128) {
      if (struck.any() && message.at_ms - last_ms > settings_.gather_ms) close();
      if (struck.none()) found.push_back({message.at_ms, {}, true});
      struck.set(static_cast<std::size_t>(message.value));
      last_ms = message.at_ms;
    } else if (struck.any() && message.at_ms - last_ms > settings_.gather_ms) {
      close();
    }
    if (message.kind == Kind::up && message.at_ms < asked_.front().at_ms && message.value >= 0 && message.value < 128) {
      kept.reset(static_cast<std::size_t>(message.value));
    }
    play(message);
  }
  close();
  if (kept.any()) found.push_back({asked_.front().at_ms, list(kept), false});
  return found;
}

void ChordListener::give_verdict(ChordHeard& heard, const std::vector<Attack>& attacks) const {
  using Verdict = ChordHeard::Verdict;
  const Chord& chord = heard.asked.chord;
  const bool bass_asked = chord.bass != chord.root;
  const auto take = [&](const Attack& attack, const ChordMatch& match, Verdict verdict) {
    heard.verdict = verdict;
    heard.missing = match.missing;
    heard.foreign = match.foreign;
    heard.held_over = !attack.struck;
    heard.late_ms = attack.struck ? attack.at_ms - heard.asked.at_ms : 0;
    const auto names = name_notes(attack.midi, key_, 1);
    heard.played = names.empty() ? std::nullopt : std::optional(names.front());
  };
  // The first that has the chord whole counts; what came before it was a try.
  std::vector<int> all;
  const Attack* first_struck = nullptr;
  const Attack* fullest = nullptr;
  for (const Attack& attack : attacks) {
    const ChordMatch match = match_chord(attack.midi, chord, key_);
    if (attack.struck) {
      all.insert(all.end(), attack.midi.begin(), attack.midi.end());
      if (first_struck == nullptr) first_struck = &attack;
      if (fullest == nullptr || attack.midi.size() > fullest->midi.size()) fullest = &attack;
    }
    const bool better_may_come = bass_asked && !match.bass_fits && &attack != &attacks.back();
    if (!match.complete() || better_may_come) continue;
    take(attack, match, bass_asked && !match.bass_fits ? Verdict::other_bass : Verdict::as_asked);
    heard.corrected = std::any_of(attacks.data(), &attack, [&](const Attack& before) {
      return before.struck && !match_chord(before.midi, chord, key_).foreign.empty();
    });
    return;
  }
  if (first_struck == nullptr) return;
  // Broken, note after note: all of the chord's time counts together.
  const Attack together{first_struck->at_ms, all, true};
  const ChordMatch match = match_chord(all, chord, key_);
  if (match.missing.empty()) {
    const Verdict whole = bass_asked && !match.bass_fits ? Verdict::other_bass : Verdict::as_asked;
    return take(together, match, match.foreign.empty() ? whole : Verdict::with_more);
  }
  if (match.foreign.empty()) return take(together, match, Verdict::part_of_it);
  take(*fullest, match_chord(fullest->midi, chord, key_), Verdict::another);
}

/// The looks come in groups, one for each onset. The first group that has the chord counts; else all of them together,
/// as for a chord that is broken note after note: the tones that came, in any of them.
void ChordListener::give_verdict_on_sound(ChordHeard& heard, double until_ms) {
  using Verdict = ChordHeard::Verdict;
  using Answer = SoundMatch::Answer;
  const Chord& chord = heard.asked.chord;
  const double begin_ms = begin_of(heard.asked);
  std::array<float, 12> all{};
  double first_ms = 0;
  bool any = false;
  bool wrong_before = false;
  const auto take = [&](double onset_ms, Verdict verdict, const SoundMatch& match) {
    heard.verdict = verdict;
    heard.late_ms = onset_ms - heard.asked.at_ms;
    heard.missing = match.missing;
    heard.foreign = match.foreign;
  };
  while (!looks_.empty() && looks_.front().onset_ms < until_ms) {
    const double onset_ms = looks_.front().onset_ms;
    TonesHeard last;
    int in_a_row = 0;
    bool right = false;
    while (!looks_.empty() && looks_.front().onset_ms == onset_ms) {
      last = looks_.front();
      looks_.pop_front();
      const bool fits = last.at_ms - onset_ms >= tones_settle_ms &&
                        match_sound(last.probability, chord, key_).answer == Answer::right;
      in_a_row = fits ? in_a_row + 1 : 0;
      right = right || in_a_row >= looks_of_right;
    }
    if (onset_ms < begin_ms || heard.verdict == Verdict::as_asked) continue;
    if (!any) first_ms = onset_ms;
    any = true;
    const SoundMatch match = match_sound(last.probability, chord, key_);
    if (right) {
      take(onset_ms, Verdict::as_asked, {});
      heard.corrected = wrong_before;
      continue;
    }
    wrong_before = wrong_before || !match.foreign.empty();
    for (std::size_t i = 0; i < all.size(); ++i) all[i] = std::max(all[i], last.probability[i]);
  }
  if (!any || heard.verdict == Verdict::as_asked) return;
  if (*std::max_element(all.begin(), all.end()) < least_of_a_tone) return;  // something knocked
  // Of several onsets only what was sure counts for the chord.
  for (unsigned tone = 0; tone < 12; ++tone) {
    if ((chord.sounding_tones() >> tone & 1U) != 0 && all[tone] < sure_of_a_tone)
      all[tone] = std::min(all[tone], doubt_of_a_tone);
  }
  const SoundMatch match = match_sound(all, chord, key_);
  if (match.answer == Answer::right) return take(first_ms, Verdict::as_asked, {});
  if (match.answer == Answer::unclear) return take(first_ms, Verdict::not_clear, {});
  const Verdict with_foreign = match.whole ? Verdict::with_more : Verdict::another;
  take(first_ms, match.foreign.empty() ? Verdict::part_of_it : with_foreign, match);
}

void ChordListener::tones_sound(const TonesHeard& heard) {
  by_sound_ = true;
  if (looks_.size() >= most_looks) looks_.pop_front();
  looks_.push_back(heard);
}

/// The same chord as before, which may ring on: a microphone cannot tell whether fingers hold it.
bool ChordListener::may_be_held_over(const ChordHeard& heard) const {
  using Verdict = ChordHeard::Verdict;
  if (heard_.empty() || heard_.back().asked.chord != heard.asked.chord) return false;
  return heard_.back().verdict == Verdict::as_asked ||
         (heard_.back().verdict == Verdict::not_clear && heard_.back().held_over);
}

void ChordListener::judge(double until_ms) {
  ChordHeard heard;
  heard.asked = asked_.front();
  const std::vector<Attack> struck = attacks(until_ms);
  looks_.empty() || !struck.empty() ? give_verdict(heard, struck) : give_verdict_on_sound(heard, until_ms);
  if (by_sound_ && heard.verdict == ChordHeard::Verdict::nothing && may_be_held_over(heard)) {
    heard.verdict = ChordHeard::Verdict::not_clear;
    heard.held_over = true;
  }
  heard_.push_back(std::move(heard));
  asked_.pop_front();
}

}  // namespace romanesca
