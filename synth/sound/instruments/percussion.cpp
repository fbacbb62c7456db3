#include "synth/sound/instruments/percussion.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "synth/sound/deterministic_math.h"
#include "synth/sound/sample_block.h"

namespace romanesca {
namespace {

constexpr double choke_s = 0.012;
constexpr float soft_force = 0.25f;

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
      auto sound = std::make_unique<Drum>();
      sound->choke_group = patch.choke_group;
      const Rotation angle = rotation_of((static_cast<double>(patch.pan) + 1) / 8);
      sound->left = static_cast<float>(angle.cosine * 1.41421356237309504880);
      sound->right = static_cast<float>(angle.sine * 1.41421356237309504880);
      sound->soft = synthesise_drum(patch, soft_force, sample_rate_hz);
      sound->hard = synthesise_drum(patch, 1.0f, sample_rate_hz);
      const std::size_t whole = (sound->soft.size() + block_frames - 1) / block_frames * block_frames;
      sound->soft.resize(whole, 0.0f);
      sound->hard.resize(whole, 0.0f);
      drum = sound.get();
      drums_.push_back(std::move(sound));
    }
    by_key_[static_cast<std::size_t>(key)] = drum;
  }
}

Percussion::Stroke& Percussion::free_stroke() noexcept {
  Stroke* longest = &strokes_.front();
  for (Stroke& stroke : strokes_) {
    if (stroke.drum == nullptr) return stroke;
    if (stroke.position > longest->position) longest = &stroke;
  }
  return *longest;  // all taken: the one that has sounded longest
}

void Percussion::note_on(int midi, int velocity, std::uint32_t /*seed*/, std::size_t offset) noexcept {
  const Drum* drum = by_key_[static_cast<std::size_t>(std::clamp(midi, 0, 127))];
  if (drum == nullptr) return;
  for (Stroke& stroke : strokes_) {
    if (stroke.drum != nullptr && drum->choke_group != 0 && stroke.drum->choke_group == drum->choke_group)
      stroke.fade_step = choke_step_;
  }
  const float force = static_cast<float>(std::clamp(velocity, 1, 127)) / 127.0f;
  const float level = force * std::sqrt(force);
  const float hardness = std::max(0.0f, (force - soft_force) / (1 - soft_force));
  free_stroke() = {drum, 0, offset, level * (1 - hardness), level * hardness, 1, 0};
}

void Percussion::note_off(int /*midi*/) noexcept {}

void Percussion::add_to(float* left, float* right) noexcept {
  for (Stroke& stroke : strokes_) {
    if (stroke.drum == nullptr) continue;
    const Drum& drum = *stroke.drum;
    add_stroke(drum.soft.data() + stroke.position, drum.hard.data() + stroke.position,
               {stroke.soft_gain, stroke.hard_gain, stroke.fade, stroke.fade_step, drum.left, drum.right},
               left + stroke.offset, right + stroke.offset);
    stroke.position += block_frames;
    stroke.fade -= stroke.fade_step * static_cast<float>(block_frames);
    if (stroke.position >= drum.soft.size() || stroke.fade <= 0) stroke.drum = nullptr;
  }
}

bool Percussion::silent() const noexcept {
  return std::all_of(strokes_.begin(), strokes_.end(), [](const Stroke& stroke) { return stroke.drum == nullptr; });
}

}  // namespace romanesca
