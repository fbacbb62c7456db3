#pragma once

#include <array>
#include <vector>

namespace romanesca {

/// One question with twelve possible answers: the signs of each, which one is right, and how much it counts.
struct Question {
  std::array<std::vector<double>, 12> signs;
  int answer = 0;
  double weight = 1;
};

/// Weights w that make the answers likeliest under P(a) = exp(w . signs[a]) / sum: conditional logistic regression by
/// Newton's method (Hosmer & Lemeshow, Applied Logistic Regression; from memory).
/// @param shrink strength of the penalty shrink / 2 * |w|^2, more than 0.
[[nodiscard]] std::vector<double> fit_weights(const std::vector<Question>& questions, double shrink);

/// log P of the twelve answers.
[[nodiscard]] std::array<double, 12> log_probabilities(const Question& question, const std::vector<double>& weights);

}  // namespace romanesca
