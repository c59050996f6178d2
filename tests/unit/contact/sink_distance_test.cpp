#include "solver/contact/sink_distance.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "solver/core/random.hpp"
#include "solver/geometry/closest_point.hpp"

namespace holdground {
namespace {

double distance(const Vec3& p, const Corners& t) {
  return (closestPointOnTriangle(p, t[0], t[1], t[2]).point - p).norm();
}

Corners randomTriangle(const CounterRandom& random, std::uint64_t n, double low, double high) {
  Corners t;
  for (std::uint64_t k = 0; k < 3; ++k)
    t[k] =
        Vec3(random.uniform(9 * n + 3 * k, -0.5, 0.5), random.uniform(9 * n + 3 * k + 1, -0.5, 0.5),
             random.uniform(9 * n + 3 * k + 2, low, high));
  return t;
}

}  // namespace

TEST(VerticalClearance, IsKnownForFaceEdgeAndCorner) {
  const Corners flat{Vec3(-1, -1, 0.5), Vec3(2, -1, 0.5), Vec3(-1, 2, 0.5)};
  EXPECT_DOUBLE_EQ(verticalClearance(Vec3::Zero(), 0.1, flat), 0.4);
  // 0.06 m beside an edge, and a corner: a sphere of 0.1 m is 0.08 m high there.
  EXPECT_DOUBLE_EQ(verticalClearance(Vec3(0.0, -1.06, 0.0), 0.1, flat), 0.42);
  EXPECT_DOUBLE_EQ(verticalClearance(Vec3(-1.06, -1.0, 0.0), 0.1, flat), 0.42);
  EXPECT_TRUE(std::isinf(verticalClearance(Vec3(0.0, -1.11, 0.0), 0.1, flat)));
}

TEST(VerticalClearance, BringsTheSphereToTouchAndNotInto) {
  const CounterRandom random(7, 0);
  int met = 0;
  for (std::uint64_t n = 0; n < 2000; ++n) {
    const Corners t = randomTriangle(random, n, 0.5, 1.5);
    const double way = verticalClearance(Vec3::Zero(), 0.2, t);
    if (std::isinf(way)) {
      for (double z = 0.0; z < 2.0; z += 0.01) ASSERT_GE(distance(Vec3(0, 0, z), t), 0.2 - 1e-9);
      continue;
    }
    ++met;
    ASSERT_NEAR(distance(Vec3(0, 0, way), t), 0.2, 1e-9) << n;
    for (double z = 0.0; z < way; z += 0.01) ASSERT_GE(distance(Vec3(0, 0, z), t), 0.2 - 1e-9) << n;
  }
  EXPECT_GT(met, 500);
  EXPECT_LT(met, 1900);
}

TEST(SinkDistance, IsTheLeastOverAllGrainsAndTheirImages) {
  const CounterRandom random(8, 0);
  GrainSet bed;
  bed.domain = {1.0, 0.8, -1.0, 1.0};
  for (std::uint64_t k = 0; k < 300; ++k) {
    bed.position.emplace_back(random.uniform(4 * k, -0.5, 0.5),
                              random.uniform(4 * k + 1, -0.4, 0.4),
                              random.uniform(4 * k + 2, -0.5, 0.0));
    bed.radius.push_back(random.uniform(4 * k + 3, 0.02, 0.05));
    bed.frozen.push_back(0);
  }
  bed.velocity.assign(bed.size(), Vec3::Zero());
  bed.spin.assign(bed.size(), Vec3::Zero());
  for (std::uint64_t n = 0; n < 20; ++n) {
    // Some reach over the sides of the bed.
    const std::vector<Corners> steel{randomTriangle(random, 1000 + n, 0.1, 0.6)};
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t k = 0; k < bed.size(); ++k)
      for (int x = -2; x <= 2; ++x)
        for (int y = -2; y <= 2; ++y)
          least = std::min(least, verticalClearance(bed.position[k] + Vec3(x * 1.0, y * 0.8, 0.0),
                                                    0.6 * bed.radius[k], steel[0]));
    EXPECT_DOUBLE_EQ(sinkDistance(steel, bed, {0.2}), least) << n;
  }
}

}  // namespace holdground
