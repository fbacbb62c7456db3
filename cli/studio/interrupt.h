#pragma once

namespace romanesca {

/// While one of these lives, Ctrl-C, the request to end and the end of the terminal do not kill the program but are
/// remembered, so that it can clear up. They may be nested; in one thread.
class InterruptGuard {
 public:
  InterruptGuard();
  ~InterruptGuard();
  InterruptGuard(const InterruptGuard&) = delete;
  InterruptGuard& operator=(const InterruptGuard&) = delete;

  [[nodiscard]] static bool requested() noexcept;
};

}  // namespace romanesca
