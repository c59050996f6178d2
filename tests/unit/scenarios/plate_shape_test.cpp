#include "scenarios/run/plate_shape.hpp"

#include <gtest/gtest.h>

#include "scenarios/pattern/plate_loft.hpp"
#include "tests/support/test_meshes.hpp"

namespace holdground {

namespace {

/// A plate of 0.6 x 0.1 m, 12 mm thick, bowed out of its plane by `sag` at mid length.
TriangleMesh bowedPlate(double sag) {
  PointGrid upper(31, 6), lower(31, 6);
  for (int r = 0; r < 31; ++r) {
    for (int c = 0; c < 6; ++c) {
      const double u = r / 30.0;
      const Vec3 middle(0.6 * u, 0.02 * c, 4.0 * sag * u * (1.0 - u));
      upper.at(r, c) = middle + Vec3(0, 0, 0.006);
      lower.at(r, c) = middle - Vec3(0, 0, 0.006);
    }
  }
  return loftPlate(upper, lower, Diagonals::kAlike);
}

}  // namespace

TEST(PlateShape, FlatPlateIsTrue) {
  const auto shape = plateShapeOf(bowedPlate(0.0));
  ASSERT_TRUE(shape && shape->isPlate());
  EXPECT_NEAR(shape->thickness, 0.012, 1e-12);
  EXPECT_LT(shape->outOfPlane, 1e-12);
}

TEST(PlateShape, BowIsMeasured) {
  const double sag = 0.009;
  const auto shape = plateShapeOf(bowedPlate(sag));
  ASSERT_TRUE(shape && shape->isPlate());
  // Rays start at triangle middles, within one row (1/30 of the length) of the ends and the crown,
  // where the parabola 4 u (1 - u) is short by at most 4/30 of the sag; mean at 2/3 of it.
  EXPECT_NEAR(shape->outOfPlane, sag * 2.0 / 3.0, sag * 4.0 / 30.0);
  // Measured square to a face that slopes by up to 4 sag / 0.6.
  EXPECT_NEAR(shape->thickness, 0.012, 0.012 * 0.003);
}

TEST(PlateShape, BlockAndTetrahedronAreNoPlates) {
  EXPECT_FALSE(plateShapeOf(test::boxMesh({0, 0, 0}, {0.1, 0.2, 0.4}))->isPlate());
  EXPECT_FALSE(plateShapeOf(test::cornerTetrahedron())->isPlate());
  EXPECT_FALSE(plateShapeOf({}).has_value());
}

}  // namespace holdground
