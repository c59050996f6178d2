#include "scenarios/cli/interrupt.hpp"

namespace holdground {
namespace {

volatile std::sig_atomic_t caughtSignal = 0;

void remember(int signal) { caughtSignal = signal; }

}  // namespace

InterruptGuard::InterruptGuard() {
  caughtSignal = 0;
  struct sigaction action {};
  action.sa_handler = remember;
  sigemptyset(&action.sa_mask);
  // Back to the default after the first one: the second ends the program. Reads and writes that
  // a signal breaks into are taken up again.
  action.sa_flags = static_cast<int>(SA_RESETHAND | SA_RESTART);
  for (std::size_t k = 0; k < kSignals.size(); ++k) {
    sigaction(kSignals[k], nullptr, &former_[k]);
    if (former_[k].sa_handler != SIG_IGN) sigaction(kSignals[k], &action, nullptr);
  }
}

InterruptGuard::~InterruptGuard() {
  for (std::size_t k = 0; k < kSignals.size(); ++k) sigaction(kSignals[k], &former_[k], nullptr);
}

bool InterruptGuard::requested() { return caughtSignal != 0; }

int InterruptGuard::exitStatus() { return caughtSignal == 0 ? 0 : 128 + caughtSignal; }

}  // namespace holdground
