#pragma once

#include <cstddef>

namespace romanesca {

/// Does tasks that do not depend on each other, in any order, perhaps at the same time. The sound core knows no
/// threads; the files half has a crew of them.
class Workers {
 public:
  /// A task: what to do with the number of it.
  struct Job {
    void (*run)(void* context, std::size_t number) noexcept;
    void* context;
  };
  virtual ~Workers() = default;
  Workers() = default;
  Workers(const Workers&) = delete;
  Workers& operator=(const Workers&) = delete;
  /// Returns when tasks 0 to @p count - 1 are done.
  virtual void run(std::size_t count, const Job& job) noexcept = 0;
};

}  // namespace romanesca
