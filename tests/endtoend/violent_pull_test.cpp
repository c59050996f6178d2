// A pull too violent for the model ends in order: the record is closed and says why.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/support/trial_run.hpp"

namespace holdground {

TEST(ViolentPull, EndsInOrderWithItsOwnStatusAndSaysWhy) {
  const TemporaryFolder folder;
  const auto trial = writeText(
      folder / "violent.toml",
      "name = \"Flung\"\nbed = \"" + (scenariosFolder() / "beds/smoke.toml").string() +
          "\"\nanchor = \"" + (scenariosFolder() / "anchors/scoop-20kg.toml").string() +
          "\"\n[tiles]\nalong = 1\nacross = 1\n[pull]\nmode = \"speed\"\nspeed = \"5 m/s\"\n"
          "distance = \"1 m\"\nsettle_time = \"0.05 s\"\n"
          "[chain]\nmass_per_length = \"500 kg/m\"\nsuspended_length = \"1000 m\"\n");
  const auto run = folder / "run";
  const ProcessResult result =
      runHoldground({"pull", trial.string(), "-o", run.string(), "--threads", "1"});
  EXPECT_EQ(result.exitStatus, 4) << result.describe();
  EXPECT_THAT(result.output, testing::HasSubstr("! Grains or anchor flew apart"));
  const nlohmann::json measures = readSummary(run);
  EXPECT_EQ(measures.at("end_reason").at("value"), "grains or anchor flew apart");
  EXPECT_EQ(measures.at("complete").at("value"), true);
  EXPECT_GT(measures.at("samples").at("value"), 1);
  EXPECT_FALSE(std::filesystem::exists(run / "checkpoint.bin"));
}

}  // namespace holdground
