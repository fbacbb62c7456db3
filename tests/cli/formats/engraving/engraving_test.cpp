// Notation as engravers set it. Rules from Gould, "Behind Bars", and Ross, "The Art of Music Engraving and Processing",
// both from memory, where a test names them; metrics from the music font itself.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "cli/formats/engraving/beams.h"
#include "cli/formats/engraving/event_shape.h"
#include "cli/formats/engraving/glyph.h"
#include "cli/formats/engraving/spacing.h"
#include "cli/formats/engraving/system_engraver.h"
#include "cli/formats/engraving/ties.h"

namespace romanesca {
namespace {

StaffEvent event_of(std::initializer_list<const char*> notes, NoteValue value = {}, Beats start = {}) {
  StaffEvent event;
  event.start = start;
  event.value = value;
  for (const char* note : notes) event.notes.push_back({*parse_pitch(note), 0, false, false});
  return event;
}

EventShape shape_in(const Key& key, const StaffEvent& event, Clef clef = Clef::treble) {
  AccidentalState state(key);
  std::vector<std::optional<Glyph>> signs;
  for (const StaffNote& note : event.notes) signs.push_back(state.sign_for(note.pitch, false));
  return shape_event(event, clef, std::nullopt, signs, false);
}

const Key in_c_major{PitchClass::of(0, 0), Mode::major};

TEST(Glyphs, OutlinesFillTheirBoxes) {
  for (const GlyphShape& shape : glyph_shapes()) {
    ASSERT_FALSE(shape.outline.empty());
    double left = 100;
    double right = -100;
    double top = 100;
    double bottom = -100;
    const auto touch = [&](double x, double y) {
      left = std::min(left, x);
      right = std::max(right, x);
      top = std::min(top, y);
      bottom = std::max(bottom, y);
    };
    trace_outline(shape, touch, touch, [&](double a, double b, double c, double d, double x, double y) {
      touch(a, b);
      touch(c, d);
      touch(x, y);
    });
    // Control points may lie a little outside of the ink, never inside.
    EXPECT_LE(left, shape.left + 0.001);
    EXPECT_GE(right, shape.right - 0.001);
    EXPECT_LE(top, shape.top + 0.001);
    EXPECT_GE(bottom, shape.bottom - 0.001);
  }
}

/// A head is a little higher than the space between two lines, a figure two spaces; stems join at a head's right edge.
TEST(Glyphs, HaveTheSizesOfNotation) {
  for (const Glyph head : {Glyph::whole_head, Glyph::half_head, Glyph::black_head}) {
    EXPECT_NEAR(shape_of(head).height(), 1.09, 0.03);
    EXPECT_NEAR(shape_of(head).stem_x, shape_of(head).right, 0.01);
  }
  for (int digit = 0; digit < 10; ++digit) EXPECT_NEAR(shape_of(digit_glyph(digit)).height(), 2, 0.05);
  for (std::size_t i = 0; i < brace_count; ++i) {
    const double spaces = shortest_brace_spaces + static_cast<double>(i);
    EXPECT_GE(shape_of(brace_glyph(spaces)).height(), spaces - 0.06);
    EXPECT_LE(shape_of(brace_glyph(spaces)).height(), spaces + 0.12);
  }
}

TEST(Accidentals, StandWhereTheKeyDoesNotSayIt) {
  AccidentalState state({PitchClass::of(4, 0), Mode::major});  // G major
  EXPECT_EQ(state.sign_for(*parse_pitch("F#4"), false), std::nullopt);
  EXPECT_EQ(state.sign_for(*parse_pitch("F4"), false), Glyph::natural);
  EXPECT_EQ(state.sign_for(*parse_pitch("F4"), false), std::nullopt);    // once in a bar
  EXPECT_EQ(state.sign_for(*parse_pitch("F5"), false), Glyph::natural);  // not in another octave
  EXPECT_EQ(state.sign_for(*parse_pitch("F#4"), false), Glyph::sharp);   // taken back
  EXPECT_EQ(state.sign_for(*parse_pitch("Bb4"), true), std::nullopt);    // a tied note needs none
  EXPECT_EQ(state.sign_for(*parse_pitch("F##4"), false), Glyph::double_sharp);
  state.start_bar();
  EXPECT_EQ(state.sign_for(*parse_pitch("F4"), false), Glyph::natural);
}

TEST(Accidentals, OfAllKeysAreThoseOfTheSignature) {
  for (const Key& key : written_keys()) {
    AccidentalState state(key);
    for (const PitchClass note : key.scale())
      EXPECT_EQ(state.sign_for({note, 4}, false), std::nullopt) << to_string(key);
  }
}

/// Gould, Ross: an octave's two signs stand in one column.
TEST(Accidentals, OfAnOctaveLineUp) {
  const EventShape shape = shape_in(in_c_major, event_of({"Eb4", "Eb5"}));
  ASSERT_EQ(shape.signs.size(), 2U);
  EXPECT_NEAR(shape.signs[0].x, shape.signs[1].x, 0.01);
}

/// Signs a third apart cannot share a column; the second one stands further left.
TEST(Accidentals, OfAThirdStandInTwoColumns) {
  const EventShape shape = shape_in(in_c_major, event_of({"G#4", "B#4"}));
  ASSERT_EQ(shape.signs.size(), 2U);
  EXPECT_GT(std::abs(shape.signs[0].x - shape.signs[1].x), 0.8);
  EXPECT_GT(shape.left, 2);
}

/// Gould: away from the note farthest from the middle line; down where they are as far.
TEST(Stems, GoAwayFromTheOuterNote) {
  EXPECT_TRUE(shape_in(in_c_major, event_of({"F4"})).up);
  EXPECT_FALSE(shape_in(in_c_major, event_of({"B4"})).up);
  EXPECT_FALSE(shape_in(in_c_major, event_of({"G4", "F5"})).up);
  EXPECT_FALSE(shape_in(in_c_major, event_of({"A4", "C5"})).up);
  EXPECT_TRUE(shape_in(in_c_major, event_of({"C4", "C5"})).up);
  EXPECT_FALSE(shape_in(in_c_major, event_of({"E3", "A3"}), Clef::bass).up);
}

/// Gould: an octave long, and to the middle line at least.
TEST(Stems, ReachTheMiddleLine) {
  EXPECT_NEAR(shape_in(in_c_major, event_of({"G4"})).stem_tip, 1 - 3.5, 0.001);
  EXPECT_NEAR(shape_in(in_c_major, event_of({"A3"})).stem_tip, 0, 0.001);
  EXPECT_NEAR(shape_in(in_c_major, event_of({"E6"})).stem_tip, 0, 0.001);
}

/// The upper note of a second stands right of the stem.
TEST(Heads, OfASecondStandOnBothSides) {
  const EventShape up = shape_in(in_c_major, event_of({"F4", "G4"}));
  EXPECT_EQ(up.heads[0].x, 0);
  EXPECT_GT(up.heads[1].x, 1);
  const EventShape down = shape_in(in_c_major, event_of({"C5", "D5"}));
  EXPECT_LT(down.heads[0].x, -1);
  EXPECT_EQ(down.heads[1].x, 0);
}

/// Gould: a dot of a note on a line goes up; no two dots share a space.
TEST(Dots, StandInSpaces) {
  const EventShape shape = shape_in(in_c_major, event_of({"B4", "C5", "E5"}, {1, true}));
  ASSERT_EQ(shape.dots.size(), 3U);
  for (const double dot : shape.dots) EXPECT_NEAR(std::abs(std::fmod(dot, 1.0)), 0.5, 0.001);
  EXPECT_NE(shape.dots[1], shape.dots[2]);
}

std::vector<std::vector<std::size_t>> groups_of(std::initializer_list<Beats> lengths, const Meter& meter) {
  std::vector<StaffEvent> events;
  Beats at;
  for (const Beats length : lengths) {
    const bool eighth = length <= Beats(3, 4);
    events.push_back(event_of({"C5"}, {eighth ? (length < Beats(1, 2) ? -2 : -1) : 0, length == Beats(3, 4)}, at));
    at += length;
  }
  return beam_groups(events, meter);
}

TEST(Beams, JoinTheNotesOfAPulse) {
  using Groups = std::vector<std::vector<std::size_t>>;
  const Beats half(1, 2);
  EXPECT_EQ(groups_of({half, half, half, half, Beats(1), Beats(1)}, {4, 4}), (Groups{{0, 1}, {2, 3}}));
  EXPECT_EQ(groups_of({half, half, half, Beats(1), half}, {6, 8}), (Groups{{0, 1, 2}}));
  EXPECT_EQ(groups_of({half, Beats(1), half, Beats(1), Beats(1)}, {4, 4}), Groups{});
}

BeamLine beam_over(std::initializer_list<const char*> notes, std::vector<EventShape>& shapes) {
  std::vector<BeamedEvent> events;
  shapes.clear();
  for (const char* note : notes) {
    StaffEvent event = event_of({note}, {-1, false});
    shapes.push_back(shape_event(event, Clef::treble, true, {std::nullopt}, true));
  }
  double x = 0;
  for (EventShape& shape : shapes) {
    events.push_back({&shape, x, -1});
    x += 3;
  }
  return fit_beam(events);
}

/// After Gould and Ross: none for a repeated note or a low middle, a quarter space for a second, at most half a space
/// for close notes; ends never in the middle of a space.
TEST(Beams, SlopeWithTheNotes) {
  std::vector<EventShape> shapes;
  const auto rise = [&](std::initializer_list<const char*> notes) {
    const BeamLine line = beam_over(notes, shapes);
    for (const double end : {line.from_y, line.to_y}) EXPECT_GT(std::abs(std::abs(std::fmod(end, 1.0)) - 0.5), 0.2);
    for (const EventShape& shape : shapes) EXPECT_GE(shape.heads[0].y - shape.stem_tip, 2.6 - 0.001);
    return line.from_y - line.to_y;
  };
  EXPECT_NEAR(rise({"G4", "G4"}), 0, 0.001);
  EXPECT_NEAR(rise({"G4", "B4", "G4"}), 0, 0.001);
  EXPECT_NEAR(rise({"F4", "G4"}), 0.25, 0.26);
  EXPECT_LE(rise({"C4", "A4"}), 0.76);
  EXPECT_GT(rise({"C4", "F4", "A4"}), 0.4);
  EXPECT_LT(rise({"A4", "F4", "C4"}), -0.4);
}

/// Gould, Ross: twice the length gets about 1.4 times the room.
TEST(Spacing, GrowsWithTheSquareRootOfLength) {
  StaffSystem system;
  system.clefs = {Clef::treble};
  system.key = in_c_major;
  StaffBar bar;
  bar.meter = {4, 4};
  bar.staves.push_back(
      {event_of({"B4"}, {1, false}), event_of({"B4"}, {0, false}, Beats(2)), event_of({"B4"}, {0, false}, Beats(3))});
  system.bars.push_back(bar);
  const SystemEngraver engraver(system, 400);
  const double half = engraver.event_x(0, 1) - engraver.event_x(0, 0);
  const double quarter = engraver.event_x(0, 2) - engraver.event_x(0, 1);
  EXPECT_NEAR(half / quarter, std::sqrt(2.0), 0.01);
  EXPECT_NEAR(engraver.width(), 400, 0.1);
}

TEST(Spacing, KeepsTheLeastDistances) {
  const std::vector<SpacingColumn> columns{{1}, {1}, {1}, {0}};
  const std::vector<LeastDistance> distances{{0, 1, 5}, {1, 3, 10}};
  const std::vector<double> x = space_columns(columns, distances, 40);
  EXPECT_NEAR(x[3], 40, 0.001);
  EXPECT_GE(x[1] - x[0], 5);
  EXPECT_GE(x[3] - x[1], 10);
  EXPECT_NEAR(space_columns(columns, distances, 3)[3], 15, 0.001);  // no narrower than these
}

TEST(Ties, OfAChordBowApart) {
  const EventShape shape = shape_in(in_c_major, event_of({"C4", "E4", "G4", "C5"}, {0, false}));
  for (std::size_t i = 0; i < 4; ++i) {
    const Tie tie = tie_between(shape, i, 0, &shape, i, 6);
    EXPECT_EQ(tie.up, i >= 2);
    EXPECT_GT(tie.to_x - tie.from_x, 1.7);
  }
}

/// Chord names over the notes push the columns apart.
TEST(System, LabelsHaveTheirRoom) {
  StaffSystem system;
  system.clefs = {Clef::treble, Clef::bass};
  system.key = {PitchClass::of(3, 0), Mode::major};
  system.shows_meter = Meter{4, 4};
  StaffBar bar;
  bar.meter = {4, 4};
  bar.staves = {{event_of({"C5"}), event_of({"C5"}, {}, Beats(1)), event_of({"C5"}, {1, false}, Beats(2))},
                {event_of({"F3"}, {2, false})}};
  bar.labels = {{Beats(0), 60}, {Beats(1), 60}};
  system.bars = {bar, bar};
  const SystemEngraver engraver(system, 300);
  EXPECT_GE(engraver.label_x(0, 1) - engraver.label_x(0, 0), 60 - 0.001);
  EXPECT_GE(engraver.label_x(1, 0) - engraver.label_x(0, 1), 60 - 0.001);
  EXPECT_GT(engraver.height(), 4 * 5 * 2);
  std::vector<Mark> marks;
  engraver.put(marks, 50, 100);
  const auto count = [&](MarkKind kind) {
    return std::count_if(marks.begin(), marks.end(), [&](const Mark& mark) { return mark.kind == kind; });
  };
  EXPECT_EQ(count(MarkKind::staff), 10);
  EXPECT_EQ(count(MarkKind::head), 8);
  EXPECT_EQ(count(MarkKind::stem), 6);
  EXPECT_EQ(count(MarkKind::clef), 2);
  EXPECT_EQ(count(MarkKind::signature), 2);
}

}  // namespace
}  // namespace romanesca
