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
  sigaction(SIGINT, &action, &formerInt_);
  sigaction(SIGTERM, &action, &formerTerm_);
}

InterruptGuard::~InterruptGuard() {
  sigaction(SIGINT, &formerInt_, nullptr);
  sigaction(SIGTERM, &formerTerm_, nullptr);
}

bool InterruptGuard::requested() { return caughtSignal != 0; }

int InterruptGuard::exitStatus() { return caughtSignal == 0 ? 0 : 128 + caughtSignal; }

}  // namespace holdground
