#include "cli/studio/seating.h"

namespace romanesca {

Performance seated(const Arrangement& arrangement, double quarters_per_minute) {
  Performance performance;
  performance.events = arrangement.events;
  performance.length = arrangement.length;
  performance.tempo = TempoMap(quarters_per_minute * arrangement.tempos.front().factor);
  for (const TempoFactor& tempo : arrangement.tempos) {
    if (tempo.at > Beats(0)) performance.tempo.change(tempo.at, quarters_per_minute * tempo.factor);
  }
  for (const ArrangedPart& part : arrangement.parts) {
    const InstrumentRow* const row = instrument_named(part.instrument);
    performance.parts.push_back(
        {part.name, row != nullptr ? row->id : InstrumentId::piano, static_cast<float>(part.level_db), false});
  }
  return performance;
}

}  // namespace romanesca
