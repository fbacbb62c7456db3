#include "synth/arranging/arranger.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>

#include "progressions/library.h"
#include "synth/arranging/guitar_shape.h"
#include "synth/sound/instrument.h"
#include "theory/progression_text.h"

namespace romanesca {
namespace {

Timeline line_of(const std::string& chords, const Meter& meter, const Key& key = {}) {
  auto parsed = parse_progression(chords, "t");
  EXPECT_TRUE(parsed) << chords;
  parsed->written_meter = meter;
  return timeline(*parsed, key);
}

TEST(Styles, EveryFileIsSound) {
  EXPECT_EQ(styles().size(), style_texts().size());
  for (const EmbeddedText& file : style_texts()) {
    const auto style = read_style(file);
    ASSERT_TRUE(style) << file.name << ":" << style.error().place.line << ": " << style.error().message;
    EXPECT_FALSE(style->feel.empty());
    EXPECT_LT(style->slowest_bpm, style->usual_bpm);
    EXPECT_LT(style->usual_bpm, style->fastest_bpm);
    for (const StylePart& part : style->parts) {
      EXPECT_NE(instrument_named(part.instrument), nullptr) << file.name << " " << part.instrument;
      for (const StyleRow& row : part.rows) EXPECT_NE(row.steps.front(), '-') << file.name;
    }
  }
  for (const char* id : {"pop", "ballad", "waltz", "six-eight-ballad", "shuffle"})
    EXPECT_NE(style_named(id), nullptr) << id;
  for (const Meter& meter : all_meters) EXPECT_EQ(usual_style(meter).meter, meter);
}

TEST(Styles, FaultsHaveAPlace) {
  const auto bad = [](const char* text) { return read_style({"bad", text}).error().message; };
  EXPECT_EQ(bad("meter = \"4/4\"\nsteps_per_beat = 1\ntempo = [1, 2, 3]\n[bass]\nplay = \"R--\"\n"),
            "3 steps fill no whole bars of 4");
  EXPECT_EQ(bad("meter = \"4/4\"\nsteps_per_beat = 1\ntempo = [1, 2, 3]\n[bass]\nplay = \"R--Q\"\n"),
            "\"Q\" is no sign for bass");
  EXPECT_EQ(bad("meter = \"4/4\"\nsteps_per_beat = 1\ntempo = [1, 2, 3]\n[drums]\ngong = \"x...\"\n"),
            "\"gong\" is no drum I know");
  EXPECT_EQ(bad("meter = \"7/8\"\n"), "meter is missing or not one I know");
}

// The rules of the house, for every style over every pattern of the library.
TEST(Arranger, RulesForEveryStyleAndPattern) {
  for (const Style& style : styles()) {
    for (const Pattern& pattern : library()) {
      const Timeline line = line_of(pattern.chords, style.meter, {PitchClass(-3), pattern.mode});
      const Arrangement arrangement = arrange(line, style);
      EXPECT_EQ(arrangement.length, line.length());
      std::map<std::pair<int, int>, Beats> sounding_until;
      for (const NoteEvent& event : arrangement.events) {
        const ArrangedPart& part = arrangement.parts[event.part];
        const InstrumentRow& row = *instrument_named(part.instrument);
        EXPECT_GE(event.midi, row.lowest) << style.id << " " << pattern.id << " " << part.name;
        EXPECT_LE(event.midi, row.highest) << style.id << " " << pattern.id << " " << part.name;
        EXPECT_GT(event.length, Beats(0));
        EXPECT_LE(event.start + event.length, line.length()) << style.id << " " << part.name;
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
      const bool struck =
          std::any_of(arrangement.events.begin(), arrangement.events.end(), [&](const NoteEvent& event) {
            return arrangement.parts[event.part].name == "bass" && event.start == timed.start && timed.chord &&
                   event.midi % 12 == timed.chord->bass.semitone();
          });
      EXPECT_EQ(struck, timed.chord.has_value()) << style.id << " bar " << timed.bar;
    }
  }
}

TEST(Arranger, NoNoteOutsideTheChord) {
  const Timeline line = line_of("| C | F G | Am7 Dm7 G7 C | E7 / Am / |", {4, 4});
  for (const Style& style : styles()) {
    if (style.meter != Meter{4, 4}) continue;
    const Arrangement arrangement = arrange(line, style);
    for (const NoteEvent& event : arrangement.events) {
      const std::string& part = arrangement.parts[event.part].name;
      if (part == "drums" || part == "bass") continue;  // a bass may step towards the next chord
      const auto chord = std::find_if(line.chords.begin(), line.chords.end(), [&](const TimedChord& timed) {
        return event.start >= timed.start && event.start < timed.start + timed.length;
      });
      const auto tones = chord->chord->tones();
      const bool own =
          std::any_of(tones.begin(), tones.end(), [&](PitchClass tone) { return tone.semitone() == event.midi % 12; });
      EXPECT_TRUE(own) << style.id << " " << part << " plays " << int{event.midi} << " over "
                       << to_string(*chord->chord);
      EXPECT_LE(event.start + event.length, chord->start + chord->length) << style.id << " " << part;
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
      if (arrangement.parts[part].name == "drums") continue;
      for (const TimedChord& timed : line.chords) {
        EXPECT_TRUE(std::any_of(arrangement.events.begin(), arrangement.events.end(),
                                [&](const NoteEvent& event) {
                                  return event.part == part && event.start >= timed.start &&
                                         event.start < timed.start + timed.length;
                                }))
            << style.id << " " << arrangement.parts[part].name << " " << to_string(*timed.chord);
      }
    }
  }
}

TEST(Arranger, CountInClicksThePulses) {
  const Timeline line = line_of("I IV", {6, 8});
  const Arrangement plain = arrange(line, usual_style({6, 8}));
  const Arrangement counted = with_count_in(plain, {6, 8}, 2);
  EXPECT_EQ(counted.length, plain.length + Beats(6));
  std::vector<std::pair<Beats, int>> clicks;
  for (const NoteEvent& event : counted.events) {
    if (counted.parts[event.part].name == "count-in") clicks.emplace_back(event.start, event.midi);
  }
  const std::vector<std::pair<Beats, int>> wanted{{Beats(0), 76}, {Beats(3, 2), 77}, {Beats(3), 76}, {Beats(9, 2), 77}};
  EXPECT_EQ(clicks, wanted);
}

TEST(Arranger, RepeatsExactly) {
  const Arrangement once = arrange(line_of("I IV V I", {4, 4}), *style_named("pop"));
  const Arrangement thrice = repeated(once, 3);
  EXPECT_EQ(thrice.length, once.length * 3);
  EXPECT_EQ(thrice.events.size(), once.events.size() * 3);
  EXPECT_EQ(thrice.events[once.events.size()].start, once.length + once.events[0].start);
}

// Open-position shapes that every beginner's guitar book has (common practice, no source).
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

}  // namespace
}  // namespace romanesca
