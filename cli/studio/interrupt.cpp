#include "cli/studio/interrupt.h"

#include <array>
#include <csignal>

namespace romanesca {
namespace {

constexpr std::array<int, 3> stop_signals{SIGINT, SIGTERM, SIGHUP};

volatile std::sig_atomic_t stop_requested = 0;
int guards = 0;
std::array<struct sigaction, stop_signals.size()> before{};

extern "C" void remember_stop(int /*signal*/) { stop_requested = 1; }

}  // namespace

InterruptGuard::InterruptGuard() {
  if (guards++ > 0) return;
  stop_requested = 0;
  struct sigaction remember {};
  remember.sa_handler = remember_stop;  // and no restart: who waits for a pipe is woken
  for (std::size_t i = 0; i < stop_signals.size(); ++i) {
    sigaction(stop_signals[i], nullptr, &before[i]);
    const bool outlives_terminal = stop_signals[i] == SIGHUP && before[i].sa_handler == SIG_IGN;
    if (!outlives_terminal) sigaction(stop_signals[i], &remember, nullptr);
  }
}

InterruptGuard::~InterruptGuard() {
  if (--guards > 0) return;
  for (std::size_t i = 0; i < stop_signals.size(); ++i) sigaction(stop_signals[i], &before[i], nullptr);
}

bool InterruptGuard::requested() noexcept { return stop_requested != 0; }

}  // namespace romanesca
