// The number of threads changes nothing but the time a pull takes.

#include <gtest/gtest.h>

#include "tests/support/trial_run.hpp"

namespace holdground {

TEST(Threads, DoNotChangeABitOfAPull) {
  const TemporaryFolder folder;
  const auto trial = writeShortTrial(folder.path(), "0.15 m");
  std::string first;
  for (const char* threads : {"1", "2", "3", "8"}) {
    const auto run = folder / (std::string("run") + threads);
    const ProcessResult result =
        runHoldground({"pull", trial.string(), "-o", run.string(), "--threads", threads});
    ASSERT_EQ(result.exitStatus, 0) << result.describe();
    const std::string hash = readSummary(run).at("state_hash").dump();
    if (first.empty()) first = hash;
    EXPECT_EQ(hash, first) << threads << " threads";
  }
}

}  // namespace holdground
