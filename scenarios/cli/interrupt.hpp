#pragma once
// SIGINT, SIGTERM, SIGHUP (the terminal is gone) and SIGPIPE (nobody reads what is printed) as a
// flag that a long run looks at between steps, so that it can finish the step, write its checkpoint
// and end. A second signal ends the program at once. What the caller ignores (nohup) stays ignored.
// Checked by tests/unit/scenarios/interrupt_test.cpp.

#include <array>
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
  static constexpr std::array kSignals{SIGINT, SIGTERM, SIGHUP, SIGPIPE};
  std::array<struct sigaction, kSignals.size()> former_{};
};

}  // namespace holdground
