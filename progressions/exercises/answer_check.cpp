#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "progressions/exercise.h"
#include "progressions/exercises/closing.h"
#include "progressions/exercises/counts.h"
#include "progressions/exercises/level_step.h"
#include "progressions/exercises/wording.h"
#include "theory/chords/numeral_text.h"
#include "theory/songs/progression_text.h"
#include "theory/text/characters.h"

namespace romanesca {
namespace {

std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> words;
  std::string word;
  for (const char c : std::string(text) + " ") {
    if (std::isspace(static_cast<unsigned char>(c)) == 0 && c != ',' && c != ';' && c != '|') {
      word += c;
    } else if (!word.empty()) {
      words.push_back(std::move(word));
      word.clear();
    }
  }
  return words;
}

/// A chord or note name, also with a small first letter.
std::optional<Chord> chord_from(std::string word) {
  if (auto chord = parse_chord(word)) return chord;
  word.front() = capital(word.front());
  return parse_chord(word);
}

bool same_word(const std::string& said, const std::string& accepted) {
  if (said == accepted) return true;
  if (parse_roman(accepted) || parse_interval(accepted)) return false;  // small letters mean minor
  if (small_letters(said) == small_letters(accepted)) return true;
  const auto a = chord_from(said);
  const auto b = parse_chord(accepted);
  return a && b && sound_alike(*a, *b);
}

TextError unreadable(std::string message, std::string hint) {
  TextError error;
  error.message = std::move(message);
  error.hint = std::move(hint);
  error.source = "answer";
  return error;
}

/// The words of an answer as they are said in a sentence: intervals in full, "A minor third" for m3; others as they
/// are.
std::string spoken(const std::string& word, const std::vector<std::string>& all) {
  const bool intervals_only =
      std::all_of(all.begin(), all.end(), [](const std::string& each) { return parse_interval(each).has_value(); });
  if (!intervals_only) return "\"" + word + "\"";
  const std::string name = full_name(*parse_interval(word));
  return (name == "octave" ? "an " : "a ") + name;
}

std::string sentence_of_count(std::size_t right, std::size_t of) {
  return fmt::format("{} of {} {} right.", right, of, right == 1 ? "is" : "are");
}

class Checker {
 public:
  explicit Checker(const Exercise& exercise) : exercise_(exercise), answer_(*exercise.answer) {
    for (const TimedChord& timed : exercise.timeline().chords) {
      if (timed.chord) own_.push_back(*timed.chord);
    }
  }

  Parsed<ExerciseCheck> check(std::string_view text) {
    if (answer_.rule == AnswerRule::rhythm) {
      if (auto error = check_rhythm(text)) return *error;
      return finished();
    }
    if (answer_.rule == AnswerRule::words) {
      if (auto error = check_words(words_of(text))) return *error;
      return finished();
    }
    auto read = read_chords(text);
    if (!read) return read.error();
    check_chords(*read);
    return finished();
  }

 private:
  void hold(std::string sentence) { check_.holds.push_back(std::move(sentence)); }
  void miss(std::string sentence) { check_.not_yet.push_back(std::move(sentence)); }
  void judge(bool right, std::string if_right, std::string if_not) {
    if (right) {
      hold(std::move(if_right));
    } else {
      miss(std::move(if_not));
    }
  }

  Parsed<ExerciseCheck> finished() {
    check_.right = check_.not_yet.empty();
    check_.encouragement = check_.right ? "Well heard and well thought. Now play it once more for pleasure."
                           : check_.holds.empty()
                               ? "Not there yet, and that is what trying is for. Play it slowly and listen again."
                               : "A good part of it stands. Listen again where it does not, and try once more.";
    return std::move(check_);
  }

  std::optional<TextError> check_words(const std::vector<std::string>& said) {
    const auto& solution = answer_.solution;
    for (const std::string& word : said) {
      const auto known = [&](const std::string& each) { return same_word(word, each); };
      const bool readable = !answer_.words.empty() ? std::any_of(answer_.words.begin(), answer_.words.end(), known)
                                                   : chord_from(word) || parse_roman(word);
      if (!readable) {
        return unreadable(fmt::format("cannot read \"{}\"", word), answer_.words.empty()
                                                                       ? "give names like Eb or Am, or numerals like IV"
                                                                       : "the words are " + listed(answer_.words));
      }
    }
    if (said.empty()) return unreadable("there is no answer", answer_.asks);
    std::size_t right = 0;
    for (std::size_t i = 0; i < solution.size(); ++i) {
      if (i >= said.size()) break;
      const bool holds = std::any_of(solution[i].begin(), solution[i].end(),
                                     [&](const std::string& accepted) { return same_word(said[i], accepted); });
      if (holds) ++right;
      if (!holds) confuse(solution[i].front(), said[i]);
      const std::string which = solution.size() == 1 ? said[i] : fmt::format("Number {}, {}", i + 1, said[i]);
      judge(holds, which + ": that is right.", which + ": listen to that one again.");
    }
    check_count(said.size(), solution.size());
    if (solution.size() > 2) check_.holds.insert(check_.holds.begin(), sentence_of_count(right, solution.size()));
    if (right == 0) check_.holds.clear();
    tell_confusions();
    return std::nullopt;
  }

