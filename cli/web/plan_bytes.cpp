#include "cli/web/plan_bytes.h"

#include <cstring>

namespace romanesca {
namespace {

constexpr std::uint32_t magic = 0x616d6f72;           // "roma"
constexpr std::size_t max_count = 1U << 20U;          // of events, parts, tempos
constexpr float min_gain_db = -60, max_gain_db = 12;  // of a part, see Part

class PlanWriter {
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
  void put(Beats beats) {
    put(static_cast<std::uint32_t>(beats.numerator()));
    put(static_cast<std::uint32_t>(beats.denominator()));
  }
};

class PlanReader {
 public:
  explicit PlanReader(std::span<const std::uint8_t> bytes) : bytes_(bytes) {}
  std::uint32_t read_uint() {
    if (position_ + 4 > bytes_.size()) {
      valid_ = false;
      return 0;
    }
    std::uint32_t value = 0;
    for (unsigned i = 0; i < 4; ++i) value |= static_cast<std::uint32_t>(bytes_[position_ + i]) << (8 * i);
    position_ += 4;
    return value;
  }
  float read_float() {
    const std::uint32_t bits = read_uint();
    float value = 0;
    std::memcpy(&value, &bits, sizeof value);
    return value;
  }
  Beats read_beats() {
    const auto numerator = static_cast<std::int32_t>(read_uint());
    const auto denominator = static_cast<std::int32_t>(read_uint());
    if (denominator <= 0) {
      valid_ = false;
      return {};
    }
    return {numerator, denominator};
  }
  std::size_t read_count() {
    const std::uint32_t value = read_uint();
    if (value > max_count) valid_ = false;
    return valid_ ? value : 0;
  }
  [[nodiscard]] bool valid() const { return valid_; }

 private:
  std::span<const std::uint8_t> bytes_;
  std::size_t position_ = 0;
  bool valid_ = true;
};

}  // namespace

std::vector<std::uint8_t> plan_bytes(const SoundPlan& plan) {
  PlanWriter out;
  const Performance& performance = plan.performance;
  out.put(magic);
  out.put(plan.loop ? 1U : 0U);
  out.put(plan.loudness_lufs);
  out.put(performance.length);
  out.put(plan.from);
  out.put(static_cast<std::uint32_t>(performance.parts.size()));
  for (const Part& part : performance.parts) {
    out.put(static_cast<std::uint32_t>(part.instrument));
    out.put(part.gain_db);
    out.put(part.muted ? 1U : 0U);
  }
  out.put(static_cast<std::uint32_t>(plan.keys.size()));
  for (const KeySet& keys : plan.keys) {
    for (std::size_t word = 0; word < 4; ++word) {
      std::uint32_t bits = 0;
      for (std::size_t bit = 0; bit < 32; ++bit) bits |= keys[32 * word + bit] ? 1U << bit : 0U;
      out.put(bits);
    }
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
  PlanReader in(bytes);
  if (in.read_uint() != magic) return std::nullopt;
  SoundPlan plan;
  plan.loop = in.read_uint() != 0;
  plan.loudness_lufs = in.read_float();
  if (plan.loudness_lufs != 0 && !(plan.loudness_lufs >= -40 && plan.loudness_lufs <= -8)) return std::nullopt;
  Performance& performance = plan.performance;
  performance.length = in.read_beats();
  plan.from = in.read_beats();
  for (std::size_t remaining = in.read_count(); remaining > 0; --remaining) {
    const std::uint32_t id = in.read_uint();
    if (id >= instruments().size()) return std::nullopt;
    Part part{"", static_cast<InstrumentId>(id), in.read_float(), false};
    if (!(part.gain_db >= min_gain_db && part.gain_db <= max_gain_db)) return std::nullopt;
    part.muted = in.read_uint() != 0;
    performance.parts.push_back(part);
  }
  for (std::size_t remaining = in.read_count(); remaining > 0 && in.valid(); --remaining) {
    KeySet keys;
    for (std::size_t word = 0; word < 4; ++word) {
      const std::uint32_t bits = in.read_uint();
      for (std::size_t bit = 0; bit < 32; ++bit) keys[32 * word + bit] = (bits >> bit & 1U) != 0;
    }
    plan.keys.push_back(keys);
  }
  bool first = true;
  for (std::size_t remaining = in.read_count(); remaining > 0; --remaining) {
    const Beats at = in.read_beats();
    const auto quarters = static_cast<double>(in.read_float());
    if (!(quarters >= 1 && quarters <= 2000)) return std::nullopt;
    if (first) performance.tempo = TempoMap(quarters);
    if (!first) performance.tempo.change(at, quarters);
    first = false;
  }
  for (std::size_t remaining = in.read_count(); remaining > 0 && in.valid(); --remaining) {
    NoteEvent event;
    event.start = in.read_beats();
    event.length = in.read_beats();
    const std::uint32_t packed = in.read_uint();
    event.midi = static_cast<std::uint8_t>(packed & 0x7FU);
    event.velocity = static_cast<std::uint8_t>(packed >> 8 & 0x7FU);
    event.part = static_cast<std::uint8_t>(packed >> 16);
    if (event.part >= performance.parts.size()) return std::nullopt;
    performance.events.push_back(event);
  }
  if (!in.valid() || performance.length <= Beats(0)) return std::nullopt;
  return plan;
}

}  // namespace romanesca
