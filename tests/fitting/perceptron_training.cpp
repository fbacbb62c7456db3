#include "tests/fitting/perceptron_training.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <numeric>
#include <thread>
#include <vector>

#include "tests/measure/note_bank.h"

namespace romanesca::test {
namespace {

constexpr std::size_t workers = 2;
constexpr std::size_t tile_rows = 4, tile_units = 16;

using Layers = std::vector<Perceptron::Layer>;

/// Adds a tile of the product of block rows and a matrix; its sums stay in registers. @param count of the units
template <std::size_t count>
void add_tile(const float* rows, const Perceptron::Layer& layer, std::size_t first, float* out) {
  std::array<std::array<float, count>, tile_rows> sums{};
  const float* weights = layer.weights.data() + first;
  for (std::size_t i = 0; i < layer.inputs; ++i, weights += layer.units) {
    for (std::size_t k = 0; k < tile_rows; ++k) {
      const float value = rows[k * layer.inputs + i];
      for (std::size_t u = 0; u < count; ++u) sums[k][u] += value * weights[u];
    }
  }
  for (std::size_t k = 0; k < tile_rows; ++k) {
    for (std::size_t u = 0; u < count; ++u) out[k * layer.units + first + u] += sums[k][u];
  }
}

/// Adds block rows times a matrix.
void add_product(const float* rows, std::size_t block, const Perceptron::Layer& layer, float* out) {
  for (std::size_t k = 0; k < block; k += tile_rows) {
    std::size_t unit = 0;
    for (; unit + tile_units <= layer.units; unit += tile_units)
      add_tile<tile_units>(rows + k * layer.inputs, layer, unit, out + k * layer.units);
    for (; unit < layer.units; ++unit) add_tile<1>(rows + k * layer.inputs, layer, unit, out + k * layer.units);
  }
}

/// Adds what block rows and the slopes of their units give to the slopes of the weights.
template <std::size_t count>
void add_slope_tile(const float* rows, std::size_t block, const float* slopes, Perceptron::Layer& gradient,
                    std::size_t first) {
  for (std::size_t i = 0; i < gradient.inputs; ++i) {
    std::array<float, count> sums{};
    for (std::size_t k = 0; k < block; ++k) {
      const float value = rows[k * gradient.inputs + i];
      for (std::size_t u = 0; u < count; ++u) sums[u] += value * slopes[k * gradient.units + first + u];
    }
    for (std::size_t u = 0; u < count; ++u) gradient.weights[i * gradient.units + first + u] += sums[u];
  }
}

void add_slopes(const float* rows, std::size_t block, const float* slopes, Perceptron::Layer& gradient) {
  std::size_t unit = 0;
  for (; unit + 2 * tile_units <= gradient.units; unit += 2 * tile_units)
    add_slope_tile<2 * tile_units>(rows, block, slopes, gradient, unit);
  for (; unit < gradient.units; ++unit) add_slope_tile<1>(rows, block, slopes, gradient, unit);
}

/// One of the threads: its own gradient, scratch and chance.
class Worker {
 public:
  Worker(const Layers& layers, const TrainingRow& row, const TrainingSettings& settings, const TrainingCost& answers)
      : layers_(layers), row_(row), cost_(answers), settings_(settings), gradient(layers) {
    const std::size_t block = settings.block;
    values_.emplace_back(block * layers.front().inputs);
    slopes_.emplace_back();
    for (const Perceptron::Layer& layer : layers) {
      values_.emplace_back(block * layer.units);
      slopes_.emplace_back(block * layer.units);
    }
    keep_.resize(block * layers.front().units);
  }