  /// Notes what was taken for what, in the words of the answer.
  void confuse(const std::string& was, const std::string& said) {
    for (const std::string& word : answer_.words) {
      if (same_word(said, word)) check_.confused.push_back({was, word});
    }
  }

  /// A sentence for each pair that was confused, with the times where it was more than once.
  void tell_confusions() {
    std::vector<Confusion> told;
    for (const Confusion& each : check_.confused) {
      if (std::find(told.begin(), told.end(), each) != told.end()) continue;
      told.push_back(each);
      const auto times = std::count(check_.confused.begin(), check_.confused.end(), each);
      const std::string often = times == 1 ? "" : fmt::format(", {} times", times);
      check_.to_hear.push_back(fmt::format("What was {} was taken for {}{}.", spoken(each.was, answer_.words),
                                           spoken(each.taken_for, answer_.words), often));
    }
  }

  /// Counts against counts: for each bar what is right, missing or too much.
  std::optional<TextError> check_rhythm(std::string_view text) {
    const Meter meter = exercise_.progression.meter();
    const auto given = read_counts(text, meter);
    if (!given) {
      return unreadable(fmt::format("cannot read \"{}\" as counts in {}", text, to_string(meter)),
                        "give counts like 1 2 & 3, with | between the bars and (2) for one that is silent");
    }
    std::string example;
    for (const auto& place : answer_.solution) example += place.front() + " ";
    const auto wanted = *read_counts(example, meter);
    if (given->size() != wanted.size()) {
      miss(fmt::format("There are {} bars, and you wrote {}.", number_word(wanted.size()), number_word(given->size())));
    }
    for (std::size_t bar = 0; bar < std::min(given->size(), wanted.size()); ++bar) {
      const auto& there = wanted[bar];
      const auto& here = (*given)[bar];
      const auto lacks = [](const std::vector<Beats>& places, Beats place) {
        return std::find(places.begin(), places.end(), place) == places.end();
      };
      bool right = there.size() == here.size();
      for (const Beats place : there) {
        if (!lacks(here, place)) continue;
        right = false;
        miss(fmt::format("Bar {}: a note begins on {}, which is missing.", bar + 1, count_name(place, meter)));
      }
      for (const Beats place : here) {
        if (!lacks(there, place)) continue;
        right = false;
        miss(fmt::format("Bar {}: no note begins on {}.", bar + 1, count_name(place, meter)));
      }
      if (right) hold(fmt::format("Bar {} is right.", bar + 1));
      if (!right && check_.not_yet.empty()) miss(fmt::format("Bar {} has a count twice.", bar + 1));
    }
    return std::nullopt;
  }

  void check_count(std::size_t given, std::size_t wanted) {
    if (given != wanted) miss(fmt::format("It asks for {}, and you gave {}.", number_word(wanted), number_word(given)));
  }

  [[nodiscard]] Parsed<std::vector<Chord>> read_chords(std::string_view text) const {
    const auto read = parse_progression(text, "answer");
    if (!read) return read.error();
    std::vector<Chord> chords;
    for (const TimedChord& timed : timeline(*read, exercise_.key).chords) {
      if (timed.chord) chords.push_back(*timed.chord);
    }
    if (chords.empty()) return unreadable("there is no chord in the answer", answer_.asks);
    return chords;
  }

  void check_chords(const std::vector<Chord>& given) {
    switch (answer_.rule) {
      case AnswerRule::chords:
        return check_places(given);
      case AnswerRule::order:
        return check_order(given);
      case AnswerRule::ending:
        return check_ending(given);
      case AnswerRule::fits_melody:
        return check_melody(given);
      case AnswerRule::bass_steps:
        return check_bass(given);
      case AnswerRule::new_harmony:
        return check_new_harmony(given);
      case AnswerRule::bridge:
        return check_bridge(given);
      case AnswerRule::words:
      case AnswerRule::rhythm:
        break;
    }
  }

  void check_places(const std::vector<Chord>& given) {
    const auto& solution = answer_.solution;
    check_count(given.size(), solution.size());
    for (std::size_t i = 0; i < std::min(given.size(), solution.size()); ++i) {
      const bool right = std::any_of(solution[i].begin(), solution[i].end(), [&](const std::string& accepted) {
        return sound_alike(given[i], *parse_chord(accepted));
      });
      judge(right, fmt::format("Chord {}, {}, is right.", i + 1, to_string(given[i])),
            fmt::format("Chord {}, {}, is another one.", i + 1, to_string(given[i])));
    }
  }

  void describe_bass(const std::vector<Chord>& given) {
    std::string line;
    for (const Chord& chord : given) line += " " + to_string(chord.bass);
    check_.to_hear.push_back(fmt::format("The bass goes{}.", line));
  }

  void check_close(const std::vector<Chord>& whole) {
    const auto ending = romanesca::ending_of(whole, exercise_.key);
    const std::string wanted(close_name(*answer_.cadence, answer_.terms));
    judge(ending == answer_.cadence, fmt::format("It ends in {}, as it should.", wanted),
          ending ? fmt::format("It ends in {}; {} was asked for.", close_name(*ending, answer_.terms), wanted)
                 : fmt::format("The last two chords do not make {} yet.", wanted));
  }

