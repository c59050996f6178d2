// What a pull says does not hang on how often its series is written.

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/trial_run.hpp"

namespace holdground {
namespace {

nlohmann::json measuresAt(const std::filesystem::path& folder, const std::string& interval) {
  const auto trial = writeShortTrial(folder, "0.2 m");
  writeText(trial, readText(trial) + "series_interval = \"" + interval + "\"\n");
  const auto run = folder / "run";
  const ProcessResult result =
      runHoldground({"pull", trial.string(), "-o", run.string(), "--threads", "1"});
  EXPECT_EQ(result.exitStatus, 0) << result.describe();
  return readSummary(run);
}

double value(const nlohmann::json& measures, const std::string& key) {
  return measures.at(key).at("value").get<double>();
}

}  // namespace

TEST(SeriesInterval, DoesNotDecideTheResult) {
  const TemporaryFolder often, seldom;
  const nlohmann::json fine = measuresAt(often.path(), "0.2 ms");
  const nlohmann::json coarse = measuresAt(seldom.path(), "1 ms");  // the most allowed
  EXPECT_EQ(coarse.at("state_hash"), fine.at("state_hash"));
  EXPECT_EQ(value(coarse, "start_speed"), value(fine, "start_speed"));
  // The mean of 200 rows over that of five times as many.
  EXPECT_NEAR(value(coarse, "holding") / value(fine, "holding"), 1.0, 0.03);
}

}  // namespace holdground
