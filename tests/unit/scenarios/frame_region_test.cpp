#include "scenarios/run/frame_region.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace holdground {
namespace {

/// Points on a square lattice of 0.1 m over a bed of 4 x 2 m, none on a boundary of a box that ends
/// at a full decimetre.
GrainSet lattice() {
  GrainSet bed;
  bed.domain = {4.0, 2.0, -1.0, 1.0};
  for (int i = 0; i < 40; ++i)
    for (int j = 0; j < 20; ++j) {
      bed.position.emplace_back(-1.95 + 0.1 * i, -0.95 + 0.1 * j, 0.0);
      bed.radius.push_back(0.04);
    }
  bed.velocity = bed.spin = std::vector<Vec3>(bed.position.size(), Vec3::Zero());
  bed.frozen.assign(bed.position.size(), 0);
  return bed;
}

TrialSpec trialOver(double distance) {
  TrialSpec trial;
  trial.pull.speed.distance = distance;
  return trial;
}

}  // namespace

TEST(FrameRegion, HoldsTheGrainsOfABoxAboutThePath) {
  const GrainSet bed = lattice();
  const auto ids = grainsInRegion(bed, {1.0, 0.0, 0.5});
  EXPECT_EQ(ids.size(), 20u * 10u);  // 2 m x 1 m at 100 a square metre
  for (const std::uint32_t id : ids) {
    EXPECT_GT(bed.position[id].x(), -0.5);
    EXPECT_LT(bed.position[id].x(), 1.5);
    EXPECT_LT(std::abs(bed.position[id].y()), 0.5);
  }
  EXPECT_TRUE(std::is_sorted(ids.begin(), ids.end()));
}

TEST(FrameRegion, GoesRoundThePeriodicBed) {
  const GrainSet bed = lattice();
  // From x = -0.5 to 3.5: all of the bed's 4 m, of which the last 1.5 m lie at -2 to -0.5.
  EXPECT_EQ(grainsInRegion(bed, {3.0, 0.0, 0.5}).size(), 40u * 10u);
  // To x = 2.5: the part beyond the seam is at -2 to -1.5.
  const auto ids = grainsInRegion(bed, {2.0, 0.0, 0.5});
  EXPECT_EQ(ids.size(), 30u * 10u);
  EXPECT_LT(bed.position[ids.front()].x(), -1.9);
}

TEST(FrameRegion, TurnsWithThePull) {
  const GrainSet bed = lattice();
  const auto toPort = grainsInRegion(bed, {1.0, 0.5 * std::numbers::pi, 0.3});
  EXPECT_EQ(toPort.size(), 16u * 6u);
  for (const std::uint32_t id : toPort) EXPECT_LT(std::abs(bed.position[id].x()), 0.3);
  // The image below y = -1 is the far end of the box, which reaches to y = 1.3.
  EXPECT_LT(bed.position[toPort.front()].y(), -0.9);
}

TEST(FrameRegion, OfATrialIsItsMarginInAnchorLengths) {
  const GrainSet bed = lattice();
  TrialSpec trial = trialOver(1.0);
  trial.output.regionMargin = 0.5;
  EXPECT_EQ(framedGrains(trial, 1.0, bed), grainsInRegion(bed, {1.0, 0.0, 0.5}));
  trial.pull.maximumDrift = 0.6;
  EXPECT_EQ(framedGrains(trial, 1.0, bed), grainsInRegion(bed, {0.6, 0.0, 0.5}));
}

TEST(FrameRegion, IsEmptyWhenAllGrainsAreKept) {
  const GrainSet bed = lattice();
  TrialSpec trial = trialOver(3.0);
  EXPECT_TRUE(framedGrains(trial, 1.0, bed).empty());  // the box covers the bed
  trial.output.regionMargin = 0.5;
  EXPECT_FALSE(framedGrains(trial, 1.0, bed).empty());
  trial.output.frames = FrameContent::kAll;
  EXPECT_TRUE(framedGrains(trial, 1.0, bed).empty());
}

}  // namespace holdground
