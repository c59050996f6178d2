#include "scenarios/cli/interrupt.hpp"

#include <gtest/gtest.h>

namespace holdground {
namespace {

TEST(InterruptGuard, ASignalOnlyRaisesTheFlag) {
  const InterruptGuard guard;
  EXPECT_FALSE(InterruptGuard::requested());
  EXPECT_EQ(InterruptGuard::exitStatus(), 0);
  std::raise(SIGTERM);
  EXPECT_TRUE(InterruptGuard::requested());
  EXPECT_EQ(InterruptGuard::exitStatus(), 143);
}

TEST(InterruptGuard, SoDoALostTerminalAndAClosedPipe) {
  for (const int signal : {SIGHUP, SIGPIPE}) {
    const InterruptGuard guard;
    std::raise(signal);
    EXPECT_TRUE(InterruptGuard::requested());
    EXPECT_EQ(InterruptGuard::exitStatus(), 128 + signal);
  }
}

TEST(InterruptGuard, LeavesIgnoredWhatTheCallerIgnores) {
  const auto former = std::signal(SIGHUP, SIG_IGN);
  {
    const InterruptGuard guard;
    std::raise(SIGHUP);
    EXPECT_FALSE(InterruptGuard::requested());
  }
  EXPECT_EQ(std::signal(SIGHUP, former), SIG_IGN);
}

TEST(InterruptGuard, ANewGuardStartsWithoutASignal) {
  {
    const InterruptGuard guard;
    std::raise(SIGINT);
    EXPECT_EQ(InterruptGuard::exitStatus(), 130);
  }
  const InterruptGuard guard;
  EXPECT_FALSE(InterruptGuard::requested());
}

TEST(InterruptGuardDeathTest, TheSecondSignalEndsTheProgram) {
  EXPECT_EXIT(
      {
        const InterruptGuard guard;
        std::raise(SIGTERM);
        std::raise(SIGTERM);
      },
      testing::KilledBySignal(SIGTERM), "");
}

}  // namespace
}  // namespace holdground
