#include "synth/arranging/arranger.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>

#include "progressions/library.h"
#include "synth/arranging/band_arrangement.h"
#include "synth/arranging/colour_tones.h"
#include "synth/arranging/guide.h"
#include "synth/sound/instrument.h"
#include "theory/songs/progression_text.h"

namespace romanesca {
namespace {

Timeline line_of(const std::string& chords, const Meter& meter, const Key& key = {}) {
  auto parsed = parse_progression(chords, "t");
  EXPECT_TRUE(parsed) << chords;
  parsed->written_meter = meter;
  return timeline(*parsed, key);
}

// The general rules, for every style over every pattern of the library.
TEST(Arranger, RulesForEveryStyleAndPattern) {
  for (const Style& style : styles()) {
    for (const Pattern& pattern : library()) {
      const Timeline line = line_of(pattern.chords, style.meter, {PitchClass(-3), pattern.mode});
      FormRequest form;
      form.ending = Ending::hold;
      form.intro_bars = 1;
      form.home = Chord::on(PitchClass(-3), chord_types::major);
      const std::vector<Timeline> twice(2, line);
      const Arrangement arrangement = arrange(plan_form(twice, {}, 90, form), style, {90, 60, std::nullopt, 5});
      std::map<std::pair<int, int>, Beats> sounding_until;
      for (const NoteEvent& event : arrangement.events) {
        const Part& part = arrangement.parts[event.part];
        const InstrumentRow& row = instrument(part.instrument);
        EXPECT_GE(event.midi, row.lowest) << style.id << " " << pattern.id << " " << part.name;
        EXPECT_LE(event.midi, row.highest) << style.id << " " << pattern.id << " " << part.name;
        EXPECT_GT(event.length, Beats(0));
        EXPECT_LE(event.start + event.length, arrangement.length) << style.id << " " << part.name;
        Beats& until = sounding_until[{event.part, event.midi}];
        EXPECT_LE(until, event.start) << style.id << " " << pattern.id << " " << part.name
                                      << ": one pitch twice at once";
        until = event.start + event.length;
      }
    }
  }
}

TEST(Arranger, BassHasTheChordsBassAtEveryChange) {
  const Timeline line = line_of("| C | G/B Am | F / C/E Dm | N.C. | G7 |", {4, 4});
  for (const Style& style : styles()) {
    if (style.meter != Meter{4, 4}) continue;
    const Arrangement arrangement = arrange(line, style);
    for (const TimedChord& timed : line.chords) {
      // Struck at the change, or before it where the style pushes.
      const bool sounds =
          std::any_of(arrangement.events.begin(), arrangement.events.end(), [&](const NoteEvent& event) {
            return arrangement.parts[event.part].name == "bass" && event.start <= timed.start &&
                   event.start + event.length > timed.start && timed.chord &&
                   event.midi % 12 == timed.chord->bass.semitone();
          });
      EXPECT_EQ(sounds, timed.chord.has_value()) << style.id << " bar " << timed.bar;
    }
  }
}

/// The chord a note belongs to: the one that sounds, or the next if the note holds over into it.
bool belongs(const NoteEvent& event, const Timeline& line) {
  return std::any_of(line.chords.begin(), line.chords.end(), [&](const TimedChord& timed) {
    const Beats end = timed.start + timed.length;
    const bool within = event.start >= timed.start && event.start + event.length <= end;
    const bool early = event.start < timed.start && timed.start - event.start <= Beats(1) &&
                       event.start + event.length >= timed.start && event.start + event.length <= end;
    const auto tones = timed.chord->tones();
    return (within || early) &&
           std::any_of(tones.begin(), tones.end(), [&](PitchClass tone) { return tone.semitone() == event.midi % 12; });
  });
}

TEST(Arranger, NoNoteOutsideTheChord) {
  const Timeline line = line_of("| C | F G | Am7 Dm7 G7 C | E7 / Am / | G7sus4 | Fmaj9 |", {4, 4});
  // A part without roots plays triads with a colour tone.
  Timeline coloured = line;
  std::vector<Chord> chords;
  for (const TimedChord& timed : line.chords) chords.push_back(*timed.chord);
  chords = with_colour_tones(chords);
  for (std::size_t i = 0; i < chords.size(); ++i) coloured.chords[i].chord = chords[i];
  for (const Style& style : styles()) {
    if (style.meter != Meter{4, 4}) continue;
    // Swing would move the chords' borders; it is tested by itself.
    const Arrangement arrangement = arrange(plan_form({&line, 1}, {}, 90, {}), style, {90, 0, 50, 1});
    for (const NoteEvent& event : arrangement.events) {
      const std::string& part = arrangement.parts[event.part].name;
      if (part == "drums" || part == "percussion" || part == "bass") continue;  // a bass may step to the next chord
      const bool rootless = style.parts[event.part].voicing == VoicingKind::rootless;
      EXPECT_TRUE(belongs(event, rootless ? coloured : line))
          << style.id << " " << part << " plays " << int{event.midi} << " at " << event.start.quarters();
    }
  }
}

// Every chord is heard in the keys, the guitar and the pad, however short.
TEST(Arranger, EveryChordIsHeard) {
  const Timeline line = line_of("| C Dm Em F G Am Bdim C |", {4, 4});
  for (const Style& style : styles()) {
    if (style.meter != Meter{4, 4}) continue;
    const Arrangement arrangement = arrange(line, style);
    for (std::uint8_t part = 0; part < arrangement.parts.size(); ++part) {
      const std::string& name = arrangement.parts[part].name;
      if (name == "drums" || name == "percussion") continue;
      if (style.parts[part].play.empty()) continue;  // it plays in louder sections only
      for (const TimedChord& timed : line.chords) {
        EXPECT_TRUE(std::any_of(arrangement.events.begin(), arrangement.events.end(),
                                [&](const NoteEvent& event) {
                                  return event.part == part && event.start + event.length > timed.start &&
                                         event.start < timed.start + timed.length;
                                }))
            << style.id << " " << arrangement.parts[part].name << " " << to_string(*timed.chord);
      }
    }
  }
}

TEST(Arranger, CountInClicksThePulses) {
  const Timeline line = line_of("I IV", {6, 8});
  const Score score = plan_form({&line, 1}, {}, 90, {});
  const Arrangement plain = arrange(score, usual_style({6, 8}));
  const Arrangement counted = with_count_in(plain, score, 2);
  EXPECT_EQ(counted.length, plain.length + Beats(6));
  std::vector<std::pair<Beats, int>> clicks;
  for (const NoteEvent& event : counted.events) {
    if (counted.parts[event.part].name == "count-in") clicks.emplace_back(event.start, event.midi);
  }
  const std::vector<std::pair<Beats, int>> wanted{{Beats(0), 76}, {Beats(3, 2), 77}, {Beats(3), 76}, {Beats(9, 2), 77}};
  EXPECT_EQ(clicks, wanted);
}

TEST(Arranger, CountInGoesOnIntoAPickUp) {
  const Timeline line = line_of("| N.C. / / G7 | C |", {4, 4});
  const Score score = plan_form({&line, 1}, {}, 90, {});
  const Arrangement counted = with_count_in(arrange(score, *style_named("pop")), score, 1);
  int clicks = 0;
  Beats first_note = counted.length;
  for (const NoteEvent& event : counted.events) {
    const bool click = counted.parts[event.part].name == "count-in";
    clicks += click ? 1 : 0;
    if (!click) first_note = std::min(first_note, event.start);
  }
  EXPECT_EQ(clicks, 7);
  EXPECT_EQ(first_note, Beats(7));
}

std::vector<NoteEvent> of_part(const Arrangement& arrangement, const std::string& name) {
  std::vector<NoteEvent> events;
  for (const NoteEvent& event : arrangement.events) {
    if (arrangement.parts[event.part].name == name) events.push_back(event);
  }
  return events;
}

TEST(Arranger, ClickMarksEveryPulse) {
  const Timeline line = line_of("| C | F |", {4, 4});
  const Score score = plan_form({&line, 1}, {}, 90, {});
  const auto clicks = of_part(with_click(arrange(score, *style_named("pop")), score), "click");
  ASSERT_EQ(clicks.size(), 8U);
  for (std::size_t i = 0; i < clicks.size(); ++i) {
    EXPECT_EQ(clicks[i].start, Beats(static_cast<std::int64_t>(i)));
    EXPECT_EQ(clicks[i].midi, i % 4 == 0 ? 76 : 77);
  }
}

// A pushed chord sounds before the bar line and is not struck again on it.
TEST(Arranger, PushesComeEarlyAndHold) {
  const Timeline line = line_of("| C | F |", {4, 4});
  const Arrangement pushed = arrange(line, *style_named("pushed-pop"));
  const auto keys = of_part(pushed, "keys");
  const auto at = [&](Beats place) {
    return std::count_if(keys.begin(), keys.end(), [&](const NoteEvent& event) { return event.start == place; });
  };
  EXPECT_GT(at(Beats(7, 2)), 0);
  EXPECT_EQ(at(Beats(4)), 0);
  for (const NoteEvent& event : keys) {
    if (event.start == Beats(7, 2)) {
      EXPECT_GT(event.start + event.length, Beats(4));
    }
  }
  const auto bass = of_part(pushed, "bass");
  const auto early = std::find_if(bass.begin(), bass.end(), [](const NoteEvent& e) { return e.start == Beats(7, 2); });
  ASSERT_NE(early, bass.end());
  EXPECT_EQ(early->midi % 12, 5);  // F under the end of C's bar
}

TEST(Arranger, TheLastChordIsHeld) {
  const Timeline line = line_of("| F | G | C |", {4, 4});
  FormRequest form;
  form.ending = Ending::hold;
  form.home = *parse_chord("C");
  for (const Style& style : styles()) {
    if (style.meter != Meter{4, 4}) continue;
    const Arrangement arrangement = arrange(plan_form({&line, 1}, {}, 90, form), style);
    for (const NoteEvent& event : arrangement.events) {
      const std::string& part = arrangement.parts[event.part].name;
      if (event.start < Beats(8)) continue;
      EXPECT_LE(event.start, Beats(8) + Beats(1, 8)) << style.id << " " << part;
      const bool drum = part == "drums" || part == "percussion";
      if (!drum) {
        EXPECT_EQ(event.start + event.length, Beats(12)) << style.id << " " << part;
      }
    }
  }
}

TEST(Arranger, GuideMelodyKeepsToTheChords) {
  const Timeline line = line_of("| C | Am | Dm7 | G7 C |", {4, 4});
  const Score score = plan_form({&line, 1}, {}, 90, {});
  const Style& style = *style_named("pop");
  const auto melody = of_part(with_guide(arrange(score, style), score, Guide::melody, groove_of(style, {})), "guide");
  EXPECT_EQ(melody.size(), 8U);
  for (std::size_t i = 0; i < melody.size(); ++i) {
    EXPECT_TRUE(belongs(melody[i], line)) << i;
    if (i > 0) {
      EXPECT_LE(std::abs(melody[i].midi - melody[i - 1].midi), 5) << i;
    }
  }
  const auto chords = of_part(with_guide(arrange(score, style), score, Guide::chords, groove_of(style, {})), "guide");
  EXPECT_EQ(chords.size(), 3U + 3U + 4U + 4U + 3U);
}

// Open-position shapes of every beginner's guitar book (common practice, no source).
TEST(GuitarShape, KnownChords) {
  const auto shape = [](const char* symbol) {
    std::string text;
    for (const Pitch& note : guitar_shape(*parse_chord(symbol))) text += (text.empty() ? "" : " ") + to_string(note);
    return text;
  };
  EXPECT_EQ(shape("C"), "C3 E3 G3 C4 E4");
  EXPECT_EQ(shape("Em"), "E2 B2 E3 G3 B3 E4");
  EXPECT_EQ(shape("Am"), "A2 E3 A3 C4 E4");
  EXPECT_EQ(shape("G"), "G2 B2 D3 G3 B3 G4");
}

// A picked pattern of the thumb and two fingers tells whether the chord is major or minor.
TEST(GuitarShape, PickedStringsHaveTheThirdAmongTheLowest) {
  const auto picked = [](const char* symbol) {
    std::string text;
    for (const Pitch& note : guitar_picked(*parse_chord(symbol))) text += (text.empty() ? "" : " ") + to_string(note);
    return text;
  };
  EXPECT_EQ(picked("C"), "C3 E3 G3 C4");
  EXPECT_EQ(picked("Em"), "E2 G3 B3 E4");
  EXPECT_EQ(picked("Am"), "A2 A3 C4 E4");
  EXPECT_EQ(picked("Fm"), "F2 Ab3 C4 F4");
  EXPECT_EQ(picked("D"), "D3 D4 F#4 A4");
}

}  // namespace
}  // namespace romanesca
