// A trial that cannot be used leaves one line, exit status 2 and nothing on disk.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "tests/support/trial_run.hpp"

namespace holdground {
namespace {

/// A short trial with one piece of its text replaced.
std::filesystem::path spoiledTrial(const TemporaryFolder& folder, const std::string& good,
                                   const std::string& bad) {
  const auto file = writeShortTrial(folder.path(), "0.4 m");
  std::string text = readText(file);
  const std::size_t place = text.find(good);
  EXPECT_NE(place, std::string::npos) << good;
  return writeText(file, text.replace(place, good.size(), bad));
}

struct Spoiled {
  const char* good;
  const char* bad;
  const char* said;  ///< must be in the message
};

}  // namespace

TEST(RefusedTrial, LeavesOneLineStatusTwoAndNothingOnDisk) {
  const Spoiled cases[] = {
      {"distance", "distanse", "distance"},
      {"\"0.4 m\"", "\"0.4 lb\"", "pull.distance"},
      {"\"0.4 m\"", "0.4", "pull.distance"},
      {"\"0.4 m\"", "\"-1 m\"", "pull.distance"},
      {"beds/smoke.toml", "beds/none.toml", "no such file"},
      {"[pull]", "[pull", "short.toml"},
  };
  for (const Spoiled& spoiled : cases) {
    const TemporaryFolder folder;
    const auto trial = spoiledTrial(folder, spoiled.good, spoiled.bad);
    const ProcessResult result =
        runHoldground({"pull", trial.string(), "-o", (folder / "run").string()});
    EXPECT_EQ(result.exitStatus, 2) << result.describe();
    EXPECT_EQ(result.output, "");
    EXPECT_EQ(std::count(result.messages.begin(), result.messages.end(), '\n'), 1)
        << result.describe();
    EXPECT_THAT(result.messages, testing::HasSubstr(spoiled.said));
    EXPECT_THAT(result.messages, testing::HasSubstr("short.toml:"));
    EXPECT_FALSE(std::filesystem::exists(folder / "run"));
  }
}

TEST(RefusedTrial, ThatDoesNotExistIsNamed) {
  const TemporaryFolder folder;
  const ProcessResult result =
      runHoldground({"pull", (folder / "none.toml").string(), "-o", (folder / "run").string()});
  EXPECT_EQ(result.exitStatus, 2) << result.describe();
  EXPECT_THAT(result.messages, testing::HasSubstr("none.toml"));
  EXPECT_FALSE(std::filesystem::exists(folder / "run"));
}

TEST(RefusedTrial, WhoseFolderCannotBeMadeIsRefusedBeforeAnythingIsWorkedOut) {
  const TemporaryFolder folder;
  const auto trial = writeShortTrial(folder.path(), "0.4 m");
  writeText(folder / "file", "in the way");
  for (const std::string& place : {(folder / "file").string(), (folder / "file" / "run").string(),
                                   (folder / "file" / "").string(), std::string()}) {
    const ProcessResult result = runHoldground({"pull", trial.string(), "-o", place});
    EXPECT_EQ(result.exitStatus, 2) << result.describe();
    EXPECT_EQ(result.messages.rfind("holdground: --output: found ", 0), 0u) << result.describe();
    EXPECT_EQ(std::count(result.messages.begin(), result.messages.end(), '\n'), 1);
  }
  EXPECT_EQ(readText(folder / "file"), "in the way");
}

TEST(RefusedTrial, WithACheckpointThatIsNoneIsRefusedBeforeAnythingIsWorkedOut) {
  const TemporaryFolder folder;
  const auto trial = writeShortTrial(folder.path(), "0.4 m");
  std::filesystem::create_directory(folder / "run");
  writeText(folder / "run" / "record.h5", "no record");
  writeText(folder / "run" / "checkpoint.bin", "no checkpoint");
  const ProcessResult result =
      runHoldground({"pull", trial.string(), "-o", (folder / "run").string(), "--resume"});
  EXPECT_EQ(result.exitStatus, 2) << result.describe();
  EXPECT_THAT(result.messages, testing::HasSubstr("checkpoint.bin"));
  EXPECT_EQ(std::count(result.messages.begin(), result.messages.end(), '\n'), 1)
      << result.describe();
  EXPECT_EQ(readText(folder / "run" / "checkpoint.bin"), "no checkpoint");
}

}  // namespace holdground
