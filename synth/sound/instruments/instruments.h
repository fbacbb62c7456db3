#pragma once

#include <memory>

#include "synth/sound/modal_patch.h"
#include "synth/sound/player.h"

// Every instrument of the table in instrument.h: what is struck, plucked or held as a function that gives the patch of
// a note (modal_player makes a player of it), the others as a function that makes the player. Sample rates 8000 to
// 192000.

namespace romanesca {

/// A piano: stiff strings struck at an eighth of their length by a hammer whose felt is harder at higher velocity.
/// Partials lie at n sqrt(1 + B n^2) (Fletcher & Rossing, The Physics of Musical Instruments, 2nd ed. 1998, ch. 12; B
/// from memory). The lower ones decay in two stages, since the strings of a note drift out of phase (Weinreich, JASA
/// 62, 1977).
[[nodiscard]] ModalPatch piano(const NoteInput& note) noexcept;

/// An electric piano: a tine that swings before a magnetic pickup, whose field bends the swing into harmonics, the more
/// the harder the key is struck (from memory: the pickup's voltage follows the square of the nearness of the tine), and
/// for a moment the tine's own upper modes, at 6.3 and 17.5 times the note (a bar clamped at one end: Fletcher &
/// Rossing, ch. 2).
[[nodiscard]] ModalPatch electric_piano(const NoteInput& note) noexcept;

/// A vibraphone: metal bars cut so that the second mode is two octaves above the first, and the third near ten times it
/// (Fletcher & Rossing, ch. 19), with a soft mallet. Meant to be heard through the rotating fans of Insert::fans.
[[nodiscard]] ModalPatch vibraphone(const NoteInput& note) noexcept;

/// A bell of metal bars, free at both ends. Its modes and how fast each dies away were measured on the sampled bars of
/// two SoundFonts; a thin bar's are 1, 2.756, 5.404 and 8.933 times the lowest (Euler's beam; Fletcher & Rossing, ch.
/// 2). The lowest is stronger here than there, so that the pitch is clear.
[[nodiscard]] ModalPatch bell(const NoteInput& note) noexcept;

/// A guitar with nylon strings, plucked by a finger: soft and round.
[[nodiscard]] ModalPatch nylon_guitar(const NoteInput& note) noexcept;

/// A guitar with steel strings, played with a pick: bright, with a long ring.
[[nodiscard]] ModalPatch steel_guitar(const NoteInput& note) noexcept;

/// An electric bass, plucked with a finger near the pickup, which does not pick up the modes that have a node over it.
[[nodiscard]] ModalPatch electric_bass(const NoteInput& note) noexcept;

/// A double bass, plucked: round, with a body resonance at about 100 Hz, and a shorter decay than the electric one.
[[nodiscard]] ModalPatch upright_bass(const NoteInput& note) noexcept;

/// An electric guitar through a clean amplifier: bright, round at the end of the spectrum.
[[nodiscard]] ModalPatch clean_guitar(const NoteInput& note) noexcept;

/// The same with the heel of the hand on the strings, for short notes.
[[nodiscard]] ModalPatch muted_guitar(const NoteInput& note) noexcept;

/// An electric guitar through an overdriven amplifier: a flat, long tone. Each note is distorted on its own.
[[nodiscard]] ModalPatch driven_guitar(const NoteInput& note) noexcept;

/// A synthetic bass: a saw through a low-pass that closes.
[[nodiscard]] ModalPatch synth_bass(const NoteInput& note) noexcept;

/// A section of brass, which gets brighter as it gets louder, for Insert::chorus.
[[nodiscard]] ModalPatch brass(const NoteInput& note) noexcept;

/// An accordion: free reeds, for Insert::chorus, which stands for the second reed.
[[nodiscard]] ModalPatch accordion(const NoteInput& note) noexcept;

/// A clarinet, without vibrato.
[[nodiscard]] ModalPatch clarinet(const NoteInput& note) noexcept;

/// A flute, without vibrato.
[[nodiscard]] ModalPatch flute(const NoteInput& note) noexcept;

/// An organ of drawbars: sines at the pitches of pipes of 16, 8, 4, 2 2/3, 2 and 1 1/3 feet, that hold as long as the
/// key is down. A drawbar organ ignores velocity; here a little of the upper drawbars follows it. Meant to be
/// heard through Insert::rotary.
[[nodiscard]] ModalPatch organ(const NoteInput& note) noexcept;

/// A section of bowed strings: the harmonics of a saw under a body's broad response, bowed in slowly. Meant to be
/// heard through Insert::chorus.
[[nodiscard]] ModalPatch strings(const NoteInput& note) noexcept;

/// A warm synthetic pad: few harmonics with a slow attack, for Insert::chorus.
[[nodiscard]] ModalPatch pad(const NoteInput& note) noexcept;

/// A singing voice for melodies: up to ten harmonics, the odd ones stronger, with a delayed vibrato centred on
/// the note.
[[nodiscard]] std::unique_ptr<Player> lead(double sample_rate_hz, const KeySet& keys);
/// The same without vibrato, for measuring.
[[nodiscard]] std::unique_ptr<Player> steady_lead(double sample_rate_hz, const KeySet& keys);

/// The drum kit: kick, snare, hats, toms and cymbals, and the hand percussion of General MIDI.
[[nodiscard]] std::unique_ptr<Player> drum_kit(double sample_rate_hz, const KeySet& keys);

/// The same kit played with brushes: on the snare's keys a tap (38), a slap (39) and a swirl (40), as in the brush set
/// of General MIDI 2; all strokes are softer.
[[nodiscard]] std::unique_ptr<Player> brush_kit(double sample_rate_hz, const KeySet& keys);

/// The metronome: a high click on the first beat (key 76) and a lower one on the others (77).
[[nodiscard]] std::unique_ptr<Player> click(double sample_rate_hz, const KeySet& keys);

}  // namespace romanesca
