#include "postprocess/measure/holding.hpp"

#include <gtest/gtest.h>

namespace holdground {
namespace {

std::vector<SeriesRow> seriesOf(const std::vector<std::pair<double, double>>& driftAndLoad,
                                double interval = 1.0) {
  std::vector<SeriesRow> series;
  for (const auto& [drift, load] : driftAndLoad) {
    SeriesRow row;
    row.time = row.trialTime = interval * static_cast<double>(series.size());
    row.drift = drift;
    row.horizontalLoad = load;
    series.push_back(row);
  }
  return series;
}

TEST(HoldingAtSpeed, AveragesTheLastMetreOnly) {
  const auto holding = holdingAtSpeed(
      seriesOf({{0.0, 9000}, {1.0, 5000}, {1.9, 7777}, {2.0, 100}, {2.5, 200}, {3.0, 600}}));
  ASSERT_TRUE(holding.has_value());
  EXPECT_DOUBLE_EQ(holding->mean, 300.0);
  EXPECT_DOUBLE_EQ(holding->percentile90, 520.0);  // place 1.8: 200 + 0.8 * 400
  EXPECT_DOUBLE_EQ(holding->peak, 9000.0);
  EXPECT_DOUBLE_EQ(holding->peakDrift, 0.0);
  EXPECT_DOUBLE_EQ(holding->averagedDrift, 1.0);
  EXPECT_EQ(holding->firstSample, 3u);
}

TEST(HoldingAtSpeed, CountsSamplesNotDrift) {
  // Three samples while it sticks, one after it slips: the mean is over time.
  const auto holding =
      holdingAtSpeed(seriesOf({{0, 0}, {2.0, 400}, {2.0, 400}, {2.0, 400}, {3.0, 0}}));
  EXPECT_DOUBLE_EQ(holding->mean, 300.0);
}

TEST(HoldingAtSpeed, BeginsWhereTheDriftLastRosePastTheLastMetre) {
  // It springs back below 2 m once; what came before that is not part of the last metre.
  const auto holding =
      holdingAtSpeed(seriesOf({{0, 0}, {2.1, 5000}, {1.9, 5000}, {2.2, 100}, {3.0, 300}}));
  EXPECT_DOUBLE_EQ(holding->mean, 200.0);
  EXPECT_DOUBLE_EQ(holding->averagedDrift, 0.8);
}

TEST(HoldingAtSpeed, AveragesAShortPullWhole) {
  const auto holding = holdingAtSpeed(seriesOf({{0.0, 100}, {0.2, 200}, {0.4, 600}}));
  EXPECT_DOUBLE_EQ(holding->mean, 300.0);
  EXPECT_DOUBLE_EQ(holding->averagedDrift, 0.4);
  EXPECT_FALSE(holdingAtSpeed({}).has_value());
}

TEST(HoldingAtSpeed, LeavesOutTheTimeBeforeThePull) {
  auto series = seriesOf({{0.0, 0}, {0.0, 0}, {0.0, 100}, {0.4, 500}});
  for (auto& row : series) row.time -= 2.0;
  EXPECT_DOUBLE_EQ(holdingAtSpeed(series)->mean, 300.0);
}

TEST(HoldingAtSpeed, IsNoneOfAPullThatEndedBeforeItBegan) {
  auto series = seriesOf({{0.0, 0}, {0.0, 0}});
  for (auto& row : series) row.time -= 2.0;
  EXPECT_FALSE(holdingAtSpeed(series).has_value());
}

TEST(HoldingAtSpeed, IsNotAveragedOverLessThanNoDrift) {
  EXPECT_EQ(holdingAtSpeed(seriesOf({{0.0, 100}, {-1e-5, 200}}))->averagedDrift, 0.0);
}

/// A staircase: 40 s at each load, drift rising by `creep` over each of them.
std::vector<SeriesRow> staircase(const std::vector<std::pair<double, double>>& loadAndCreep) {
  std::vector<std::pair<double, double>> rows;
  double drift = 0.0;
  for (const auto& [load, creep] : loadAndCreep)
    for (int second = 0; second < 40; ++second) rows.emplace_back(drift += creep / 40.0, load);
  return seriesOf(rows);
}

TEST(HeldLoad, IsTheGreatestStepThatHeld) {
  const auto series = staircase({{500, 0.02}, {1000, 0.05}, {1500, 0.08}, {2000, 0.9}});
  EXPECT_EQ(heldLoad(series, 30.0, 0.1), 1500.0);
  EXPECT_EQ(heldLoad(series, 30.0, 0.03), 500.0);
}

TEST(HeldLoad, NeedsTheWholeDuration) {
  const auto series = staircase({{500, 0.0}, {1000, 0.0}});
  EXPECT_EQ(heldLoad(series, 40.0, 0.1), 1000.0);
  EXPECT_EQ(heldLoad(series, 41.0, 0.1), 500.0);  // the upper step lasts 40 s
  EXPECT_FALSE(heldLoad(series, 81.0, 0.1).has_value());
}

TEST(HeldLoad, ADipInTheHoldCounts) {
  auto series = staircase({{1000, 0.0}});
  series[20].horizontalLoad = 700.0;
  EXPECT_EQ(heldLoad(series, 30.0, 0.1), 700.0);
}

TEST(HeldLoad, GoingBackCountsAsDriftToo) {
  auto series = staircase({{1000, 0.0}});
  for (std::size_t k = 20; k < series.size(); ++k) series[k].drift = -0.2;
  EXPECT_FALSE(heldLoad(series, 30.0, 0.1).has_value());
}

TEST(HeldLoad, CountsTrialTimeNotSimulatedTime) {
  auto series = staircase({{1000, 0.0}});
  for (auto& row : series) row.time /= 10.0;  // compressed ten times
  EXPECT_EQ(heldLoad(series, 30.0, 0.1), 1000.0);
}

TEST(HeldLoad, TheFirstRowMayLieNearerToTheSecond) {
  auto series = staircase({{1000, 0.0}});
  SeriesRow first = series[0];
  first.trialTime -= 0.25;
  series.insert(series.begin(), first);
  EXPECT_EQ(heldLoad(series, 40.0, 0.1), 1000.0);
  EXPECT_FALSE(heldLoad(series, 42.0, 0.1).has_value());
}

TEST(HeldLoad, ARoundDurationIsNotMissedByRounding) {
  // 0.1 s is no binary number: three hundred of them may sum to a little less than 30 s.
  std::vector<SeriesRow> series(301);
  double time = 0.1;
  for (auto& row : series) {
    row.trialTime = time;
    row.horizontalLoad = 1000.0;
    time += 0.1;
  }
  EXPECT_EQ(heldLoad(series, 30.0, 0.1), 1000.0);
}

TEST(HeldLoad, AHoldOfExactlyTheDurationReadsTheLoadHeldWhereverTheSamplesFall) {
  // A ramp to 1000 N, 30 s there, then a ramp on that drags it; 0.7 s is no divisor of 30 s.
  for (const double interval : {0.05, 0.7, 1.0})
    for (const double offset : {0.0, 0.3, 0.9}) {
      std::vector<SeriesRow> series;
      for (double time = offset * interval; time < 60.0; time += interval) {
        SeriesRow row;
        row.trialTime = time;
        row.horizontalLoad = time < 10.0   ? 100.0 * time
                             : time < 40.0 ? 1000.0
                                           : 1000.0 + 100.0 * (time - 40.0);
        row.drift = std::max(0.0, time - 40.0);
        series.push_back(row);
      }
      EXPECT_GE(heldLoad(series, 30.0, 0.1), 1000.0 * (1.0 - 1e-12)) << interval << ' ' << offset;
      EXPECT_LT(heldLoad(series, 33.0, 0.1), 1000.0) << interval << ' ' << offset;
    }
}

TEST(HeldLoad, AgreesWithTryingEveryWindow) {
  std::vector<SeriesRow> series(400);
  double drift = 0.0;
  unsigned random = 12345;
  for (std::size_t k = 0; k < series.size(); ++k) {
    random = random * 1664525u + 1013904223u;
    drift += (random >> 24) % 5 == 0 ? 0.01 : -0.001;
    series[k].trialTime = static_cast<double>(k);
    series[k].horizontalLoad = 100.0 + static_cast<double>(random >> 20);
    series[k].drift = drift;
  }
  double best = 0.0;
  for (std::size_t first = 0; first + 30 <= series.size(); ++first) {
    double load = 1e9, low = 1e9, high = -1e9;
    for (std::size_t k = first; k < first + 30; ++k) {
      load = std::min(load, series[k].horizontalLoad);
      low = std::min(low, series[k].drift);
      high = std::max(high, series[k].drift);
    }
    if (high - low < 0.04) best = std::max(best, load);
  }
  ASSERT_GT(best, 0.0);
  EXPECT_EQ(heldLoad(series, 30.0, 0.04), best);
}

}  // namespace
}  // namespace holdground
