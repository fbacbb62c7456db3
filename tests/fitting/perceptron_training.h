#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <span>
#include <string>

#include "synth/hearing/perceptron.h"

namespace romanesca::test {

/// How a network is fitted: Adam (Kingma & Ba, ICLR 2015) with a step that falls as a cosine, dropout in the first
/// layer (Srivastava et al., JMLR 15, 2014) and noise on what it sees.
struct TrainingSettings {
  int epochs = 12;
  std::size_t batch = 3072;  ///< rows
  double largest_step = 2e-3;
  double weight_decay = 1e-4;  ///< a step, as a share of the step's size
  double dropped = 0.1;        ///< share of the first layer's units
  double noise = 0.1;          ///< deviation
  std::uint64_t seed = 1;
  std::size_t group = 1;  ///< rows that follow one another and are shown together
  std::size_t block =
      16;  ///< rows that are multiplied together: a multiple of 4, and of the group where rows cost together
};

/// Fills what the network sees of a row. @return what it should answer: 1 or 0, or less than 0 where it does not count
using TrainingRow = std::function<float(std::size_t row, std::span<float> inputs)>;

/// What a network's answers cost.
struct AnswerCost {
  double loss = 0, counted = 0;
};
/// What the answers to rows cost that are shown together. @param wanted what TrainingRow gave for each
/// @param outputs a row of units for each @param slopes how the cost grows with each output, to be filled; 0 before
using TrainingCost = std::function<AnswerCost(std::span<const std::size_t> rows, std::span<const float> wanted,
                                              std::span<const float> outputs, std::span<float> slopes)>;

/// Of a network with one output, as a probability: cross-entropy of the rows whose answer counts.
AnswerCost cost_of_probabilities(std::span<const std::size_t> rows, std::span<const float> wanted,
                                 std::span<const float> outputs, std::span<float> slopes);

/// Fits a network to rows. Two threads; the same rows and settings give the same
/// weights on the same kind of processor.
/// @param report is called after each epoch with a sentence
void train(Perceptron& network, std::size_t rows, const TrainingRow& row, const TrainingSettings& settings,
           const std::function<void(const std::string&)>& report, const TrainingCost& cost = cost_of_probabilities);

}  // namespace romanesca::test
