#include "theory/chords/key.h"

#include <algorithm>
#include <array>
#include <cstdlib>

#include "theory/text/characters.h"

namespace romanesca {
namespace {

struct ModeRow {
  std::string_view name;
  int signature;  ///< accidentals of the key on C
};
constexpr std::array<ModeRow, 7> mode_rows{{{"major", 0},
                                            {"minor", -3},
                                            {"dorian", -2},
                                            {"phrygian", -4},
                                            {"lydian", 1},
                                            {"mixolydian", -1},
                                            {"locrian", -5}}};
const ModeRow& row_of(Mode mode) { return mode_rows[static_cast<std::size_t>(mode)]; }

/// Lower case, with musical signs in ASCII, words "flat" and "sharp" as signs, and blanks and hyphens as single blanks.
std::string plain(std::string_view text) {
  std::string result;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const std::string_view rest = text.substr(i);
    if (rest.starts_with("♭") || rest.starts_with("♯")) {
      result += rest.starts_with("♭") ? 'b' : '#';
      i += 2;
    } else if (text[i] == ' ' || text[i] == '-' || text[i] == '\t' || text[i] == '_') {
      if (!result.empty() && result.back() != ' ') result += ' ';
    } else {
      result += small_letter(text[i]);
    }
  }
  while (!result.empty() && result.back() == ' ') result.pop_back();
  return result;
}

}  // namespace

std::string_view to_string(Mode mode) { return row_of(mode).name; }

std::optional<Mode> parse_mode(std::string_view text) {
  const std::string name = plain(text);
  for (const Mode mode : all_modes) {
    if (name == to_string(mode)) return mode;
  }
  if (name == "maj" || name == "ionian") return Mode::major;
  if (name == "min" || name == "m" || name == "aeolian") return Mode::minor;
  return std::nullopt;
}

int Key::signature() const noexcept { return tonic.fifths() + row_of(mode).signature; }

PitchClass Key::degree(int degree) const noexcept {
  // The seven notes of a signature are neighbours on the line of fifths, from -1 (F) to 5 (B) for no accidentals.
  const int letter = (tonic.letter() + degree - 1) % 7;
  constexpr std::array<int, 7> naturals{0, 2, 4, -1, 1, 3, 5};
  const int natural = naturals[static_cast<std::size_t>(letter)];
  const int lowest = signature() - 1;
  const int steps = natural - lowest;
  const int turns = steps >= 0 ? steps / 7 : -((-steps + 6) / 7);
  return PitchClass(natural - 7 * turns);
}

std::array<PitchClass, 7> Key::scale() const noexcept {
  return {degree(1), degree(2), degree(3), degree(4), degree(5), degree(6), degree(7)};
}

bool Key::contains(PitchClass name) const noexcept {
  const int place = name.fifths() - signature();
  return place >= -1 && place <= 5;
}

unsigned Key::sounding_tones() const noexcept {
  unsigned tones = 0;
  for (int place = -1; place <= 5; ++place) tones |= 1U << PitchClass(signature() + place).semitone();
  return tones;
}

Chord Key::diatonic_chord(int from, int tones) const {
  const PitchClass root = degree(from);
  ChordType type;
  for (int tone = 0; tone < tones; ++tone) type.add(degree(from + 2 * tone) - root);
  return Chord::on(root, type);
}

std::string to_string(const Key& key) { return to_string(key.tonic) + " " + std::string(to_string(key.mode)); }

std::optional<KeyText> parse_key(std::string_view text) {
  std::string rest = plain(text);
  if (rest.empty()) return std::nullopt;
  std::string tonic(1, capital(rest.front()));
  rest.erase(0, 1);
  for (const auto& [word, sign] : {std::pair{" flat", 'b'}, {" sharp", '#'}, {"flat", 'b'}, {"sharp", '#'}}) {
    if (rest.starts_with(word)) {
      tonic += sign;
      rest.erase(0, std::string_view(word).size());
      break;
    }
  }
  while (tonic.size() < 3 && !rest.empty() && (rest.front() == '#' || rest.front() == 'b')) {
    tonic += rest.front();
    rest.erase(0, 1);
  }
  const auto name = parse_pitch_class(tonic);
  if (!name) return std::nullopt;
  if (rest.empty()) return KeyText{*name, std::nullopt};
  const auto mode = parse_mode(rest.front() == ' ' ? rest.substr(1) : rest);
  if (!mode) return std::nullopt;
  return KeyText{*name, mode};
}

std::span<const Key> written_keys() {
  static const std::vector<Key> keys = [] {
    std::vector<Key> all;
    for (int fifths = -7; fifths <= 7; ++fifths) all.push_back({PitchClass(fifths), Mode::major});
    for (int fifths = -4; fifths <= 10; ++fifths) all.push_back({PitchClass(fifths), Mode::minor});
    return all;
  }();
  return keys;
}

Key simplest_spelling(const Key& key) {
  Key best = key;
  for (const int turn : {-24, -12, 12, 24}) {
    const Key other{PitchClass(key.tonic.fifths() + turn), key.mode};
    const int here = std::abs(other.signature());
    const int so_far = std::abs(best.signature());
    if (here < so_far || (here == so_far && other.signature() < best.signature())) best = other;
  }
  return best;
}

}  // namespace romanesca
