#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "theory/text/embedded_text.h"

namespace romanesca {

/// A network of layers, each connected with all of the next; a unit gives nothing below 0, except in the last layer
/// (rectified linear units: Nair & Hinton, ICML 2010).
class Perceptron {
 public:
  static constexpr std::size_t most_units = 128;  ///< in a layer

  struct Layer {
    std::size_t inputs = 0, units = 0;
    std::vector<float> weights;  ///< a row of `units` for each input
    std::vector<float> bias;     ///< of each unit
    [[nodiscard]] float& weight(std::size_t input, std::size_t unit) { return weights[input * units + unit]; }
    [[nodiscard]] float weight(std::size_t input, std::size_t unit) const { return weights[input * units + unit]; }
  };

  /// @param sizes the number of inputs, then of the units of each layer, at most most_units; all weights are 0
  explicit Perceptron(std::span<const std::size_t> sizes);
  /// Reads what to_text wrote; lines that begin with # are left out. Weights that are missing are 0.
  static Perceptron from_text(std::string_view text);
  /// A line with the sizes, then for each unit its bias in millionths, a scale in billionths and its weights as bytes
  /// (RFC 4648, base 64).
  [[nodiscard]] std::string to_text() const;

  /// Does not allocate. @param inputs as many as the first layer has @param outputs as many as the last has units
  void compute(std::span<const float> inputs, std::span<float> outputs) const noexcept;

  [[nodiscard]] const std::vector<Layer>& layers() const noexcept { return layers_; }
  [[nodiscard]] std::vector<Layer>& layers() noexcept { return layers_; }

 private:
  std::vector<Layer> layers_;
};

/// The embedded weights of the networks that hear, by file: onset_weights and tone_weights.
[[nodiscard]] std::span<const EmbeddedText> hearing_weight_texts();

/// The network of that name. The name must be one of the embedded ones.
[[nodiscard]] Perceptron hearing_network(std::string_view name);

}  // namespace romanesca
