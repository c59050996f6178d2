// A pull that runs out of memory, wherever that happens, ends with status 3, says so in its last
// line and leaves nothing half-written.

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/support/trial_run.hpp"

namespace holdground {
namespace {

/// Status of a pull in so much address space [KiB], after the checks every one of them must pass.
int statusOfPullIn(int limit, const std::filesystem::path& trial,
                   const std::filesystem::path& run) {
  ProcessOptions options;
  options.environment = {{"HOLDGROUND_CACHE", std::string(HOLDGROUND_BINARY_DIR) + "/test-cache"}};
  const ProcessResult result =
      runProcess({"sh", "-c",
                  fmt::format("ulimit -v {} && exec '{}' pull '{}' -o '{}' --threads 2", limit,
                              builtProgram("holdground"), trial.string(), run.string())},
                 options);
  if (result.exitStatus == 0 || result.exitStatus == 127)
    return result.exitStatus;  // or not loaded
  EXPECT_EQ(result.exitStatus, 3) << limit << ' ' << result.describe();
  EXPECT_THAT(result.messages,
              testing::ContainsRegex("holdground: [^\n]*(memory|threads)[^\n]*\n$"))
      << limit << ' ' << result.describe();
  EXPECT_EQ(result.output, "");
  EXPECT_FALSE(std::filesystem::exists(run)) << limit << ' ' << result.describe();
  return result.exitStatus;
}

}  // namespace

TEST(OutOfMemory, EndsAPullWithStatusThreeAndNothingOnDiskWhereverItHappens) {
  const TemporaryFolder folder;
  const auto trial = writeShortTrial(folder.path(), "0.01 m");
  std::string text = readText(trial);
  text.replace(text.find("along = 1"), 9, "along = 4");
  writeText(trial, text);
  // Settled by now, so that the pull itself is what runs out.
  ASSERT_EQ(runHoldground({"bed", (scenariosFolder() / "beds/smoke.toml").string()}).exitStatus, 0);
  int refused = 0;
  // The program loads in some 50 MiB; this pull wants 100 MiB more at most.
  for (int limit = 50000; limit < 400000; limit += 8000) {
    const int status = statusOfPullIn(limit, trial, folder / "run");
    if (status == 0) break;
    refused += status == 3 ? 1 : 0;
  }
  EXPECT_GE(refused, 2);
}

}  // namespace holdground
