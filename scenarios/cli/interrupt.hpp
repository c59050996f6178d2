#pragma once
// SIGINT and SIGTERM as a flag that a long run looks at between steps, so that it can finish the
// step, write its checkpoint and end. A second signal ends the program at once.
// Checked by tests/unit/scenarios/interrupt_test.cpp.

#include <csignal>

namespace holdground {

/// While it lives, the first signal only raises the flag. One at a time.
class InterruptGuard {
 public:
  InterruptGuard();
  ~InterruptGuard();
  InterruptGuard(const InterruptGuard&) = delete;
  InterruptGuard& operator=(const InterruptGuard&) = delete;

  /// True once a signal has come.
  static bool requested();
  /// 128 + the signal, as shells report it; 0 without one.
  static int exitStatus();

 private:
  struct sigaction formerInt_ {};
  struct sigaction formerTerm_ {};
};

}  // namespace holdground