  void run(std::span<const std::size_t> rows, std::uint64_t seed) {
    SceneRandom random(seed);
    for (Perceptron::Layer& layer : gradient) {
      std::fill(layer.weights.begin(), layer.weights.end(), 0.0f);
      std::fill(layer.bias.begin(), layer.bias.end(), 0.0f);
    }
    cost = {};
    const std::size_t block = settings_.block;
    std::vector<float> wanted(block);
    for (std::size_t begin = 0; begin < rows.size(); begin += block) {
      const std::size_t width = layers_.front().inputs;
      std::fill(values_[0].begin(), values_[0].end(), 0.0f);
      for (std::size_t k = 0; k < block; ++k) {
        if (begin + k >= rows.size()) break;
        const std::span<float> inputs(values_[0].data() + k * width, width);
        wanted[k] = row_(rows[begin + k], inputs);
        // The sum of eight uniform bytes is near enough to a normal distribution, and quick.
        const auto size = static_cast<float>(settings_.noise / 209.0);
        for (float& value : inputs) {
          std::uint64_t bits = random.bits();
          int sum = 0;
          for (int byte = 0; byte < 8; ++byte, bits >>= 8U) sum += static_cast<int>(bits & 255U);
          value += size * static_cast<float>(sum - 1020);
        }
      }
      forward(random);
      const std::size_t shown = std::min(block, rows.size() - begin);
      std::fill(slopes_.back().begin(), slopes_.back().end(), 0.0f);
      const std::size_t units = layers_.back().units;
      const AnswerCost answered = cost_(rows.subspan(begin, shown), std::span(wanted).first(shown),
                                        std::span<const float>(values_.back()).first(shown * units),
                                        std::span(slopes_.back()).first(shown * units));
      cost.loss += answered.loss;
      cost.counted += answered.counted;
      backward();
    }
  }

  AnswerCost cost;

 private:
  void forward(SceneRandom& random) {
    for (std::size_t l = 0; l < layers_.size(); ++l) {
      std::vector<float>& out = values_[l + 1];
      for (std::size_t k = 0; k < settings_.block; ++k)
        std::copy(layers_[l].bias.begin(), layers_[l].bias.end(),
                  out.begin() + static_cast<std::ptrdiff_t>(k * layers_[l].units));
      add_product(values_[l].data(), settings_.block, layers_[l], out.data());
      if (l + 1 == layers_.size()) break;
      for (float& value : out) value = std::max(value, 0.0f);
      if (l != 0) continue;
      const auto scale = static_cast<float>(1 / (1 - settings_.dropped));
      for (std::size_t i = 0; i < keep_.size(); ++i) {
        keep_[i] = random.chance(settings_.dropped) ? 0 : scale;
        out[i] *= keep_[i];
      }
    }
  }

  void backward() {
    const std::size_t block = settings_.block;
    for (std::size_t l = layers_.size(); l-- > 0;) {
      const Perceptron::Layer& layer = layers_[l];
      const std::vector<float>& slopes = slopes_[l + 1];
      for (std::size_t k = 0; k < block; ++k) {
        for (std::size_t u = 0; u < layer.units; ++u) gradient[l].bias[u] += slopes[k * layer.units + u];
      }
      add_slopes(values_[l].data(), block, slopes.data(), gradient[l]);
      if (l == 0) break;
      std::vector<float>& below = slopes_[l];
      for (std::size_t k = 0; k < block; ++k) {
        for (std::size_t i = 0; i < layer.inputs; ++i) {
          float sum = 0;
          for (std::size_t u = 0; u < layer.units; ++u)
            sum += slopes[k * layer.units + u] * layer.weights[i * layer.units + u];
          const std::size_t at = k * layer.inputs + i;
          below[at] = values_[l][at] > 0 ? sum * (l == 1 ? keep_[at] : 1) : 0;
        }
      }
    }
  }

  const Layers& layers_;
  const TrainingRow& row_;
  const TrainingCost& cost_;
  const TrainingSettings& settings_;
  std::vector<std::vector<float>> values_, slopes_;  // of each layer; the first values are the inputs
  std::vector<float> keep_;

