// A prescribed load that the ground does not hold: the anchor runs as fast as the winch hauls, and
// the pull says so.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/support/trial_run.hpp"

namespace holdground {
namespace {

/// A ramp to 20 kN over the small bed, which holds some hundred newtons.
ProcessResult pullByLoad(const std::filesystem::path& folder, const std::string& rate) {
  const auto trial =
      writeText(folder / "load.toml",
                "name = \"Too much\"\nbed = \"" + (scenariosFolder() / "beds/smoke.toml").string() +
                    "\"\nanchor = \"" + (scenariosFolder() / "anchors/scoop-20kg.toml").string() +
                    "\"\n[tiles]\nalong = 1\nacross = 1\n[pull]\nmode = \"load\"\n"
                    "schedule = \"ramp\"\nmaximum = \"20 kN\"\nrate = \"" +
                    rate + "\"\nsettle_time = \"0.05 s\"\nrunaway_time = \"0.3 s\"\n");
  return runHoldground({"pull", trial.string(), "-o", (folder / "run").string(), "--threads", "1"});
}

void expectRunaway(const ProcessResult& result, const std::filesystem::path& run) {
  ASSERT_EQ(result.exitStatus, 0) << result.describe();
  const nlohmann::json measures = readSummary(run);
  EXPECT_EQ(measures.at("end_reason").at("value"), "the anchor ran away") << result.describe();
  EXPECT_TRUE(measures.at("holding").at("value").is_null());
  EXPECT_THAT(result.output, testing::HasSubstr("! The load asked for at the end, "));
}

}  // namespace

TEST(Runaway, EndsThePullThatHaulsTheAnchorAsFastAsItCan) {
  const TemporaryFolder folder;
  expectRunaway(pullByLoad(folder.path(), "10 kN/s"), folder / "run");
  // Long before the plan is over, at 2 s, and the runaway drift of 3 m.
  const nlohmann::json measures = readSummary(folder / "run");
  EXPECT_LT(measures.at("simulated_time").at("value").get<double>(), 1.5);
}

TEST(Runaway, IsWhatTheEndOfAPlanIsWhenTheAnchorRuns) {
  const TemporaryFolder folder;
  expectRunaway(pullByLoad(folder.path(), "100 kN/s"), folder / "run");  // over at 0.2 s
}

}  // namespace holdground
