// The shell scripts refuse a wrong call with one line that says what is allowed.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>

#include "tests/support/process.hpp"

namespace holdground {
namespace {

const std::string kRoot = HOLDGROUND_SOURCE_DIR;

}  // namespace

TEST(InstallScript, RefusesAnUnknownSet) {
  const ProcessResult result = runProcess({kRoot + "/scenarios/install.sh", "everything"});
  EXPECT_EQ(result.exitStatus, 1) << result.describe();
  EXPECT_EQ(result.output, "");
  EXPECT_EQ(result.messages,
            "install.sh: error: unknown set 'everything'; allowed: build, view, tests\n");
}

TEST(InstallScript, IsSilentWhenToldToSkip) {
  ProcessOptions options;
  options.environment = {{"HOLDGROUND_SKIP_INSTALL", "1"}};
  const ProcessResult result = runProcess({kRoot + "/scenarios/install.sh"}, options);
  EXPECT_EQ(result.exitStatus, 0) << result.describe();
  EXPECT_EQ(result.output + result.messages, "");
}

TEST(BenchmarkScript, NamesTheBenchmarksItKnows) {
  for (const std::string name : {"", "no-such-benchmark"}) {
    const ProcessResult result = runProcess({kRoot + "/benchmarks/run.sh", name});
    EXPECT_EQ(result.exitStatus, 1) << result.describe();
    EXPECT_EQ(result.output, "");
    EXPECT_THAT(result.messages, testing::StartsWith("run.sh: error: "));
    EXPECT_THAT(result.messages, testing::HasSubstr(name.empty() ? "name a benchmark" : name));
  }
}

TEST(Scripts, AreExecutableAndParse) {
  // bash -n reads a script to its end without running it.
  for (const char* script : {"scenarios/install.sh", "scenarios/quickstart.sh", "tests/run.sh",
                             "benchmarks/run.sh", ".ci/run"}) {
    EXPECT_EQ(runProcess({"bash", "-n", kRoot + "/" + script}).exitStatus, 0) << script;
    EXPECT_EQ(runProcess({"test", "-x", kRoot + "/" + script}).exitStatus, 0) << script;
  }
}

}  // namespace holdground
