// A bed that is settled may be kept in a file of one's own.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "solver/bed/tile.hpp"
#include "tests/support/trial_run.hpp"

namespace holdground {
namespace {

ProcessResult settle(const std::string& output) {
  return runHoldground({"bed", (scenariosFolder() / "beds" / "smoke.toml").string(), "-o", output});
}

}  // namespace

TEST(Bed, IsKeptInTheVeryFileAskedFor) {
  const TemporaryFolder folder;
  const auto file = folder / "sand.bin";
  for (int time = 0; time < 2; ++time) {  // the second time over the first
    const ProcessResult result = settle(file.string());
    ASSERT_EQ(result.exitStatus, 0) << result.describe();
    ASSERT_TRUE(std::filesystem::is_regular_file(file));
  }
  const auto tile = readTile(file);
  ASSERT_TRUE(tile.has_value());
  EXPECT_GT(tile->grains.size(), 1000u);
  EXPECT_EQ(std::distance(std::filesystem::directory_iterator(folder.path()), {}), 1)
      << "nothing is left beside it";
}

TEST(Bed, ThatCannotBeKeptIsNoSuccess) {
  const TemporaryFolder folder;
  ProcessOptions options;
  options.environment["HOLDGROUND_CACHE"] =
      (writeText(folder / "file", "in the way") / "cache").string();
  const ProcessResult result =
      runProcess({builtProgram("holdground"), "bed",
                  (scenariosFolder() / "beds" / "smoke.toml").string(), "--threads", "1"},
                 options);
  EXPECT_EQ(result.exitStatus, 3) << result.describe();
  EXPECT_THAT(result.messages, testing::HasSubstr("Not a directory"));
  EXPECT_THAT(result.output, testing::HasSubstr("not kept"));
}

TEST(Bed, RefusesAFolderOrOneThatIsMissingInOneLine) {
  const TemporaryFolder folder;
  for (const std::string& output :
       {folder.path().string(), (folder / "").string(), (folder / "none" / "sand.bin").string(),
        (folder / "none" / "").string()}) {
    const ProcessResult result = settle(output);
    EXPECT_EQ(result.exitStatus, 2) << result.describe();
    EXPECT_THAT(result.messages, testing::StartsWith("holdground: --output: found " + output));
    EXPECT_EQ(std::count(result.messages.begin(), result.messages.end(), '\n'), 1);
    EXPECT_EQ(result.output, "");
  }
  EXPECT_TRUE(std::filesystem::is_empty(folder.path()));
}

}  // namespace holdground
