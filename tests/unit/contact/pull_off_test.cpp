// Each branch of the attraction, and that it is the slope of its energy.

#include "solver/contact/pull_off.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace holdground {
namespace {

constexpr double kRadius = 0.005;  // R* of two grains of 20 mm [m]
constexpr PullOff kMud{20.0e3, 0.1};

TEST(PullOff, IsItsStressTimesTheSquareOfTheDiameterOfEqualGrains) {
  // 20 kPa on (20 mm)^2.
  EXPECT_NEAR(kMud.force(kRadius), 8.0, 1e-12);
  EXPECT_NEAR(kMud.gap(kRadius), 0.002, 1e-15);
  EXPECT_DOUBLE_EQ(attraction(kMud, kRadius, 0.0), kMud.force(kRadius));
  EXPECT_DOUBLE_EQ(attraction(kMud, kRadius, 1e-4), kMud.force(kRadius));
}

TEST(PullOff, FadesOverItsGapAndIsGoneBeyond) {
  EXPECT_NEAR(attraction(kMud, kRadius, -0.0005), 6.0, 1e-12);
  EXPECT_NEAR(attraction(kMud, kRadius, -0.0015), 2.0, 1e-12);
  EXPECT_EQ(attraction(kMud, kRadius, -0.002), 0.0);
  EXPECT_EQ(attraction(kMud, kRadius, -1.0), 0.0);
  EXPECT_EQ(attractionEnergy(kMud, kRadius, -0.002), 0.0);
}

TEST(PullOff, IsTheSlopeOfItsEnergy) {
  // Piecewise quadratic: central differences are exact to rounding, 1e-16 * 16 mJ / 1e-7 m.
  const double h = 1e-7;
  for (const double overlap : {-0.0025, -0.0019, -0.001, -0.0002, 0.0002, 0.001}) {
    const double slope = (attractionEnergy(kMud, kRadius, overlap + h) -
                          attractionEnergy(kMud, kRadius, overlap - h)) /
                         (2.0 * h);
    EXPECT_NEAR(-slope, attraction(kMud, kRadius, overlap), 1e-9) << overlap;
  }
}

TEST(PullOff, OfGrainsThatDoNotStickIsNothing) {
  const PullOff sand;
  EXPECT_EQ(attraction(sand, kRadius, 0.001), 0.0);
  EXPECT_EQ(attractionEnergy(sand, kRadius, 0.001), 0.0);
  EXPECT_EQ(sand.reachShare(), 0.0);
}

}  // namespace
}  // namespace holdground
