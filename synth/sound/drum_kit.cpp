#include "synth/sound/drum_kit.h"

#include <algorithm>
#include <cmath>

#include "synth/sound/drum_sounds.h"

namespace romanesca {

DrumKit::DrumKit(double sample_rate_hz) : choke_step_(static_cast<float>(1.0 / (0.006 * sample_rate_hz))) {
  for (const DrumRecipe& recipe : drum_recipes()) {
    drums_.push_back({recipe.key, recipe.choke_group, drum_sound(recipe, 0.2f, sample_rate_hz),
                      drum_sound(recipe, 1.0f, sample_rate_hz)});
  }
}

void DrumKit::note_on(int midi, int velocity, std::uint32_t /*seed*/) noexcept {
  const int key = drum_recipe(midi).key;
  const auto drum = std::find_if(drums_.begin(), drums_.end(), [&](const Drum& each) { return each.key == key; });
  if (drum == drums_.end()) return;
  Stroke* place = &strokes_.front();
  for (Stroke& stroke : strokes_) {
    const bool choked =
        stroke.drum != nullptr && drum->choke_group != 0 && stroke.drum->choke_group == drum->choke_group;
    if (choked) stroke.fade_step = choke_step_;
    // A free place, else the stroke that has sounded longest.
    if (place->drum != nullptr && (stroke.drum == nullptr || stroke.position > place->position)) place = &stroke;
  }
  const float force = static_cast<float>(std::clamp(velocity, 1, 127)) / 127.0f;
  const float level = std::pow(force, 1.5f);
  *place = {&*drum, 0, level * (1 - force), level * force, 1, 0};
}

void DrumKit::note_off(int /*midi*/) noexcept {}

void DrumKit::add_to(float* out, std::size_t frames) noexcept {
  for (Stroke& stroke : strokes_) {
    if (stroke.drum == nullptr) continue;
    const std::size_t count = std::min(frames, stroke.drum->soft.size() - stroke.position);
    const float* soft = stroke.drum->soft.data() + stroke.position;
    const float* hard = stroke.drum->hard.data() + stroke.position;
    const float fade = stroke.fade;
    for (std::size_t i = 0; i < count; ++i) {
      const float left = std::max(0.0f, fade - stroke.fade_step * static_cast<float>(static_cast<int>(i)));
      out[i] += left * (soft[i] * stroke.soft_gain + hard[i] * stroke.hard_gain);
    }
    stroke.position += count;
    stroke.fade = fade - stroke.fade_step * static_cast<float>(count);
    if (stroke.position >= stroke.drum->soft.size() || stroke.fade <= 0) stroke.drum = nullptr;
  }
}

bool DrumKit::silent() const noexcept {
  return std::all_of(strokes_.begin(), strokes_.end(), [](const Stroke& stroke) { return stroke.drum == nullptr; });
}

}  // namespace romanesca
