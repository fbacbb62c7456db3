#include "cli/web/plan_bytes.h"

#include <cstring>

namespace romanesca {
namespace {

constexpr std::uint32_t mark = 0x616d6f72;               // "roma"
constexpr std::size_t most = 1U << 20U;                  // of events, parts, tempos
constexpr float least_gain_db = -60, most_gain_db = 12;  // of a part, see Part

class Writer {
 public:
  std::vector<std::uint8_t> bytes;
  void put(std::uint32_t value) {
    for (int shift = 0; shift < 32; shift += 8) bytes.push_back(static_cast<std::uint8_t>(value >> shift));
  }
  void put(float value) {
    std::uint32_t bits = 0;
    std::memcpy(&bits, &value, sizeof bits);
    put(bits);
  }
  void put(Beats place) {
    put(static_cast<std::uint32_t>(place.numerator()));
    put(static_cast<std::uint32_t>(place.denominator()));
  }
};

class Reader {
 public:
  explicit Reader(std::span<const std::uint8_t> bytes) : bytes_(bytes) {}
  std::uint32_t number() {
    if (at_ + 4 > bytes_.size()) {
      whole_ = false;
      return 0;
    }
    std::uint32_t value = 0;
    for (unsigned i = 0; i < 4; ++i) value |= static_cast<std::uint32_t>(bytes_[at_ + i]) << (8 * i);
    at_ += 4;
    return value;
  }
  float real() {
    const std::uint32_t bits = number();
    float value = 0;
    std::memcpy(&value, &bits, sizeof value);
    return value;
  }
  Beats place() {
    const auto numerator = static_cast<std::int32_t>(number());
    const auto denominator = static_cast<std::int32_t>(number());
    if (denominator <= 0) {
      whole_ = false;
      return {};
    }
    return {numerator, denominator};
  }
  std::size_t count() {
    const std::uint32_t value = number();
    if (value > most) whole_ = false;
    return whole_ ? value : 0;
  }
  [[nodiscard]] bool whole() const { return whole_; }

 private:
  std::span<const std::uint8_t> bytes_;
  std::size_t at_ = 0;
  bool whole_ = true;
};

}  // namespace

std::vector<std::uint8_t> plan_bytes(const SoundPlan& plan) {
  Writer out;
  const Performance& performance = plan.performance;
  out.put(mark);
  out.put(plan.loop ? 1U : 0U);
  out.put(plan.loudness_lufs);
  out.put(performance.length);
  out.put(static_cast<std::uint32_t>(performance.parts.size()));
  for (const Part& part : performance.parts) {
    out.put(static_cast<std::uint32_t>(part.instrument));
    out.put(part.gain_db);
    out.put(part.muted ? 1U : 0U);
  }
  out.put(static_cast<std::uint32_t>(performance.tempo.tempos().size()));
  for (const TempoMap::Tempo& tempo : performance.tempo.tempos()) {
    out.put(tempo.at);
    out.put(static_cast<float>(tempo.quarters_per_minute));
  }
  out.put(static_cast<std::uint32_t>(performance.events.size()));
  for (const NoteEvent& event : performance.events) {
    out.put(event.start);
    out.put(event.length);
    out.put(static_cast<std::uint32_t>(event.midi | event.velocity << 8 | event.part << 16));
  }
  return std::move(out.bytes);
}

std::optional<SoundPlan> read_plan(std::span<const std::uint8_t> bytes) {
  Reader in(bytes);
  if (in.number() != mark) return std::nullopt;
  SoundPlan plan;
  plan.loop = in.number() != 0;
  plan.loudness_lufs = in.real();
  if (plan.loudness_lufs != 0 && !(plan.loudness_lufs >= -40 && plan.loudness_lufs <= -8)) return std::nullopt;
  Performance& performance = plan.performance;
  performance.length = in.place();
  for (std::size_t left = in.count(); left > 0; --left) {
    const std::uint32_t id = in.number();
    if (id >= instruments().size()) return std::nullopt;
    Part part{"", static_cast<InstrumentId>(id), in.real(), false};
    if (!(part.gain_db >= least_gain_db && part.gain_db <= most_gain_db)) return std::nullopt;
    part.muted = in.number() != 0;
    performance.parts.push_back(part);
  }
  bool first = true;
  for (std::size_t left = in.count(); left > 0; --left) {
    const Beats at = in.place();
    const auto quarters = static_cast<double>(in.real());
    if (!(quarters >= 1 && quarters <= 2000)) return std::nullopt;
    if (first) performance.tempo = TempoMap(quarters);
    if (!first) performance.tempo.change(at, quarters);
    first = false;
  }
  for (std::size_t left = in.count(); left > 0 && in.whole(); --left) {
    NoteEvent event;
    event.start = in.place();
    event.length = in.place();
    const std::uint32_t key = in.number();
    event.midi = static_cast<std::uint8_t>(key & 0x7FU);
    event.velocity = static_cast<std::uint8_t>(key >> 8 & 0x7FU);
    event.part = static_cast<std::uint8_t>(key >> 16);
    if (event.part >= performance.parts.size()) return std::nullopt;
    performance.events.push_back(event);
  }
  if (!in.whole() || performance.length <= Beats(0)) return std::nullopt;
  return plan;
}

}  // namespace romanesca
