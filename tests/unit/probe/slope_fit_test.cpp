#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "solver/probe/cut_slope.hpp"

namespace holdground {
namespace {

/// Crest at 0, trench at -0.3, sides that fall by `left` and `right` from |x| = 0.3.
HeightMap ridge(double left, double right) {
  HeightMap map;
  map.countX = 400;
  map.countY = 1;
  map.stepX = map.stepY = 0.005;
  for (int k = 0; k < map.countX; ++k) {
    const double x = map.placeX(k), slope = x < 0.0 ? left : right;
    map.height.push_back(std::clamp(-slope * (std::abs(x) - 0.3), -0.3, 0.0));
  }
  return map;
}

TEST(FitSlopes, GivesBackTheAnglesOfBothSides) {
  const CutSlope slope = fitSlopes(ridge(std::tan(0.5), std::tan(0.6)));
  EXPECT_NEAR(slope.left, 0.5, 1e-6);
  EXPECT_NEAR(slope.right, 0.6, 1e-6);
  EXPECT_NEAR(slope.relief, 0.3, 1e-9);
  EXPECT_NEAR(slope.standardError(), 0.05, 1e-6);
  EXPECT_FALSE(slope.stands());
}

TEST(FitSlopes, AWallStands) { EXPECT_TRUE(fitSlopes(ridge(1e9, 1e9)).stands()); }

}  // namespace
}  // namespace holdground
