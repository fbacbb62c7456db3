#pragma once

#include <string>
#include <vector>

#include "cli/analysis_json.h"

namespace romanesca {

/// What the page's script asks: a JSON object. A member that is missing or of another type reads as the value given.
class PageRequest {
 public:
  explicit PageRequest(OrderedJson json) : json_(std::move(json)) {}

  [[nodiscard]] std::string text(const char* name) const {
    const auto found = json_.find(name);
    return found != json_.end() && found->is_string() ? found->get<std::string>() : "";
  }
  [[nodiscard]] double number(const char* name, double otherwise) const {
    const auto found = json_.find(name);
    return found != json_.end() && found->is_number() ? found->get<double>() : otherwise;
  }
  /// Cut to the range.
  [[nodiscard]] int whole(const char* name, int otherwise, int lowest, int highest) const {
    const double value = number(name, otherwise);
    return value <= lowest ? lowest : value >= highest ? highest : static_cast<int>(value);
  }
  [[nodiscard]] bool yes(const char* name) const {
    const auto found = json_.find(name);
    return found != json_.end() && found->is_boolean() && found->get<bool>();
  }
  [[nodiscard]] std::vector<std::string> texts(const char* name) const {
    std::vector<std::string> result;
    const auto found = json_.find(name);
    if (found == json_.end() || !found->is_array()) return result;
    for (const OrderedJson& each : *found) {
      if (each.is_string()) result.push_back(each.get<std::string>());
    }
    return result;
  }
  [[nodiscard]] std::vector<int> numbers(const char* name) const {
    std::vector<int> result;
    const auto found = json_.find(name);
    if (found == json_.end() || !found->is_array()) return result;
    for (const OrderedJson& each : *found) {
      if (each.is_number_integer()) result.push_back(each.get<int>());
    }
    return result;
  }
  /// A member that is an object; empty where it is none.
  [[nodiscard]] PageRequest part(const char* name) const {
    const auto found = json_.find(name);
    return PageRequest(found != json_.end() && found->is_object() ? *found : OrderedJson::object());
  }
  [[nodiscard]] const OrderedJson& json() const { return json_; }
  [[nodiscard]] bool has(const char* name) const { return json_.contains(name); }

 private:
  OrderedJson json_;
};

}  // namespace romanesca
