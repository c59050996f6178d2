// A small pull through the real programs, as a person would run it, and a look at its picture.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "postprocess/read/record_reader.hpp"
#include "tests/support/picture.hpp"
#include "tests/support/trial_run.hpp"

namespace holdground {
namespace {

// As for the synthetic record of view_test.cpp: the legend alone is 0.3 % of warm pixels.
constexpr double kLeastSteel = 0.005;
constexpr double kLeastBed = 0.10;

}  // namespace

TEST(Smoke, LeavesResultsAndAPictureWithAnchorAndBed) {
  const TemporaryFolder folder;
  const std::string trial = (scenariosFolder() / "trials/smoke.toml").string();
  const std::string run = (folder / "run").string();
  runHoldground({"bed", (scenariosFolder() / "beds/smoke.toml").string(), "--threads", "2"});

  const ProcessResult pull = runHoldground({"pull", trial, "-o", run, "--threads", "2"});
  ASSERT_EQ(pull.exitStatus, 0) << pull.describe();
  EXPECT_NE(pull.output, "");

  const nlohmann::json summary = readSummary(run);
  EXPECT_EQ(summary.at("state_hash").at("value").get<std::string>().size(), 16U);
  EXPECT_TRUE(summary.at("complete").at("value").get<bool>());
  EXPECT_GT(summary.at("peak_load").at("value").get<double>(), 0.0);
  // The bar for the fast kernel over a pull.
  EXPECT_LT(std::abs(summary.at("energy_residual_share").at("value").get<double>()), 0.01);
  const RecordReader record(folder / "run/record.h5");
  EXPECT_TRUE(record.closing().has_value());
  EXPECT_GT(record.frameCount(), 2U);
  const std::vector<SeriesRow> series = record.readSeries();
  ASSERT_GT(series.size(), 10U);
  EXPECT_GT(series.back().horizontalLoad, 0.0);

  const ProcessResult view = runHoldground({"view", run});
  ASSERT_EQ(view.exitStatus, 0) << view.describe();
  const Picture picture = readPng(folder / "run/picture.png");
  EXPECT_GT(picture.share(looksLikeSteel), kLeastSteel);
  EXPECT_GT(picture.share(looksLikeBed), kLeastBed);
}

}  // namespace holdground
