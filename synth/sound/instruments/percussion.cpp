#include "synth/sound/instruments/percussion.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/noise.h"
#include "synth/sound/sample_block.h"

namespace romanesca {
namespace {

constexpr double choke_s = 0.012;
constexpr double head_s = 0.18;     // of the variants of a stroke's beginning
constexpr float wavering = 0.035f;  // of a stroke's force

struct StrokeMix {
  float soft_gain, hard_gain, fade, fade_step, left, right;
};

ROMANESCA_VECTOR_CLONES
// cppcheck-suppress passedByValue; so that nothing in the loop can change it
void add_stroke(const float* __restrict soft, const float* __restrict hard, const StrokeMix mix, float* __restrict left,
                float* __restrict right) {
  for (int i = 0; i < static_cast<int>(block_frames); ++i) {
    const float rest = mix.fade - mix.fade_step * static_cast<float>(i);
    const float sample = (rest > 0.0f ? rest : 0.0f) * (soft[i] * mix.soft_gain + hard[i] * mix.hard_gain);
    left[i] += sample * mix.left;
    right[i] += sample * mix.right;
  }
}

}  // namespace

Percussion::Percussion(std::span<const DrumPatch> patches, double sample_rate_hz, const KeySet& keys)
    : choke_step_(static_cast<float>(1.0 / (choke_s * sample_rate_hz))) {
  std::map<int, const Drum*> made;
  for (int key = 0; key < 128; ++key) {
    if (!keys[static_cast<std::size_t>(key)]) continue;
    const DrumPatch& patch = nearest_drum_patch(patches, key);
    const Drum*& drum = made[patch.key];
    if (drum == nullptr) {
      drums_.push_back(kept_drum(patch, sample_rate_hz));
      drum = drums_.back().get();
    }
    by_key_[static_cast<std::size_t>(key)] = drum;
  }
}

std::shared_ptr<const Percussion::Drum> Percussion::kept_drum(const DrumPatch& patch, double sample_rate_hz) {
  struct Kept {
    const DrumPatch* patch;
    double sample_rate_hz;
    std::shared_ptr<const Drum> drum;
  };
  constexpr std::size_t most_kept = 16;
  thread_local std::vector<Kept> kept;  // the last one first
  auto found = std::find_if(kept.begin(), kept.end(), [&](const Kept& each) {
    return each.patch == &patch && each.sample_rate_hz == sample_rate_hz;
  });
  if (found == kept.end()) {
    if (kept.size() == most_kept) kept.pop_back();
    kept.push_back({&patch, sample_rate_hz, make_drum(patch, sample_rate_hz)});
    found = std::prev(kept.end());
  }
  std::rotate(kept.begin(), found, std::next(found));
  return kept.front().drum;
}

std::shared_ptr<const Percussion::Drum> Percussion::make_drum(const DrumPatch& patch, double sample_rate_hz) {
  auto drum = std::make_shared<Drum>();
  drum->choke_group = patch.choke_group;
  const Rotation angle = rotation_of((static_cast<double>(patch.pan) + 1) / 8);
  drum->left = static_cast<float>(angle.cosine * 1.41421356237309504880);
  drum->right = static_cast<float>(angle.sine * 1.41421356237309504880);
  drum->whole = synthesise_drum(patch, sample_rate_hz, 0, std::size_t{1} << 24U);
  const std::size_t size = std::min(static_cast<std::size_t>(head_s * sample_rate_hz), drum->whole.soft.size());
  std::uint32_t variant = 0;
  for (DrumSamples& head : drum->heads) {
    // Past its end the whole goes on: what is not the same there, as noise, by equal power.
    head = synthesise_drum(patch, sample_rate_hz, ++variant, size);
    const std::size_t length = head.soft.size();
    const std::size_t fade = length < drum->whole.soft.size() ? length / 4 : 0;
    for (std::size_t i = length - fade; i < length; ++i) {
      const double part = static_cast<double>(i - (length - fade)) / static_cast<double>(fade);
      const Rotation power = rotation_of(part / 4);
      const bool noisy = patch.metal.level > 0;
      const auto in = static_cast<float>(noisy ? power.sine : part);
      const auto out = static_cast<float>(noisy ? power.cosine : 1 - part);
      head.soft[i] = out * head.soft[i] + in * drum->whole.soft[i];
      head.hard[i] = out * head.hard[i] + in * drum->whole.hard[i];
    }
  }
  return drum;
}

Percussion::Stroke& Percussion::free_stroke() noexcept {
  Stroke* longest = &strokes_.front();
  for (Stroke& stroke : strokes_) {
    if (stroke.drum == nullptr) return stroke;
    if (stroke.position > longest->position) longest = &stroke;
  }
  return *longest;  // all taken: the one that has sounded longest
}

void Percussion::note_on(int midi, int velocity, std::uint32_t seed, std::size_t offset) noexcept {
  const Drum* drum = by_key_[static_cast<std::size_t>(std::clamp(midi, 0, 127))];
  if (drum == nullptr) return;
  for (Stroke& stroke : strokes_) {
    if (stroke.drum != nullptr && drum->choke_group != 0 && stroke.drum->choke_group == drum->choke_group)
      stroke.fade_step = choke_step_;
  }
  const float force = static_cast<float>(std::clamp(velocity, 1, 127)) / 127.0f;
  const float level = force * std::sqrt(force);
  Noise chance(mixed_seed(seed));
  const float wavered = force * (1 + wavering * chance.next());
  const float hardness = std::clamp((wavered - soft_drum_force) / (1 - soft_drum_force), 0.0f, 1.0f);
  const auto variant = static_cast<std::size_t>((chance.next() + 1) * 1.5f);
  const DrumSamples* head = variant >= 1 && variant <= drum->heads.size() ? &drum->heads[variant - 1] : nullptr;
  free_stroke() = {drum, 0, offset, level * (1 - hardness), level * hardness, 1, 0, head};
}

void Percussion::note_off(int /*midi*/) noexcept {}

void Percussion::add_to(float* left, float* right) noexcept {
  for (Stroke& stroke : strokes_) {
    if (stroke.drum == nullptr) continue;
    const Drum& drum = *stroke.drum;
    if (stroke.head != nullptr && stroke.position >= stroke.head->soft.size()) stroke.head = nullptr;
    const DrumSamples& samples = stroke.head != nullptr ? *stroke.head : drum.whole;
    add_stroke(samples.soft.data() + stroke.position, samples.hard.data() + stroke.position,
               {stroke.soft_gain, stroke.hard_gain, stroke.fade, stroke.fade_step, drum.left, drum.right},
               left + stroke.offset, right + stroke.offset);
    stroke.position += block_frames;
    stroke.fade -= stroke.fade_step * static_cast<float>(block_frames);
    if (stroke.position >= drum.whole.soft.size() || stroke.fade <= 0) stroke.drum = nullptr;
  }
}

bool Percussion::silent() const noexcept {
  return std::all_of(strokes_.begin(), strokes_.end(), [](const Stroke& stroke) { return stroke.drum == nullptr; });
}

}  // namespace romanesca
