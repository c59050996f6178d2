#include "solver/state/height_map.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/kernels.hpp"

namespace holdground {
namespace {

TEST(HeightMap, SeesTheTopOfASphereAlsoAcrossTheSides) {
  Ball ball;
  ball.radius = 0.04;
  ball.position = Vec3(0.2, -0.15, 0.03);  // on a corner of the domain
  const HeightMap map = heightMap(sceneOf(Domain{0.4, 0.3, -1.0, 1.0}, {ball}));
  const double half = 0.5 * std::hypot(map.stepX, map.stepY);  // nearest line to its axis
  const double top = 0.03 + std::sqrt(0.04 * 0.04 - half * half);
  for (const auto& [x, y] : {std::pair{0, 0},
                             {map.countX - 1, 0},
                             {0, map.countY - 1},
                             {map.countX - 1, map.countY - 1}})
    EXPECT_NEAR(map.at(x, y), top, 1e-12);
  EXPECT_TRUE(std::isinf(map.at(map.countX / 2, map.countY / 2)));
  EXPECT_FALSE(map.meanAcross(map.countX / 2).has_value());
}

TEST(HeightMap, MeanAcrossLeavesOutWhatMeetsNothing) {
  HeightMap map;
  map.countX = 2;
  map.countY = 3;
  map.stepX = 0.5;
  map.height = {1.0, 5.0, 2.0, -INFINITY, -INFINITY, -INFINITY};
  EXPECT_EQ(map.meanAcross(0), 1.5);
  EXPECT_EQ(map.meanAcross(1), 5.0);
  EXPECT_EQ(map.placeX(0), -0.25);
}

}  // namespace
}  // namespace holdground
