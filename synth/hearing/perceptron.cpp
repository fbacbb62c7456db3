#include "synth/hearing/perceptron.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

namespace romanesca {
namespace {

constexpr std::string_view base64_digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
constexpr float largest_byte = 127;
constexpr double bias_steps = 1e6, scale_steps = 1e9;  // of 1 in the text

std::string in_base64(const std::vector<std::uint8_t>& bytes) {
  std::string text;
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    std::uint32_t three = 0;
    for (std::size_t k = 0; k < 3; ++k)
      three = three << 8U | (i + k < bytes.size() ? bytes[i + k] : static_cast<std::uint8_t>(0));
    for (std::size_t k = 0; k < 4; ++k)
      text += i + k <= bytes.size() ? base64_digits[three >> (18 - 6 * k) & 63U] : '=';
  }
  return text;
}

std::vector<std::uint8_t> from_base64(std::string_view text) {
  std::vector<std::uint8_t> bytes;
  std::uint32_t bits = 0;
  std::size_t have = 0;
  for (const char digit : text) {
    const std::size_t value = base64_digits.find(digit);
    if (value == std::string_view::npos) break;
    bits = bits << 6U | static_cast<std::uint32_t>(value);
    have += 6;
    if (have < 8) continue;
    have -= 8;
    bytes.push_back(static_cast<std::uint8_t>(bits >> have));
  }
  return bytes;
}

/// A whole number at the beginning of a line, which is taken off with the blank behind it.
std::int64_t next_number(std::string_view& line) {
  const bool negative = line.starts_with('-');
  std::int64_t value = 0;
  std::size_t at = negative ? 1 : 0;
  for (; at < line.size() && line[at] >= '0' && line[at] <= '9'; ++at) value = 10 * value + (line[at] - '0');
  line.remove_prefix(std::min(at + 1, line.size()));
  return negative ? -value : value;
}

std::string_view next_line(std::string_view& text) {
  const std::size_t end = std::min(text.find('\n'), text.size());
  const std::string_view line = text.substr(0, end);
  text.remove_prefix(std::min(end + 1, text.size()));
  return line;
}

}  // namespace

Perceptron::Perceptron(std::span<const std::size_t> sizes) {
  for (std::size_t i = 0; i + 1 < sizes.size(); ++i) {
    const std::size_t units = std::min(sizes[i + 1], most_units);
    layers_.push_back({sizes[i], units, std::vector<float>(sizes[i] * units), std::vector<float>(units)});
  }
}

Perceptron Perceptron::from_text(std::string_view text) {
  while (text.starts_with('#')) next_line(text);
  std::string_view first = next_line(text);
  std::vector<std::size_t> sizes;
  while (!first.empty()) sizes.push_back(static_cast<std::size_t>(next_number(first)));
  Perceptron network(sizes);
  for (Layer& layer : network.layers_) {
    for (std::size_t unit = 0; unit < layer.units; ++unit) {
      std::string_view line = next_line(text);
      layer.bias[unit] = static_cast<float>(static_cast<double>(next_number(line)) / bias_steps);
      const auto scale = static_cast<float>(static_cast<double>(next_number(line)) / scale_steps);
      const std::vector<std::uint8_t> bytes = from_base64(line);
      for (std::size_t i = 0; i < std::min(bytes.size(), layer.inputs); ++i)
        layer.weight(i, unit) = scale * static_cast<float>(static_cast<std::int8_t>(bytes[i]));
    }
  }
  return network;
}

std::string Perceptron::to_text() const {
  std::string text = std::to_string(layers_.front().inputs);
  for (const Layer& layer : layers_) text.append(" ").append(std::to_string(layer.units));
  text += '\n';
  for (const Layer& layer : layers_) {
    for (std::size_t unit = 0; unit < layer.units; ++unit) {
      float largest = 1e-9f;
      for (std::size_t i = 0; i < layer.inputs; ++i) largest = std::max(largest, std::abs(layer.weight(i, unit)));
      const auto scale =
          std::max<long long>(1, std::llround(static_cast<double>(largest / largest_byte) * scale_steps));
      const auto step = static_cast<float>(static_cast<double>(scale) / scale_steps);
      std::vector<std::uint8_t> bytes;
      for (std::size_t i = 0; i < layer.inputs; ++i) {
        const float steps = std::clamp(std::round(layer.weight(i, unit) / step), -largest_byte, largest_byte);
        bytes.push_back(static_cast<std::uint8_t>(static_cast<std::int8_t>(steps)));
      }
      text.append(std::to_string(std::llround(static_cast<double>(layer.bias[unit]) * bias_steps))).append(" ");
      text.append(std::to_string(scale)).append(" ").append(in_base64(bytes)).append("\n");
    }
  }
  return text;
}

void Perceptron::compute(std::span<const float> inputs, std::span<float> outputs) const noexcept {
  std::array<float, most_units> from{};
  std::array<float, most_units> into{};
  for (const Layer& layer : layers_) {
    std::copy(layer.bias.begin(), layer.bias.end(), into.begin());
    for (std::size_t i = 0; i < layer.inputs; ++i) {
      const float input = inputs[i];
      if (input == 0) continue;
      const float* const row = layer.weights.data() + i * layer.units;
      for (std::size_t unit = 0; unit < layer.units; ++unit) into[unit] += input * row[unit];
    }
    if (&layer == &layers_.back()) break;
    for (std::size_t unit = 0; unit < layer.units; ++unit) from[unit] = std::max(into[unit], 0.0f);
    inputs = {from.data(), layer.units};
  }
  std::copy(into.begin(), into.begin() + static_cast<std::ptrdiff_t>(layers_.back().units), outputs.begin());
}

Perceptron hearing_network(std::string_view name) {
  const auto texts = hearing_weight_texts();
  const auto found =
      std::find_if(texts.begin(), texts.end(), [&](const EmbeddedText& text) { return text.name == name; });
  return Perceptron::from_text(found->text);
}

}  // namespace romanesca
