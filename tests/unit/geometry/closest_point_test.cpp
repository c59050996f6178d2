#include "solver/geometry/closest_point.hpp"

#include <gtest/gtest.h>

#include <random>

namespace holdground {

namespace {

const Vec3 kA(0, 0, 0), kB(2, 0, 0), kC(0, 1, 0);

/// Dense sampling of the triangle: an upper bound of the distance, close to it.
double sampledDistance(const Vec3& p, const Vec3& a, const Vec3& b, const Vec3& c) {
  constexpr int kSteps = 200;
  double best = 1e300;
  for (int i = 0; i <= kSteps; ++i) {
    for (int j = 0; i + j <= kSteps; ++j) {
      const double u = double(i) / kSteps, v = double(j) / kSteps;
      best = std::min(best, (a + u * (b - a) + v * (c - a) - p).norm());
    }
  }
  return best;
}

}  // namespace

TEST(ClosestPoint, NamesTheFeatureOfEachRegion) {
  const auto feature = [](double x, double y) {
    return closestPointOnTriangle(Vec3(x, y, 0.5), kA, kB, kC).feature;
  };
  EXPECT_EQ(feature(0.4, 0.3), TriangleFeature::kFace);
  EXPECT_EQ(feature(1.0, -0.2), TriangleFeature::kEdge0);
  EXPECT_EQ(feature(1.5, 1.5), TriangleFeature::kEdge1);
  EXPECT_EQ(feature(-0.3, 0.5), TriangleFeature::kEdge2);
  EXPECT_EQ(feature(-0.1, -0.1), TriangleFeature::kVertex0);
  EXPECT_EQ(feature(2.5, -0.1), TriangleFeature::kVertex1);
  EXPECT_EQ(feature(-0.1, 1.5), TriangleFeature::kVertex2);
}

TEST(ClosestPoint, IsAsNearAsDenseSamplingFinds) {
  std::mt19937_64 random(7);
  std::uniform_real_distribution<double> uniform(-1.0, 1.0);
  const auto point = [&] { return Vec3(uniform(random), uniform(random), uniform(random)); };
  for (int trial = 0; trial < 50; ++trial) {
    const Vec3 a = point(), b = point(), c = point(), p = 2.0 * point();
    const Vec3 found = closestPointOnTriangle(p, a, b, c).point;
    const double sampled = sampledDistance(p, a, b, c);
    // A sample lies within one step of the true point, so it is at most that much farther.
    const double step = ((b - a).norm() + (c - a).norm()) / 200.0;
    EXPECT_LE((found - p).norm(), sampled + 1e-12) << "trial " << trial;
    EXPECT_GE((found - p).norm(), sampled - step) << "trial " << trial;
  }
}

}  // namespace holdground
