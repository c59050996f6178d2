#include "solver/bed/stone_shape.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace holdground {
namespace {

constexpr double kDensity = 2650.0;

class StoneShapeTest : public testing::TestWithParam<GrainShape> {
 protected:
  static ShapedStone stone(std::uint64_t k) {
    return makeStone(GetParam(), 0.1, kDensity, CounterRandom(7, 3), k);
  }
};

/// Half the width of a stone along a direction of its principal frame, about its middle.
double halfWidth(const ShapedStone& stone, const Vec3& direction) {
  double least = 1e9, most = -1e9;
  for (std::size_t k = 0; k < stone.radii.size(); ++k) {
    const double along = direction.dot(stone.stone.places[k]);
    least = std::min(least, along - stone.radii[k]);
    most = std::max(most, along + stone.radii[k]);
  }
  return 0.5 * (most - least);
}

// The eigenvectors are ordered by moment: the least about the long axis a.
TEST_P(StoneShapeTest, AxesAreThoseOfItsDiameter) {
  for (std::uint64_t k = 0; k < 20; ++k) {
    const ShapedStone shaped = stone(k);
    EXPECT_LE(shaped.stone.inertia.x(), shaped.stone.inertia.y());
    EXPECT_LE(shaped.stone.inertia.y(), shaped.stone.inertia.z());
    const double a = halfWidth(shaped, Vec3::UnitX()), b = halfWidth(shaped, Vec3::UnitY()),
                 c = halfWidth(shaped, Vec3::UnitZ());
    // Corners of angular stones lie up to a quarter inside their box, so its axes may also tilt.
    const double inside = GetParam() == GrainShape::kRounded ? 0.005 : 0.25;
    EXPECT_NEAR(b, 0.05, inside * 0.05);
    EXPECT_GT(a, (1.15 - 1.3 * inside) * 0.05);
    EXPECT_LT(a, (kLongestStone + inside) * 0.05);
    EXPECT_GT(c, (0.6 - inside) * 0.05);
    EXPECT_LT(c, (0.85 + inside) * 0.05);
  }
}

// Against points thrown at the union of the spheres: of 800,000 one in sixteen hits, which finds
// the volume within 0.5 %; cells find it within 1 %, and moments within 3 %.
TEST_P(StoneShapeTest, MassAndMomentsAreThoseOfTheUnion) {
  const ShapedStone shaped = stone(3);
  std::mt19937_64 engine(1);
  std::uniform_real_distribution<double> place(-0.08, 0.08);
  constexpr int kPoints = 800000;
  const double share = kDensity * std::pow(0.16, 3) / kPoints;
  double mass = 0.0;
  Vec3 centre = Vec3::Zero();
  Mat3 inertia = Mat3::Zero();
  for (int n = 0; n < kPoints; ++n) {
    const Vec3 x(place(engine), place(engine), place(engine));
    bool inside = false;
    for (std::size_t k = 0; k < shaped.radii.size(); ++k)
      inside |= (x - shaped.stone.places[k]).norm() < shaped.radii[k];
    if (!inside) continue;
    mass += share;
    centre += share * x;
    inertia += share * (x.squaredNorm() * Mat3::Identity() - x * x.transpose());
  }
  EXPECT_NEAR(shaped.stone.mass, mass, 0.02 * mass);
  EXPECT_LT((centre / mass).norm(), 0.0006);
  for (int axis = 0; axis < 3; ++axis)
    EXPECT_NEAR(shaped.stone.inertia[axis], inertia(axis, axis), 0.04 * inertia(axis, axis));
  EXPECT_LT(std::abs(inertia(0, 1)) + std::abs(inertia(0, 2)) + std::abs(inertia(1, 2)),
            0.05 * inertia(2, 2));
}

TEST_P(StoneShapeTest, IsTheSameForItsNumberAndAnotherForTheNext) {
  EXPECT_EQ(stone(4).stone.mass, stone(4).stone.mass);
  EXPECT_NE(stone(4).stone.mass, stone(5).stone.mass);
  EXPECT_EQ(stone(4).stone.sphereCount(), spheresOf(GetParam()));
  EXPECT_LE(spheresOf(GetParam()), Stone::kMostSpheres);
}

TEST_P(StoneShapeTest, ScalesWithItsDiameter) {
  const CounterRandom random(7, 3);
  const Stone one = makeStone(GetParam(), 0.1, kDensity, random, 2).stone;
  const Stone two = makeStone(GetParam(), 0.2, kDensity, random, 2).stone;
  EXPECT_NEAR(two.mass, 8.0 * one.mass, 1e-12 * two.mass);
  EXPECT_NEAR(two.inertia.y(), 32.0 * one.inertia.y(), 1e-12 * two.inertia.y());
  EXPECT_NEAR(two.places[1].norm(), 2.0 * one.places[1].norm(), 1e-15);
}

INSTANTIATE_TEST_SUITE_P(, StoneShapeTest,
                         testing::Values(GrainShape::kRounded, GrainShape::kAngular),
                         [](const auto& shape) {
                           return shape.param == GrainShape::kRounded ? "rounded" : "angular";
                         });

TEST(StoneShape, OfOneSphereIsASphere) {
  const ShapedStone shaped = makeStone(GrainShape::kSphere, 0.1, kDensity, CounterRandom(1, 1), 0);
  EXPECT_EQ(shaped.radii, std::vector<double>{0.05});
  EXPECT_DOUBLE_EQ(shaped.stone.mass, kDensity * kPi / 6.0 * 1e-3);
  EXPECT_EQ(meanVolumeShare(GrainShape::kSphere), 1.0);
}

// Mean of cos^2 of the angle between a turned axis and a fixed one is 1/3 for orientations spread
// evenly; its standard error over 20,000 is 0.002.
TEST(StoneShape, OrientationsAreSpreadEvenly) {
  const CounterRandom random(1, 2);
  Vec3 squares = Vec3::Zero();
  constexpr int kTurns = 20000;
  for (int k = 0; k < kTurns; ++k) {
    const Vec3 axis = randomOrientation(random, static_cast<std::uint64_t>(k)) * Vec3::UnitX();
    squares += axis.cwiseAbs2() / kTurns;
  }
  for (int axis = 0; axis < 3; ++axis) EXPECT_NEAR(squares[axis], 1.0 / 3.0, 0.01);
}

}  // namespace
}  // namespace holdground
