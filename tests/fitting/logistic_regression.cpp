#include "tests/fitting/logistic_regression.h"

#include <algorithm>
#include <cmath>

namespace romanesca {
namespace {

using Matrix = std::vector<std::vector<double>>;

/// Solves a x = b for a symmetric positive definite a, by Cholesky's method.
std::vector<double> solve(Matrix a, std::vector<double> b) {
  const std::size_t n = b.size();
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t j = 0; j <= i; ++j) {
      double sum = a[i][j];
      for (std::size_t k = 0; k < j; ++k) sum -= a[i][k] * a[j][k];
      a[i][j] = i == j ? std::sqrt(std::max(sum, 1e-12)) : sum / a[j][j];
    }
  }
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t k = 0; k < i; ++k) b[i] -= a[i][k] * b[k];
    b[i] /= a[i][i];
  }
  for (std::size_t i = n; i-- > 0;) {
    for (std::size_t k = i + 1; k < n; ++k) b[i] -= a[k][i] * b[k];
    b[i] /= a[i][i];
  }
  return b;
}

double likelihood(const std::vector<Question>& questions, const std::vector<double>& weights, double shrink) {
  double sum = 0;
  for (const Question& question : questions) {
    sum += question.weight * log_probabilities(question, weights)[static_cast<std::size_t>(question.answer)];
  }
  for (const double weight : weights) sum -= shrink / 2 * weight * weight;
  return sum;
}

std::vector<double> moved(const std::vector<double>& from, const std::vector<double>& step, double share) {
  std::vector<double> to = from;
  for (std::size_t i = 0; i < to.size(); ++i) to[i] += share * step[i];
  return to;
}

}  // namespace

std::array<double, 12> log_probabilities(const Question& question, const std::vector<double>& weights) {
  std::array<double, 12> score{};
  for (std::size_t answer = 0; answer < 12; ++answer) {
    for (std::size_t i = 0; i < weights.size(); ++i) score[answer] += weights[i] * question.signs[answer][i];
  }
  const double highest = *std::max_element(score.begin(), score.end());
  double sum = 0;
  for (const double value : score) sum += std::exp(value - highest);
  for (double& value : score) value -= highest + std::log(sum);
  return score;
}

std::vector<double> fit_weights(const std::vector<Question>& questions, double shrink) {
  const std::size_t n = questions.front().signs.front().size();
  std::vector<double> weights(n, 0.0);
  for (int round = 0; round < 30; ++round) {
    std::vector<double> slope(n);
    Matrix curve(n, std::vector<double>(n));
    for (std::size_t i = 0; i < n; ++i) {
      slope[i] = -shrink * weights[i];
      curve[i][i] = shrink;
    }
    for (const Question& question : questions) {
      const auto log_p = log_probabilities(question, weights);
      std::vector<double> mean(n);
      for (std::size_t a = 0; a < 12; ++a) {
        for (std::size_t i = 0; i < n; ++i) mean[i] += std::exp(log_p[a]) * question.signs[a][i];
      }
      for (std::size_t a = 0; a < 12; ++a) {
        const double p = question.weight * std::exp(log_p[a]);
        if (p < 1e-9) continue;
        for (std::size_t i = 0; i < n; ++i) {
          const double off = question.signs[a][i] - mean[i];
          for (std::size_t j = 0; j <= i; ++j) curve[i][j] += p * off * (question.signs[a][j] - mean[j]);
        }
      }
      const auto& right = question.signs[static_cast<std::size_t>(question.answer)];
      for (std::size_t i = 0; i < n; ++i) slope[i] += question.weight * (right[i] - mean[i]);
    }
    for (std::size_t i = 0; i < n; ++i) {
      for (std::size_t j = 0; j < i; ++j) curve[j][i] = curve[i][j];
    }
    const std::vector<double> step = solve(curve, slope);
    // A whole step may overshoot far from the top: halve it until it climbs.
    const double here = likelihood(questions, weights, shrink);
    double share = 1;
    std::vector<double> there = moved(weights, step, share);
    while (share > 1e-6 && likelihood(questions, there, shrink) < here) there = moved(weights, step, share /= 2);
    const double largest = std::abs(
        *std::max_element(step.begin(), step.end(), [](double a, double b) { return std::abs(a) < std::abs(b); }));
    weights = std::move(there);
    if (largest < 1e-6) break;
  }
  return weights;
}

}  // namespace romanesca
