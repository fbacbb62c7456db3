#include "cli/web/performance_bytes.h"

#include <cmath>

namespace romanesca {
namespace {

class Writer {
 public:
  void number(std::int64_t value) { numbers_.push_back(value); }
  void time(Beats value) {
    number(value.numerator());
    number(value.denominator());
  }
  std::vector<std::int64_t> take() { return std::move(numbers_); }

 private:
  std::vector<std::int64_t> numbers_;
};

/// Reads number after number; past the end or out of range it reads 0 and remembers.
class Reader {
 public:
  explicit Reader(std::span<const std::int64_t> numbers) : numbers_(numbers) {}
  std::int64_t number(std::int64_t lowest, std::int64_t highest) {
    if (next_ >= numbers_.size() || numbers_[next_] < lowest || numbers_[next_] > highest) {
      broken_ = true;
      return lowest;
    }
    return numbers_[next_++];
  }
  Beats time() {
    const std::int64_t numerator = number(0, std::int64_t{1} << 40);
    return {numerator, number(1, 1 << 20)};
  }
  [[nodiscard]] bool broken() const { return broken_; }
  [[nodiscard]] bool at_end() const { return next_ == numbers_.size(); }

 private:
  std::span<const std::int64_t> numbers_;
  std::size_t next_ = 0;
  bool broken_ = false;
};

constexpr double milli = 1e3;
constexpr double micro = 1e6;
constexpr std::int64_t most = 1 << 22;  // parts, tempos, events

}  // namespace

std::vector<std::int64_t> performance_numbers(const Performance& performance) {
  Writer to;
  const auto& tempos = performance.tempo.tempos();
  to.number(static_cast<std::int64_t>(performance.parts.size()));
  to.number(static_cast<std::int64_t>(tempos.size()));
  to.number(static_cast<std::int64_t>(performance.events.size()));
  to.time(performance.length);
  for (const Part& part : performance.parts) {
    to.number(static_cast<std::int64_t>(part.instrument));
    to.number(std::llround(static_cast<double>(part.gain_db) * milli));
    to.number(part.muted ? 1 : 0);
  }
  for (const TempoMap::Tempo& tempo : tempos) {
    to.time(tempo.at);
    to.number(std::llround(tempo.quarters_per_minute * micro));
  }
  for (const NoteEvent& event : performance.events) {
    to.time(event.start);
    to.time(event.length);
    to.number(event.midi);
    to.number(event.velocity);
    to.number(event.part);
  }
  return to.take();
}

std::optional<Performance> read_performance(std::span<const std::int64_t> numbers) {
  Reader from(numbers);
  Performance performance;
  const std::int64_t parts = from.number(0, 255);
  const std::int64_t tempos = from.number(1, most);
  const std::int64_t events = from.number(0, most);
  performance.length = from.time();
  for (std::int64_t i = 0; i < parts && !from.broken(); ++i) {
    Part part;
    part.instrument = static_cast<InstrumentId>(from.number(0, static_cast<std::int64_t>(InstrumentId::click)));
    part.gain_db = static_cast<float>(static_cast<double>(from.number(-60'000, 60'000)) / milli);
    part.muted = from.number(0, 1) == 1;
    performance.parts.push_back(std::move(part));
  }
  for (std::int64_t i = 0; i < tempos && !from.broken(); ++i) {
    const Beats at = from.time();
    const double speed = static_cast<double>(from.number(1'000'000, 2'000'000'000)) / micro;
    if (i == 0) performance.tempo = TempoMap(speed);
    if (i > 0) performance.tempo.change(at, speed);
  }
  for (std::int64_t i = 0; i < events && !from.broken(); ++i) {
    NoteEvent event;
    event.start = from.time();
    event.length = from.time();
    event.midi = static_cast<std::uint8_t>(from.number(0, 127));
    event.velocity = static_cast<std::uint8_t>(from.number(1, 127));
    event.part = static_cast<std::uint8_t>(from.number(0, 255));
    performance.events.push_back(event);
  }
  if (from.broken() || !from.at_end()) return std::nullopt;
  return performance;
}

}  // namespace romanesca
