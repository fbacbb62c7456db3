// The players of the instruments, apart from the table, so that code that only names instruments links none of them.
#include <array>

#include "synth/sound/instrument.h"
#include "synth/sound/instruments/instruments.h"
#include "synth/sound/polyphonic_player.h"

namespace romanesca {

std::unique_ptr<Player> make_player(InstrumentId id, double sample_rate_hz, const KeySet& keys) {
  using Make = std::unique_ptr<Player> (*)(double, const KeySet&);
  // In the order of InstrumentId.
  constexpr std::array<Make, 23> players{drum_kit,
                                         brush_kit,
                                         modal_player<electric_bass>,
                                         modal_player<upright_bass>,
                                         modal_player<piano>,
                                         modal_player<electric_piano>,
                                         modal_player<nylon_guitar>,
                                         modal_player<steel_guitar>,
                                         modal_player<organ>,
                                         modal_player<strings>,
                                         modal_player<pad>,
                                         modal_player<bell>,
                                         modal_player<vibraphone>,
                                         lead,
                                         click,
                                         modal_player<clean_guitar>,
                                         modal_player<muted_guitar>,
                                         modal_player<driven_guitar>,
                                         modal_player<synth_bass>,
                                         modal_player<brass>,
                                         modal_player<accordion>,
                                         modal_player<clarinet>,
                                         modal_player<flute>};
  return players[static_cast<std::size_t>(id)](sample_rate_hz, keys);
}

}  // namespace romanesca
