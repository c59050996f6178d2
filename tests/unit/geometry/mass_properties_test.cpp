#include "solver/geometry/mass_properties.hpp"

#include <gtest/gtest.h>

#include "tests/support/test_meshes.hpp"

namespace holdground {

using test::boxMesh;
using test::cornerTetrahedron;
using test::insideOut;
using test::moved;

namespace {

// Sums of a few dozen terms of order one: rounding alone.
constexpr double kRounding = 1e-14;

Mat3 someRotation() {
  return Eigen::AngleAxisd(1.1, Vec3(1.0, -2.0, 0.5).normalized()).toRotationMatrix();
}

TriangleMesh someBox() { return boxMesh({0.2, -0.1, 0.3}, {0.6, 0.3, 0.1}); }

}  // namespace

TEST(MassProperties, CornerTetrahedronMeetsItsClosedForm) {
  // V = 1/6, centroid 1/4; integrals over the unit corner: x^2 -> 1/60, xy -> 1/120.
  const MassProperties p = massProperties(cornerTetrahedron());
  EXPECT_NEAR(p.volume, 1.0 / 6.0, kRounding);
  EXPECT_LT((p.centroid - Vec3::Constant(0.25)).norm(), kRounding);
  EXPECT_NEAR(p.area, 1.5 + std::sqrt(3.0) / 2.0, kRounding);
  const double moment = 2.0 * (1.0 / 60.0 - 1.0 / 96.0);
  const double product = -(1.0 / 120.0 - 1.0 / 96.0);
  for (int i = 0; i < 3; ++i) {
    for (int j = 0; j < 3; ++j) {
      EXPECT_NEAR(p.inertia(i, j), i == j ? moment : product, kRounding) << i << ',' << j;
    }
  }
}

TEST(MassProperties, BoxMeetsItsClosedForm) {
  const MassProperties p = massProperties(someBox());
  const double volume = 0.6 * 0.3 * 0.1;
  EXPECT_NEAR(p.volume, volume, kRounding);
  EXPECT_LT((p.centroid - Vec3(0.5, 0.05, 0.35)).norm(), kRounding);
  const Vec3 expected = volume / 12.0 * Vec3(0.09 + 0.01, 0.36 + 0.01, 0.36 + 0.09);
  EXPECT_LT((p.inertia - Mat3(expected.asDiagonal())).norm(), kRounding);
}

TEST(MassProperties, TurningAndMovingTheBodyTurnsAndMovesTheResult) {
  const MassProperties before = massProperties(someBox());
  const Mat3 r = someRotation();
  const Vec3 shift(3.0, -2.0, 1.0);
  const MassProperties after = massProperties(moved(someBox(), r, shift));
  EXPECT_NEAR(after.volume, before.volume, 1e-13);
  EXPECT_LT((after.centroid - (r * before.centroid + shift)).norm(), 1e-13);
  EXPECT_LT((after.inertia - r * before.inertia * r.transpose()).norm(), 1e-14);
}

TEST(MassProperties, FarFromTheOriginKeepsItsDigits) {
  // At 1 km a vertex itself is rounded to 1e-13 m; the inertia may lose no more than that.
  const MassProperties before = massProperties(someBox());
  const MassProperties after = massProperties(moved(someBox(), Mat3::Identity(), {1e3, 1e3, 1e3}));
  EXPECT_NEAR(after.volume / before.volume, 1.0, 1e-11);
  EXPECT_LT((after.inertia - before.inertia).norm() / before.inertia.norm(), 1e-11);
}

TEST(MassProperties, FlippedWindingFlipsTheSign) {
  const MassProperties outward = massProperties(someBox());
  const MassProperties inward = massProperties(insideOut(someBox()));
  EXPECT_DOUBLE_EQ(inward.volume, -outward.volume);
  EXPECT_LT((inward.inertia + outward.inertia).norm(), kRounding);
  EXPECT_LT((inward.centroid - outward.centroid).norm(), kRounding);
  EXPECT_DOUBLE_EQ(inward.area, outward.area);
}

TEST(MassProperties, ShiftedInertiaIsThatOfSteiner) {
  // Box about its corner: Ixx = m (b^2 + c^2) / 3, Ixy = -m a b / 4.
  const double mass = 2.0;
  const Vec3 size(0.6, 0.3, 0.1);
  const MassProperties p = massProperties(boxMesh(Vec3::Zero(), size));
  const Mat3 about = shiftInertia(p.inertia * (mass / p.volume), mass, p.centroid);
  EXPECT_NEAR(about(0, 0), mass * (0.09 + 0.01) / 3.0, kRounding);
  EXPECT_NEAR(about(0, 1), -mass * 0.6 * 0.3 / 4.0, kRounding);
}

}  // namespace holdground
