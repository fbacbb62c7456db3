#include "paper_songs.h"

#include "theory/songs/progression_text.h"
#include "theory/songs/song_reading.h"

namespace romanesca {

const std::vector<std::string>& paper_songs() {
  static const std::vector<std::string> songs{
      "title: A title that is far too long to stand on one line of a page in its usual size, so it must shrink\n"
      "[A]\n| C |\n[B]\n| Dm7 G7 | Cmaj7 |\n",
      "| C D E F G A B C | F#m7b5 B7(b9,#11) Ebmaj7#11 Ab13sus4 |",
      "| C D E F G A C D E F G A C D E F G A C D E F G A |",
      "meter: 5/4\n| C / / G / | N.C. | % |\n| / / / / F |",
      "title: Copper Kettle Steam\nkey: E\ntempo: 132\n[Verse]\n| E | B/D# | C#m7 | A |\n| F#7 | B7sus4 B7 | E | % |\n"
      "[A middle part with a long name]\n| G#m7b5 C#7b9 | F#m9 | Am6 | E/B B7 |\n",
      "title: Moth at the Window\nkey: F minor\nmeter: 6/8\ntempo: 56\n| Fm | Bbm7 | Eb7 | Abmaj7 |\n| Dbmaj7 | Gm7b5 "
      "C7 | Fm | Fm |\n",
      "key: Gb\n| Gb | Cbmaj7 | Dbm7 Gb7 | Cbm6 |\n| Ebm7 | Ab7b9 | Db7alt | Gb6/9 |\n",
      "key: C# minor\n| C#m(maj7) | D#dim7 G#7#9 | Amaj7#11 | E#dim7 F#m |\n",
      "meter: 3/4\nkey: G\n| G D Em | C | D G/B C | G |\n",
      "meter: 12/8\nkey: D\n| D A Bm G | D | Gm6 A13 | D6 |\n",
      "meter: 9/8\nkey: Bb\n| Bb | F7 Gm | Eb | Bb |\n",
      "meter: 2/4\nkey: A\n| A | E7 A | D Dm | A |\n",
      "| C G Am | F C G C | Em Am Dm G C |",
      "Lanterns\n\nC                          F\nCarry the lanterns slowly over the bridge\nG7                    "
      "C\nnobody is counting any more\n\n"
      "Am       Em        Bbmaj7   G7sus4\nunderneath the washing lines, extraordinarily quiet\n",
      "key: Eb\n| Eb Bb/D Cm Ab | Fm7 Bb7 Eb Abmaj7 Dm7b5 G7 Cm C7 | Fm7b5 Bb7b9 | Eb6/9 |\n",
      "key: C\n| C | G | Am | F |\n| C | G | F G | C |\n| C | G | Am | F |\n| C | G | F G | C |\n"
      "| Db | Ab | Bbm | Gb |\n| Db | Ab | Gb Ab | Db |\n| Db | Ab | Bbm | Gb |\n| Db | Ab | Gb Ab | Db |\n",
  };
  return songs;
}

Placement placed_song(const std::string& text, const std::optional<KeyText>& key) {
  NamedProgression source;
  const auto parsed = parse_progression(text, "t");
  source.progression = parsed ? *parsed : read_song(text, "t")->progression;
  source.name = "progression";
  return *place_in_key(std::move(source), key);
}

Drawing chart_of(const Placement& piece, const PaperSettings& paper, const HandSettings& hands) {
  return chart_drawing(piece, hands_for(piece.analysis.timeline, hands, piece.analysis.keys.by_bar), paper);
}

}  // namespace romanesca