 public:
  Layers gradient;
};

/// Of one layer: what Adam remembers.
struct Moments {
  std::vector<float> mean, square;
};

void step(std::vector<float>& values, const std::vector<float>& slopes, Moments& moments, int count, double size,
          double decay) {
  moments.mean.resize(values.size());
  moments.square.resize(values.size());
  const auto first = static_cast<float>(1 - std::pow(0.9, count));
  const auto second = static_cast<float>(1 - std::pow(0.999, count));
  for (std::size_t i = 0; i < values.size(); ++i) {
    moments.mean[i] = 0.9f * moments.mean[i] + 0.1f * slopes[i];
    moments.square[i] = 0.999f * moments.square[i] + 0.001f * slopes[i] * slopes[i];
    values[i] -= static_cast<float>(size) * (moments.mean[i] / first / (std::sqrt(moments.square[i] / second) + 1e-8f) +
                                             static_cast<float>(decay) * values[i]);
  }
}

}  // namespace

AnswerCost cost_of_probabilities(std::span<const std::size_t> rows, std::span<const float> wanted,
                                 std::span<const float> outputs, std::span<float> slopes) {
  AnswerCost cost;
  for (std::size_t k = 0; k < rows.size(); ++k) {
    if (wanted[k] < 0) continue;
    const float output = outputs[k];
    slopes[k] = 1 / (1 + std::exp(-output)) - wanted[k];
    cost.loss += std::log1p(std::exp(-std::abs(static_cast<double>(output)))) +
                 (((output > 0) == (wanted[k] > 0.5f)) ? 0.0 : std::abs(static_cast<double>(output)));
    ++cost.counted;
  }
  return cost;
}

void train(Perceptron& network, std::size_t rows, const TrainingRow& row, const TrainingSettings& settings,
           const std::function<void(const std::string&)>& report, const TrainingCost& cost) {
  Layers& layers = network.layers();
  SceneRandom random(settings.seed);
  for (Perceptron::Layer& layer : layers) {  // He et al., ICCV 2015
    const double deviation = std::sqrt((layer.units == 1 ? 0.2 : 2.0) / static_cast<double>(layer.inputs));
    for (float& weight : layer.weights) weight = static_cast<float>(deviation * random.normal());
  }
  std::vector<Moments> weight_moments(layers.size()), bias_moments(layers.size());
  std::vector<Worker> worker_of;
  for (std::size_t i = 0; i < workers; ++i) worker_of.emplace_back(layers, row, settings, cost);
  std::vector<std::size_t> groups(rows / settings.group);
  std::iota(groups.begin(), groups.end(), std::size_t{0});
  const std::size_t batch_groups = settings.batch / settings.group;
  const std::size_t batches = groups.size() / batch_groups;
  const double steps = static_cast<double>(batches) * settings.epochs;
  int count = 0;
  for (int epoch = 0; epoch < settings.epochs; ++epoch) {
    for (std::size_t i = groups.size(); i > 1; --i) std::swap(groups[i - 1], groups[random.bits() % i]);
    double loss = 0;
    double counted = 0;
    for (std::size_t batch = 0; batch < batches; ++batch) {
      std::array<std::vector<std::size_t>, workers> shares;
      for (std::size_t g = 0; g < batch_groups; ++g) {
        const std::size_t first = groups[batch * batch_groups + g] * settings.group;
        for (std::size_t k = 0; k < settings.group; ++k) shares[g % workers].push_back(first + k);
      }
      std::array<std::uint64_t, workers> seeds{};
      for (auto& seed : seeds) seed = random.bits();
      {
        std::vector<std::thread> threads;
        for (std::size_t w = 1; w < workers; ++w)
          threads.emplace_back([&, w] { worker_of[w].run(shares[w], seeds[w]); });
        worker_of[0].run(shares[0], seeds[0]);
        for (std::thread& thread : threads) thread.join();
      }
      ++count;
      const double size = settings.largest_step * std::min(1.0, count / 100.0) *
                          (0.5 * (1 + std::cos(std::numbers::pi * count / steps)) + 0.005);
      double batch_counted = 0;
      for (const Worker& worker : worker_of) {
        loss += worker.cost.loss;
        batch_counted += worker.cost.counted;
      }
      counted += batch_counted;
      const auto share = static_cast<float>(1 / std::max(1.0, batch_counted));
      for (std::size_t l = 0; l < layers.size(); ++l) {
        Perceptron::Layer& sum = worker_of[0].gradient[l];
        for (std::size_t w = 1; w < workers; ++w) {
          for (std::size_t i = 0; i < sum.weights.size(); ++i) sum.weights[i] += worker_of[w].gradient[l].weights[i];
          for (std::size_t i = 0; i < sum.bias.size(); ++i) sum.bias[i] += worker_of[w].gradient[l].bias[i];
        }
        for (float& slope : sum.weights) slope *= share;
        for (float& slope : sum.bias) slope *= share;
        step(layers[l].weights, sum.weights, weight_moments[l], count, size, settings.weight_decay);
        step(layers[l].bias, sum.bias, bias_moments[l], count, size, 0);
      }
    }
    report(fmt::format("epoch {}: loss {:.4f}", epoch + 1, loss / std::max(1.0, counted)));
  }
}

}  // namespace romanesca::test
