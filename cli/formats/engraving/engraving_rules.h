#pragma once

namespace romanesca::engraving {

// Distances of notation in staff spaces. Sources: "SMuFL" the engraving defaults of the Standard Music Font Layout;
// "Gould" Behind Bars; "Ross" The Art of Music Engraving and Processing, both from memory; "ours" tried on paper.

inline constexpr double staff_line = 0.13;            // SMuFL; copies better than this font's own 0.10
inline constexpr double stem = 0.12;                  // SMuFL
inline constexpr double ledger_line = 0.16;           // SMuFL
inline constexpr double ledger_reach = 0.38;          // beyond the head; SMuFL 0.4
inline constexpr double ledger_reach_by_sign = 0.25;  // beside an accidental; ours
inline constexpr double beam = 0.50;                  // SMuFL, Ross, Gould
inline constexpr double beam_gap = 0.25;              // SMuFL
inline constexpr double thin_line = 0.16;             // bar lines, SMuFL
inline constexpr double thick_line = 0.50;            // SMuFL
inline constexpr double line_gap = 0.40;              // between a thin and a thick one, SMuFL
inline constexpr double repeat_dots = 0.40;           // from the dots to the line; ours
inline constexpr double stem_length = 3.5;            // Gould, Ross
inline constexpr double beamed_stem = 2.6;            // the shortest; Gould 2.5
inline constexpr double sign_gap = 0.22;              // accidental to head, to accidental; Gould 0.2 to 0.25
inline constexpr double dot_gap = 0.35;               // Gould
inline constexpr double clef_left = 0.75;             // from the staff's end; Gould about 1
inline constexpr double prefix_gap = 0.9;             // clef, signature and meter; Gould about 1
inline constexpr double first_note = 1.9;             // from meter or signature; Gould 2
inline constexpr double bar_to_note = 1.5;            // Gould 1 to 1.5
inline constexpr double bar_to_sign = 0.6;            // to an accidental; ours
inline constexpr double note_to_bar = 1.0;            // ours
inline constexpr double column_gap = 0.55;            // between signs without time; ours
inline constexpr double tie_length = 1.7;             // the least; ours
inline constexpr double finger_gap = 0.45;            // to head or stem; ours
inline constexpr double finger_staff_gap = 0.7;
inline constexpr double quarter_space = 3.5;  // after a quarter note: 3.5 sqrt(duration / quarter), the ratio of about
                                              // 1.4 for each doubling is Gould's and Ross's
inline constexpr double least_staff_gap = 5.5;  // between two staves of one instrument; ours

}  // namespace romanesca::engraving
