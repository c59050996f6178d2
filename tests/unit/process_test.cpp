// The process runner that end-to-end tests stand on.

#include "tests/support/process.hpp"

#include <gtest/gtest.h>
#include <signal.h>

namespace holdground {

TEST(Process, KeepsOutputMessagesAndStatusApart) {
  ProcessOptions options;
  options.environment = {{"WORD", "right"}};
  const ProcessResult result =
      runProcess({"sh", "-c", "echo $WORD; echo wrong >&2; exit 3"}, options);
  EXPECT_EQ(result.exitStatus, 3) << result.describe();
  EXPECT_EQ(result.output, "right\n");
  EXPECT_EQ(result.messages, "wrong\n");
}

TEST(Process, IsKilledAtItsTimeLimitWithWhatItStarted) {
  ProcessOptions options;
  options.limit = std::chrono::milliseconds(100);
  const ProcessResult result = runProcess({"sh", "-c", "sleep 300 & sleep 300"}, options);
  EXPECT_TRUE(result.timedOut);
  EXPECT_EQ(result.signal, SIGKILL);
  EXPECT_LT(result.wallSeconds, 300.0);  // or else a sleeper kept our pipe open to its end
}

TEST(Process, RunsInTheFolderItIsGiven) {
  const TemporaryFolder folder;
  writeText(folder / "here", "");
  ProcessOptions options;
  options.directory = folder.path();
  EXPECT_EQ(runProcess({"ls"}, options).output, "here\n");
}

TEST(Process, ThatDoesNotExistIsAnError) {
  EXPECT_THROW(runProcess({"no-such-program-anywhere"}), std::runtime_error);
}

TEST(Process, ProgramOfThisBuildRuns) {
  EXPECT_EQ(runProcess({builtProgram("holdground"), "--version"}).exitStatus, 0);
}

}  // namespace holdground
