#include "postprocess/picture/bed_window.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace holdground {
namespace {

constexpr PeriodicPlan kPlan{2.0, 1.0};

TEST(BedWindow, IsNeverLongerThanThePeriod) {
  const BedWindow window = windowAround(5.0, 0.1, 2.8, kPlan);
  EXPECT_DOUBLE_EQ(window.toX - window.fromX, 2.0);
  EXPECT_DOUBLE_EQ(window.cutY, 0.1);
  EXPECT_LT(window.fromX, 5.0);
  EXPECT_GT(5.0 - window.fromX, window.toX - 5.0);
}

TEST(BedWindow, FindsTheImagesAroundAnAnchorThatHasLeftTheFirstPeriod) {
  const BedWindow window = windowAround(7.3, 0.0, 1.0, kPlan);
  const std::vector<SeenGrain> seen =
      grainsIn(window, kPlan, {Vec3(-0.8, 0.2, -0.1)}, {0.02}, {0.3f});
  ASSERT_EQ(seen.size(), 1u);
  EXPECT_NEAR(seen[0].position.x(), 7.2, 1e-12);
  EXPECT_NEAR(seen[0].speed, 0.3, 1e-7);
}

TEST(BedWindow, GrainsKeepTheirLayer) {
  const BedWindow window = windowAround(0.0, 0.0, 1.0, kPlan);
  const std::vector<Vec3> places{Vec3(0.0, 0.1, -0.1), Vec3(0.1, 0.1, -0.2)};
  const std::vector<SeenGrain> seen =
      grainsIn(window, kPlan, places, {0.02, 0.02}, {0.0f, 0.0f}, {0, 1});
  ASSERT_EQ(seen.size(), 2u);
  EXPECT_EQ(seen[0].layer, 0);
  EXPECT_EQ(seen[1].layer, 1);
}

TEST(BedWindow, LeavesOutTheStarboardSide) {
  const BedWindow window = windowAround(0.0, 0.0, 1.0, kPlan);
  EXPECT_TRUE(grainsIn(window, kPlan, {Vec3(0.0, -0.2, 0.0)}, {0.02}, {0.0f}).empty());
}

TEST(BedWindow, KeepsAGrainThatTheCutCrosses) {
  const BedWindow window = windowAround(0.0, 0.0, 1.0, kPlan);
  EXPECT_EQ(grainsIn(window, kPlan, {Vec3(0.0, -0.01, 0.0)}, {0.02}, {0.0f}).size(), 1u);
}

TEST(BedWindow, ShowsAGrainOnTheSeamAtBothEnds) {
  const BedWindow window = windowAround(0.0, 0.0, 2.0, kPlan);
  const std::vector<SeenGrain> seen =
      grainsIn(window, kPlan, {Vec3(window.fromX, 0.2, 0.0)}, {0.02}, {0.0f});
  ASSERT_EQ(seen.size(), 2u);
  EXPECT_NEAR(seen[1].position.x() - seen[0].position.x(), 2.0, 1e-12);
}

TEST(BedWindow, CountsEveryGrainOfADensePeriodOnce) {
  std::vector<Vec3> positions;
  for (int i = 0; i < 40; ++i) {
    for (int j = 0; j < 20; ++j) {
      positions.emplace_back(-1.0 + 0.05 * (i + 0.5), -0.5 + 0.05 * (j + 0.5), 0.0);
    }
  }
  // Half a period to port: half the grains. Odd offsets keep grains off the faces.
  const BedWindow window = windowAround(3.125 + 0.0125, 0.0125, 2.0, kPlan);
  const std::vector<double> radii(positions.size(), 0.001);
  const std::vector<float> speeds(positions.size(), 0.0f);
  EXPECT_EQ(grainsIn(window, kPlan, positions, radii, speeds).size(), positions.size() / 2);
}

TEST(BedWindow, LeavesOutAGrainWithoutAPlace) {
  const BedWindow window = windowAround(0.0, 0.0, 2.0, kPlan);
  const Vec3 nowhere(std::nan(""), 0.2, 0.0);
  EXPECT_TRUE(grainsIn(window, kPlan, {nowhere}, {0.02}, {0.0f}).empty());
}

TEST(BedWindow, IsTrimmedToTheGrainsThereAre) {
  const BedWindow window{0.0, 2.0, 0.0, 0.5};
  const std::vector<SeenGrain> region = {{Vec3(0.4, 0.1, 0.0), 0.02, 0.0},
                                         {Vec3(1.3, 0.3, 0.0), 0.02, 0.0}};
  const BedWindow trimmed = trimmedTo(region, window);
  EXPECT_EQ(trimmed.fromX, 0.4);
  EXPECT_EQ(trimmed.toX, 1.3);
  EXPECT_EQ(trimmed.cutY, 0.0);
  EXPECT_EQ(trimmed.toY, 0.3);
}

TEST(BedWindow, IsNotTrimmedWhereGrainsReachBeyondIt) {
  const BedWindow window{0.0, 2.0, 0.0, 0.5};
  const std::vector<SeenGrain> crossing = {{Vec3(-0.01, 0.51, 0.0), 0.02, 0.0},
                                           {Vec3(2.01, 0.3, 0.0), 0.02, 0.0}};
  const BedWindow same = trimmedTo(crossing, window);
  EXPECT_EQ(same.fromX, 0.0);
  EXPECT_EQ(same.toX, 2.0);
  EXPECT_EQ(same.toY, 0.5);
  EXPECT_EQ(trimmedTo({}, window).toX, 2.0);
}

// A rode 30 degrees to port: a grain that lies on it, half a metre ahead, is in the cut face, as is
// its image two periods back; one as far to starboard of it is cut away.
TEST(BedWindow, CutsAlongARodeThatDoesNotRunAlongTheBed) {
  const double azimuth = kPi / 6.0;
  const PeriodicPlan plan{4.0, 3.0, azimuth};
  const BedWindow window = windowAround(0.0, 0.0, 2.0, plan);
  const Vec3 along(std::cos(azimuth), std::sin(azimuth), 0.0);
  const Vec3 across(-std::sin(azimuth), std::cos(azimuth), 0.0);
  for (const double periods : {0.0, 2.0}) {
    const Vec3 image = 0.5 * along - Vec3(periods * plan.lengthX, 0.0, 0.0);
    const std::vector<SeenGrain> seen = grainsIn(window, plan, {image}, {0.02}, {0.0f});
    ASSERT_EQ(seen.size(), 1u);
    EXPECT_LT((seen[0].position - Vec3(0.5, 0.0, 0.0)).norm(), 1e-12);
  }
  EXPECT_TRUE(grainsIn(window, plan, {-0.03 * across}, {0.02}, {0.0f}).empty());
  EXPECT_EQ(grainsIn(window, plan, {0.03 * across}, {0.02}, {0.0f}).size(), 1u);
}

}  // namespace
}  // namespace holdground
