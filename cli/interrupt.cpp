#include "cli/interrupt.h"

#include <csignal>

namespace romanesca {
namespace {

volatile std::sig_atomic_t stop_requested = 0;
int guards = 0;

extern "C" void remember_stop(int /*signal*/) { stop_requested = 1; }

}  // namespace

InterruptGuard::InterruptGuard() {
  if (guards++ > 0) return;
  stop_requested = 0;
  std::signal(SIGINT, remember_stop);
  std::signal(SIGTERM, remember_stop);
  std::signal(SIGHUP, remember_stop);
}

InterruptGuard::~InterruptGuard() {
  if (--guards > 0) return;
  std::signal(SIGINT, SIG_DFL);
  std::signal(SIGTERM, SIG_DFL);
  std::signal(SIGHUP, SIG_DFL);
}

bool InterruptGuard::requested() noexcept { return stop_requested != 0; }

}  // namespace romanesca