  void check_order(const std::vector<Chord>& given) {
    check_count(given.size(), own_.size());
    std::vector<Chord> left = own_;
    for (const Chord& chord : given) {
      const auto found =
          std::find_if(left.begin(), left.end(), [&](const Chord& each) { return sound_alike(each, chord); });
      if (found == left.end()) {
        miss(fmt::format("{} is not among the chords any more.", to_string(chord)));
      } else {
        left.erase(found);
      }
    }
    if (left.empty()) hold("Every chord is used once.");
    check_close(given);
    describe_bass(given);
  }

  /// Chords of the key, or any that the exercise itself uses.
  void check_in_key(const std::vector<Chord>& given) {
    for (const Chord& chord : given) {
      const bool own =
          std::any_of(own_.begin(), own_.end(), [&](const Chord& each) { return sound_alike(each, chord); });
      if (!own && !is_diatonic(chord, exercise_.key)) {
        miss(fmt::format("{} has a note from outside {}.", to_string(chord), to_string(exercise_.key)));
      }
    }
  }

  void check_ending(const std::vector<Chord>& given) {
    check_count(given.size(), exercise_.hidden.size());
    check_in_key(given);
    std::vector<Chord> whole(own_.begin(), own_.end() - static_cast<std::ptrdiff_t>(exercise_.hidden.size()));
    whole.insert(whole.end(), given.begin(), given.end());
    check_close(whole);
    describe_bass(whole);
  }

  /// The melody's note where the chord of the place begins.
  void check_note(const Chord& chord, std::size_t place) {
    const Beats start = exercise_.timeline().chords[place].start;
    const auto& melody = exercise_.melody;
    const auto found =
        std::find_if(melody.begin(), melody.end(), [&](const MelodyNote& each) { return each.start >= start; });
    if (found == melody.end()) return;
    const Pitch note = found->pitch;
    judge(holds(chord, note.name()), fmt::format("{} holds the melody's {}.", to_string(chord), to_string(note.name())),
          fmt::format("{} has no {}, which the melody sings there.", to_string(chord), to_string(note.name())));
  }

  void check_melody(const std::vector<Chord>& given) {
    const auto& open = exercise_.hidden;
    check_count(given.size(), open.size());
    check_in_key(given);
    for (std::size_t i = 0; i < std::min(given.size(), open.size()); ++i) check_note(given[i], open[i]);
  }

  void check_bass(const std::vector<Chord>& given) {
    check_count(given.size(), own_.size());
    for (std::size_t i = 0; i < std::min(given.size(), own_.size()); ++i) {
      const bool same =
          given[i].root.sounds_like(own_[i].root) && given[i].sounding_tones() == own_[i].sounding_tones();
      if (!same) miss(fmt::format("Chord {} is {}, and {} was there.", i + 1, to_string(given[i]), to_string(own_[i])));
      if (!holds(given[i], given[i].bass)) miss(fmt::format("{} has a strange note below.", to_string(given[i])));
    }
    std::vector<Chord> best;
    for (const auto& place : answer_.solution) best.push_back(*parse_chord(place.front()));
    const int wanted = bass_steps(best);
    const int found = bass_steps(given);
    judge(found >= wanted, fmt::format("The bass steps to a neighbour {} times.", found),
          fmt::format("The bass steps to a neighbour {} times; {} can be done.", found, wanted));
    describe_bass(given);
  }

  void check_new_harmony(const std::vector<Chord>& given) {
    check_count(given.size(), own_.size());
    bool changed = false;
    for (std::size_t i = 0; i < std::min(given.size(), own_.size()); ++i) {
      changed = changed || !sound_alike(given[i], own_[i]);
      check_note(given[i], i);
    }
    judge(changed, "There is a new chord in it.", "The chords are the old ones; change at least one.");
  }

  void check_bridge(const std::vector<Chord>& given) {
    check_count(given.size(), answer_.solution.size());
    check_in_key(given);
    judge(!given.front().root.sounds_like(own_.front().root), "It begins somewhere new.",
          "It begins like the verse; begin on another chord.");
    const Chord& last = given.back();
    const PitchClass fifth = exercise_.key.tonic + intervals::perfect_fifth;
    judge(last.root.sounds_like(fifth) && !last.type.is_minor(),
          fmt::format("It ends on {}, which leads back.", to_string(last)),
          fmt::format("It ends on {}; {} would lead back to the verse.", to_string(last), to_string(fifth)));
    describe_bass(given);
  }

  const Exercise& exercise_;
  const ExerciseAnswer& answer_;
  std::vector<Chord> own_;
  ExerciseCheck check_;
};

}  // namespace

Parsed<ExerciseCheck> check_answer(const Exercise& exercise, std::string_view answer) {
  if (!exercise.answer) {
    return unreadable(fmt::format("{} has no right or wrong answer", exercise.id),
                      "it is for playing and listening; nothing in it is scored");
  }
  return Checker(exercise).check(answer);
}

}  // namespace romanesca
